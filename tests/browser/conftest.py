"""A real JupyterLab on loopback and a real Chromium: what the tests in this folder share.

Everything that JupyterLab and the browser write goes to a temporary folder.
Without a Chromium the tests are skipped with that reason, except in CI (variable CI=true), where they fail.
"""

from __future__ import annotations

import contextlib
import dataclasses
import json
import os
import re
import secrets
import shutil
import subprocess
import sys
import time
from pathlib import Path

import nbformat
import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync"]  # fmt: skip
SETTINGS = {
    "@jupyterlab/apputils-extension:kernels-settings": {"commsOverSubshells": "disabled"},
    "@jupyterlab/apputils-extension:notification": {
        "fetchNews": "false",
        "checkForUpdates": False,
        "doNotDisturbMode": True,
    },
}
# Messages that JupyterLab itself leaves on the console, whatever a notebook does; everything else fails a test.
HARMLESS = ("favicon", "ResizeObserver loop", "Password forms", "/api/me", "beforeunload", "lsp")


@dataclasses.dataclass
class Lab:
    """A running JupyterLab."""

    folder: Path
    url: str
    token: str

    def address(self, name: str) -> str:
        return f"{self.url}lab/tree/{name}?reset&token={self.token}"

    def write(self, name: str, *cells: str) -> str:
        """A new notebook of code cells in the lab's folder; returns its name."""
        made = [nbformat.v4.new_code_cell(cell, id=f"cell-{i}") for i, cell in enumerate(cells)]
        kernel = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
        nbformat.write(nbformat.v4.new_notebook(cells=made, metadata=kernel), self.folder / name)
        return name


def chromium_path() -> str | None:
    given = os.environ.get("SUSPEDU_CHROMIUM")
    return given or next(filter(None, map(shutil.which, NAMES)), None)


@contextlib.contextmanager
def running_lab(folder: Path):
    """JupyterLab on a free port of loopback, its own folders for everything; gone at the end."""
    home, work = folder / "home", folder / "work"
    for made in (home / "settings", work):
        made.mkdir(parents=True)
    (home / "settings" / "overrides.json").write_text(json.dumps(SETTINGS))
    token = secrets.token_hex(12)
    env = os.environ | {f"JUPYTER_{kind}_DIR": str(home / kind.lower()) for kind in ("RUNTIME", "CONFIG", "DATA")}
    env |= {"IPYTHONDIR": str(home / "ipython"), "PYTHONWARNINGS": "default", "PYTHONPATH": ""}
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ip=127.0.0.1", "--port=0",
               f"--IdentityProvider.token={token}", f"--ServerApp.root_dir={work}", "--expose-app-in-browser",
               f"--LabApp.app_settings_dir={home / 'settings'}", f"--LabApp.workspaces_dir={home / 'workspaces'}",
               f"--LabApp.user_settings_dir={home / 'user'}"]  # fmt: skip
    with (home / "log").open("w") as log:
        server = subprocess.Popen(command, env=env, cwd=work, stdout=log, stderr=log)
    try:
        yield Lab(work, _url(home, server), token)
    finally:
        server.terminate()
        try:
            server.wait(20)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _url(home: Path, server) -> str:
    for _ in range(300):
        for file in (home / "runtime").glob("jpserver-*.json"):
            with contextlib.suppress(ValueError, KeyError):  # still being written
                return json.loads(file.read_text())["url"]
        if server.poll() is not None:
            break
        time.sleep(0.2)
    raise RuntimeError("JupyterLab did not start:\n" + (home / "log").read_text()[-3000:])


@contextlib.contextmanager
def running_chromium(path: str, profile: Path | None = None):
    """A browser; with a folder for its profile it keeps JupyterLab's scripts compiled from one page to the next."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        given = {"executable_path": path, "headless": True, "args": FLAGS}
        browser = playwright.chromium.launch_persistent_context(profile, accept_downloads=True, **given) \
            if profile else playwright.chromium.launch(**given)
        try:
            yield browser
        finally:
            browser.close()


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """JupyterLab in a temporary folder, one for the whole run."""
    with running_lab(tmp_path_factory.mktemp("lab")) as lab:
        yield lab


def pytest_collection_modifyitems(items):
    """Leave the browser tests out where there is no browser, with the reason; never in the continuous check."""
    missing = chromium_path() is None and os.environ.get("CI") != "true"
    reason = "no Chromium found: install the package 'chromium' or set SUSPEDU_CHROMIUM"
    left_out = pytest.mark.skipif(missing, reason=reason)
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(left_out)


@pytest.fixture(scope="session")
def chromium(tmp_path_factory):
    """The browser, one for the whole run."""
    path = chromium_path()
    assert path, "CI needs a Chromium for the browser tests: install the package 'chromium'"
    with running_chromium(path, tmp_path_factory.mktemp("profile")) as browser:
        yield browser


def new_page(browser, width=1280, height=1000, ratio=1.0):
    """A page of its own, which remembers console errors in `page.complaints`."""
    page = browser.new_page()
    page.dots = page.context.new_cdp_session(page)
    page.complaints = []
    page.on("console", lambda message: message.type == "error" and page.complaints.append(message.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    sized(page, width, height, ratio)
    return page


def sized(page, width=1280, height=1000, ratio=1.0) -> None:
    """The size of a page, and how many dots its screen has for each pixel."""
    page.dots.send("Emulation.clearDeviceMetricsOverride")
    page.set_viewport_size({"width": width, "height": height})
    if ratio != 1.0:
        dots = {"width": width, "height": height, "deviceScaleFactor": ratio, "mobile": False}
        page.dots.send("Emulation.setDeviceMetricsOverride", dots)


@pytest.fixture(scope="session")
def lab_page(chromium):
    """The page on which the lab's notebooks are opened one after the other; loaded by the first."""
    page = new_page(chromium)
    yield page
    page.close()


