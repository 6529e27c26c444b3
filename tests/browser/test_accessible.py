"""axe-core over a panel, the bench, forms, a question, a desk and stills, light and dark: no finding on what is ours.

The script comes from the npm registry (`npm pack axe-core`), or from the file that SUSPEDU_AXE names; without either
the tests are left out.
"""

import functools
import os
import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path

import pytest

from .conftest import command, page_of
from .test_panel_page import SAMPLE, sentence

CELLS = ("from sample import panel\nshown = panel()\nshown",
         "from suspedu.show import asking\nasking.predict('slope', 'What does load do?', ['steeper', 'nothing'])",
         "asking.predict_number('sag', 'How far does it go down?', 'mm')",
         "from suspedu.show.session_desk import setup_session\nsetup_session(8)",
         "from suspedu.show.selfcheck import selfmark\nselfmark('01')",
         "from IPython.display import HTML\nshown.pin()\nHTML(shown._repr_mimebundle_()[0]['text/html'])",
         "from suspedu.show import panels\npanels.bench()",
         "from suspedu.show.forms import notes_form, own_machine_form, which_adjuster_form\n"
         "form = own_machine_form().fill(**{'name': 'hack', 'legs.travel': '30'})\nform",
         "asked = which_adjuster_form()\nasked.busy = [3, 7]\nasked", "notes_form()")  # fmt: skip
OURS = ".suspedu-panel, .suspedu-form, .suspedu-question, .suspedu-box, .suspedu-still"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LEFT_OUT = {"page-has-heading-one", "region", "landmark-one-main", "bypass", "landmark-unique"}  # of whole pages


@functools.cache
def axe() -> str:
    """The source of axe-core; "" where it is not to be had."""
    if given := os.environ.get("SUSPEDU_AXE"):
        return Path(given).read_text(encoding="utf-8")
    if not shutil.which("npm"):
        return ""
    with tempfile.TemporaryDirectory() as folder:
        fetch = ["npm", "pack", "--fetch-retries=0", "axe-core@4"]
        done = subprocess.run(fetch, cwd=folder, capture_output=True, timeout=120)
        files = list(Path(folder).glob("axe-core-*.tgz"))
        if done.returncode or not files:
            return ""
        with tarfile.open(files[0]) as pack:
            return pack.extractfile("package/axe.min.js").read().decode("utf-8")


# A condition in quotes is looked at when a test is about to run, not when tests are collected.
pytestmark = pytest.mark.skipif("not axe()", reason="axe-core could not be fetched from the npm registry")


@pytest.fixture(scope="module")
def page(lab_page, lab):
    shutil.copy(SAMPLE, lab.folder / "sample.py")
    with page_of(lab_page, lab, "accessible.ipynb", CELLS, bar=False, width=1366, height=2400) as page:
        page.locator(".suspedu-panel .sp-sentence", has_text=sentence()).wait_for()
        page.locator(".suspedu-form").nth(2).wait_for()
        page.evaluate("() => document.querySelectorAll('.suspedu-form details, .suspedu-panel details')"
                      ".forEach((folded) => { folded.open = true; })")  # fmt: skip
        page.evaluate(axe())
        yield page


def findings(page) -> list[str]:
    """What axe-core objects to in what is ours: rule, place, and why."""
    for node in page.locator(OURS).all():
        node.scroll_into_view_if_needed()
    found = page.evaluate(
        "([ours, rules]) => axe.run({ include: ours.split(', ').map((each) => [each]) },"
        " { runOnly: rules, resultTypes: ['violations'] })", [OURS, RULES])  # fmt: skip
    return [f"{each['id']}: {node['target']}: {node['failureSummary']}" for each in found["violations"]
            if each["id"] not in LEFT_OUT for node in each["nodes"]]  # fmt: skip


def test_the_check_itself_finds_what_is_amiss(page):
    panel, bad = page.locator(".suspedu-panel").first, '<img src="" id="bad">'
    panel.evaluate("(node, bad) => node.insertAdjacentHTML('beforeend', bad)", bad)
    try:
        assert any(text.startswith("image-alt") for text in findings(page))
    finally:
        page.evaluate("() => document.querySelector('#bad').remove()")


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_nothing_of_ours_is_objected_to(page, theme):
    command(page, "apputils:change-theme", theme=theme)
    name = theme.split()[1].lower()
    page.locator(f".suspedu-panel[data-theme='{name}']").nth(1).wait_for()
    page.wait_for_timeout(300)
    assert findings(page) == []


def test_a_problem_and_a_lost_kernel_are_no_exception(page):
    command(page, "apputils:change-theme", theme="JupyterLab Light")
    slider = page.locator(".suspedu-panel").first.get_by_role("slider", name="Spring rate")
    slider.scroll_into_view_if_needed()  # what is out of sight JupyterLab hides, what it says too
    slider.focus()
    page.keyboard.press("End")
    page.locator(".sp-problem", has_text="ZeroDivisionError").wait_for()
    assert findings(page) == []
    page.evaluate("() => { window.jupyterapp.shell.currentWidget.sessionContext.restartKernel() }")
    page.locator(".sp-problem", has_text="Not live").first.wait_for()
    assert findings(page) == []
