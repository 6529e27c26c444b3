"""`suspedu open` in earnest: a wheel is built, laid out far from the repository, and serves the course."""

import contextlib
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import urllib.error
import urllib.request
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel of this repository, built from a copy (a build leaves nothing in the repository)."""
    copy = tmp_path_factory.mktemp("copy") / "suspedu"
    for name in ("suspedu", "lessons", "exercises"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, copy)
    target = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--outdir", str(target), str(copy))
    return next(target.glob("suspedu-*.whl"))


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> dict[str, str]:
    """An environment in which the wheel's package stands before the repository's, and a home of its own."""
    site, home = tmp_path_factory.mktemp("site"), tmp_path_factory.mktemp("home")
    run(sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", str(site), str(wheel))
    (home / ".jupyter").mkdir()
    return os.environ | {"PYTHONPATH": str(site), "HOME": str(home), "PYTHONWARNINGS": "default"}


def run(*command: str, **options) -> str:
    done = subprocess.run(command, capture_output=True, text=True, timeout=240, **options)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def _hears_ctrl_c() -> None:
    """As in a terminal: a shell that runs these tests in its background has its children ignore the interrupt."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@contextlib.contextmanager
def opened(*words: str, env: dict, cwd: Path):
    """The address that `suspedu open` prints, while its server runs; with all that it printed before."""
    command = [sys.executable, "-m", "suspedu", "open", "--no-browser", *words]
    process = subprocess.Popen(command, env=env, cwd=cwd, text=True, stdout=subprocess.PIPE, start_new_session=True,
                               preexec_fn=_hears_ctrl_c)
    guard = threading.Timer(120, process.kill)
    guard.start()
    try:
        printed = ""
        while not (found := re.search(r"http://\S+", printed)):
            line = process.stdout.readline()
            assert line, f"ended before it was open: {printed}"
            printed += line
        yield found[0], printed, process
    finally:
        process.send_signal(signal.SIGTERM)
        process.communicate(timeout=30)
        guard.cancel()


def fetch(url: str) -> bytes:
    with urllib.request.urlopen(url, timeout=30) as reply:
        return reply.read()