def assert_clean(page) -> None:
    """No error on the console, no traceback in an output."""
    left = [text for text in page.complaints if not any(word in text for word in HARMLESS)]
    assert not left, f"console errors: {left}"
    shown = page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").all_inner_texts()
    assert not any("Traceback" in text for text in shown), shown


def open_notebook(page, lab: Lab, name: str) -> None:
    """Open a notebook of the lab's folder and wait until its kernel is idle.

    A page that shows JupyterLab already opens it there: to load JupyterLab takes as much as several tests.
    """
    if page.url.startswith(lab.url):
        clear(page)
        command(page, "docmanager:open", path=name)
    else:
        page.goto(lab.address(name), timeout=90_000)
    page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)").wait_for(timeout=90_000)
    page.wait_for_function(
        "(name) => { const context = window.jupyterapp?.shell.currentWidget?.context;"
        " const session = context?.sessionContext;"
        " return context?.path === name && session?.isReady && session.session?.kernel?.status === 'idle' }",
        arg=name, timeout=90_000)  # fmt: skip


def clear(page) -> None:
    """No document on the page and no kernel behind it, as after loading it; light, and nothing on its console."""
    page.evaluate("""async () => {
      const app = window.jupyterapp;
      for (const widget of [...app.shell.widgets("main")]) {
        if (widget.context) widget.context.model.dirty = false;  // nothing to ask
        widget.dispose();
      }
      for (let tries = 0; tries < 3; tries++) {  // a server that is busy starting a kernel may refuse to stop it
        try { await app.serviceManager.sessions.shutdownAll(); break; } catch (fault) {
          if (tries === 2) throw fault;
          await new Promise((resolve) => setTimeout(resolve, 1500));
        }
      }
      await app.commands.execute("apputils:change-theme", { theme: "JupyterLab Light" });
    }""")
    page.complaints.clear()


def side_bar(page, shown: bool) -> None:
    """The files at the left of the page, or the room that they take."""
    if page.evaluate("() => window.jupyterapp.shell.leftCollapsed") is shown:
        command(page, "application:toggle-left-area")


def run_all(page, timeout: float = 120_000) -> None:
    """Run all cells and wait for the last."""
    command(page, "notebook:run-all-cells")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-CodeCell .jp-InputPrompt')]"
        ".every(node => !node.innerText.includes('*'))", timeout=timeout)  # fmt: skip


@contextlib.contextmanager
def page_of(page, lab: Lab, name: str, cells=(), *, bar: bool = True, **size):
    """The lab's page with one notebook, of some cells or there already, opened and run; clean at the end."""
    sized(page, **size)
    open_notebook(page, lab, lab.write(name, *cells) if cells else name)
    side_bar(page, bar)
    run_all(page)
    yield page
    assert_clean(page)


def within(quiet: float) -> float:
    """A time [ms] that holds on a quiet machine, as much longer as programs now wait for each core."""
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0  # Windows tells none
    return quiet * max(1.0, load / os.cpu_count())


def put_back(root) -> None:
    """A panel unpinned and at its start."""
    if root.get_by_role("button", name="Unpin").count():
        root.get_by_role("button", name="Unpin").click()
    root.get_by_role("button", name="Reset").click()


def rested(root) -> None:
    """The hand rests: the answer to all that it did is on the page."""
    root.locator(".sp-status[aria-busy=false]").wait_for()


def told(root, text: str) -> None:
    """A panel's sentence and its picture's alternative text begin so, and still do once the hand rests."""
    shown = root.locator(".sp-sentence", has_text=text), root.locator(f'img[alt^="{text}"]')
    for each in shown:
        each.wait_for()
    rested(root)
    assert all(each.count() for each in shown), f"went back: {root.locator('.sp-status').inner_text()}"


def command(page, name: str, **arguments):
    """Do what a menu entry of JupyterLab does."""
    page.evaluate("([name, args]) => window.jupyterapp.commands.execute(name, args).then(() => 0)", [name, arguments])


@dataclasses.dataclass
class Course:
    """The course in a learner's folder, opened by its own command."""

    folder: Path
    url: str
    token: str

    def address(self, name: str, page: str = "lab/tree") -> str:
        return f"{self.url}{page}/{name}?token={self.token}"


@pytest.fixture(scope="session")
def course(tmp_path_factory):
    """`suspedu open` in a temporary folder, one for the whole run."""
    from suspedu.commands import laying, serving

    folder = tmp_path_factory.mktemp("course")
    laying.lay_course(folder)
    server, token = serving.start_server(folder, None, browser=False)
    try:
        address = serving.address(server, token, "lab")
        yield Course(folder, address.partition("lab?")[0], token)
    finally:
        serving.stop(server)


def menu(page, top: str, entry: str) -> None:
    """Choose an entry of a menu by the mouse."""
    page.get_by_role("menuitem", name=top, exact=True).click()
    chosen = page.locator(".lm-Menu-item:not(.lm-mod-disabled) .lm-Menu-itemLabel", has_text=re.compile(f"^{entry}"))
    chosen.first.click()


def visit(page, course: Course, name: str) -> None:
    """Open a notebook of the course and wait for its cells and an idle kernel."""
    page.goto(course.address(name))
    page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Cell").first.wait_for(timeout=90_000)
    page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").wait_for(timeout=90_000)
    page.get_by_text("Python 3 (ipykernel) | Idle").wait_for(timeout=90_000)