def test_wheel_carries_the_course_and_no_solutions(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    templates = {path.name for path in (ROOT / "suspedu" / "coursework" / "book" / "templates").iterdir()}
    assert "page.html" in templates
    assert {f"suspedu/coursework/book/templates/{name}" for name in templates} <= names
    for room in ("lessons", "exercises"):
        for notebook in (ROOT / room).glob("*.ipynb"):
            assert f"suspedu/course/{room}/{notebook.name}" in names
    assert not [name for name in names if "solutions" in name or name.startswith("tests")]


def test_installed_wheel_opens_the_same_course(installed, tmp_path):
    origin = run(sys.executable, "-c", "import suspedu; print(suspedu.__file__)", env=installed, cwd=tmp_path)
    assert not Path(origin).is_relative_to(ROOT)
    with opened(env=installed, cwd=tmp_path) as (address, printed, _):
        base, token = re.fullmatch(r"(http://127\.0\.0\.1:\d+/)\S*\?token=(\w{40,})", address).groups()
        assert b"JupyterLab" in fetch(address)
        for room in ("lessons", "exercises"):
            listing = json.loads(fetch(f"{base}api/contents/{room}?token={token}"))["content"]
            served = {entry["name"] for entry in listing if entry["type"] == "notebook"}
            assert served == {path.name for path in (ROOT / room).glob("*.ipynb")}
        settings = json.loads(fetch(f"{base}lab/api/settings?token={token}"))["settings"]
        _check_settings({entry["id"]: entry["schema"].get("properties", {}) for entry in settings})
        with pytest.raises(urllib.error.HTTPError, match="403"):
            fetch(f"{base}api/contents?token=wrong")
    first = sorted((ROOT / "lessons").glob("00*.ipynb"))
    assert not first or f"lab/tree/lessons/{first[0].name}" in address
    assert str(tmp_path / "suspedu-course") in printed


def _check_settings(defaults: dict) -> None:
    """What must hold for the course's own server: one drawing thread, no news, no look for updates."""
    kernels = defaults["@jupyterlab/apputils-extension:kernels-settings"]
    news = defaults["@jupyterlab/apputils-extension:notification"]
    assert kernels["commsOverSubshells"]["default"] == "disabled"
    assert news["fetchNews"]["default"] == "false" and news["checkForUpdates"]["default"] is False


def test_learners_other_set_up_is_neither_read_nor_changed(installed, tmp_path):
    own = Path(installed["HOME"]) / ".jupyter"
    (own / "jupyter_server_config.py").write_text("c.ServerApp.ip = '0.0.0.0'\nc.IdentityProvider.token = ''\n")
    before = sorted(own.rglob("*"))
    with opened("mine", env=installed, cwd=tmp_path) as (address, _, _process):
        assert re.match(r"http://127\.0\.0\.1:\d+/\S*\?token=\w{40,}$", address)
        with pytest.raises(urllib.error.HTTPError, match="403"):
            fetch(address.partition("lab")[0] + "api/contents")
    assert sorted(own.rglob("*")) == before


def test_changed_notebook_is_kept_and_said(installed, tmp_path):
    names = sorted(path.name for path in (ROOT / "lessons").glob("*.ipynb"))
    assert names, "the course has no lessons"
    mine = tmp_path / "lessons" / names[0]
    mine.parent.mkdir()
    mine.write_text('{"cells": []}')
    with opened(".", env=installed, cwd=tmp_path) as (_, printed, _process):
        assert f"Kept, because you have changed them: lessons/{names[0]}" in printed
    assert mine.read_text() == '{"cells": []}'


def test_ending_it_ends_its_server(installed, tmp_path):
    with opened(env=installed, cwd=tmp_path) as (address, _, process):
        process.send_signal(signal.SIGINT)
        assert process.wait(30) == 0
        with pytest.raises(urllib.error.URLError):
            fetch(address)


def test_port_in_use_is_one_sentence(installed, tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        command = [sys.executable, "-m", "suspedu", "open", "--no-browser", "--port", port]
        done = subprocess.run(command, env=installed, cwd=tmp_path, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert done.stderr == f"suspedu: port {port} is in use; give another one or leave --port out\n"


def test_a_course_of_ones_own_needs_the_wheel_only(installed, tmp_path):
    """An exercise is written, checked, derived, handed out, answered and marked in a folder far from any checkout."""
    def suspedu(*words: str) -> str:
        return run(sys.executable, "-m", "suspedu", *words, env=installed, cwd=tmp_path)

    suspedu("exercise", "new", "20", "Springs side by side")
    name = "20_springs_side_by_side"
    assert "Nothing to mend." in suspedu("exercise", "check", "20")
    assert suspedu("derive", "20") == f"{name}: written\n"
    (tmp_path / "class.csv").write_text("number\n1\n2\n", encoding="utf-8")
    assert "2 written" in suspedu("handout", "class.csv", "20")
    solution = json.loads((tmp_path / "solutions" / f"{name}.ipynb").read_text(encoding="utf-8"))
    right = {cell["id"]: cell["source"] for cell in solution["cells"] if cell["id"].endswith("-answer")}
    for student in "12":
        copy = tmp_path / "suspedu-desk/handed_out" / student / f"{name}.ipynb"
        book = json.loads(copy.read_text(encoding="utf-8"))
        listed = "".join(next(cell["source"] for cell in book["cells"] if cell["id"] == "a-choice-text"))
        right["a-choice-answer"] = f'choice = "{re.search(r"[*]([abc])[*]+ It halves", listed)[1]}"'
        for cell in book["cells"]:
            cell["source"] = right.get(cell["id"], cell["source"])
        (tmp_path / "returns" / student).mkdir(parents=True)
        (tmp_path / "returns" / student / f"{name}.ipynb").write_text(json.dumps(book), encoding="utf-8")
    assert "2 marked, 0 could" in suspedu("mark", "returns", "20", "--mode", "limited")
    suspedu("classbook")
    marks = (tmp_path / "suspedu-desk/marks.csv").read_text(encoding="utf-8-sig").splitlines()
    assert [line.split(",")[3:5] for line in marks[1:]] == [["5", "1 to be read"]] * 2


def test_a_machine_is_ready_with_the_wheel(installed, tmp_path):
    assert "This machine is ready for the course." in run(sys.executable, "-m", "suspedu", "ready", env=installed,
                                                           cwd=tmp_path)
