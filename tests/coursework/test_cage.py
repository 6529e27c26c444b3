"""What a kernel in the sandbox sees where the environment lies in the home of whoever marks, as the README has it."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from suspedu.coursework.running import cage, holds, sandbox, trial
from suspedu.units import InputError

CLONE = Path("/home/teacher/suspedu")  # of nobody here: it stands in the sandbox only
STARTS = bool(shutil.which("bwrap")) and not subprocess.run(
    ["bwrap", "--ro-bind", "/", "/", "true"], capture_output=True, check=False).returncode
needs_bubblewrap = pytest.mark.skipif(not STARTS, reason="bubblewrap does not start here")


@pytest.fixture
def at_home(monkeypatch):
    """The environment of these tests as a home would hold it, and what else of that home is shown by mistake."""
    places = {CLONE / ".venv": sys.prefix}
    others = [place for place in cage.environment_folders() if place != Path(sys.prefix)]
    truly_shown = cage._shown
    monkeypatch.setattr(cage, "_shown", lambda place: ["--ro-bind", places[place], str(place)] if place in places
                        else truly_shown(place))
    monkeypatch.setattr(cage, "environment_folders", lambda: [*others, CLONE / ".venv"])
    python = CLONE / ".venv" / Path(sys.executable).relative_to(sys.prefix)
    monkeypatch.setattr(trial.sys, "executable", str(python))
    for kept in (sandbox.probe_fault, trial.trial):
        kept.cache_clear()
    yield places
    for kept in (sandbox.probe_fault, trial.trial):
        kept.cache_clear()


@needs_bubblewrap
def test_an_environment_in_a_home_is_sandboxed_and_nothing_else_of_that_home_is_seen(at_home):
    assert not sandbox.probe_fault()
    assert sandbox.chosen_mode("sandboxed").name == "sandboxed"


@needs_bubblewrap
def test_what_else_of_a_home_is_seen_is_found_and_said(at_home, monkeypatch, tmp_path):
    (tmp_path / "01_right.ipynb").touch()
    whole = cage.cage_command

    def leaking(*given):
        command = whole(*given)
        at = command.index("--remount-ro")
        return [*command[:at], "--ro-bind", str(tmp_path), str(CLONE / "solutions"), *command[at:]]

    monkeypatch.setattr(cage, "cage_command", leaking)
    assert trial.trial(caged=True).strays == (str(CLONE / "solutions"),)
    assert sandbox.probe_fault() == f"in bubblewrap a kernel would see '{CLONE / 'solutions'}'; {sandbox.OWN_PLACE}"
    with pytest.raises(InputError, match="the sandbox does not start here: in bubblewrap a kernel would see"):
        sandbox.chosen_mode("sandboxed")


def test_bare_folders_on_the_way_are_no_strays_and_all_else_is(tmp_path):
    for folder in ("home/teacher/suspedu/.venv/lib", "home/student", "usr/lib", "bare"):
        (tmp_path / folder).mkdir(parents=True)
    shown = [str(tmp_path / place) for place in ("usr", "home/teacher/suspedu/.venv", "absent")]
    scratch = [str(tmp_path / "home/student")]
    assert holds.strays(shown, scratch, str(tmp_path)) == [str(tmp_path / "bare")]
    (tmp_path / "home/teacher/suspedu/solutions").mkdir()
    (tmp_path / "home/teacher/suspedu/.venv2").symlink_to("/")
    (tmp_path / "home/student/note").touch()
    names = ["bare", "home/student/note", "home/teacher/suspedu/.venv2", "home/teacher/suspedu/solutions"]
    assert holds.strays(shown, scratch, str(tmp_path)) == [str(tmp_path / name) for name in names]


@pytest.mark.parametrize("tried, words", [
    (trial.Trial(fault="bwrap: setting up uid map: Permission denied"),
     f"bubblewrap failed: bwrap: setting up uid map: Permission denied; {sandbox.STRONGER}"),
    (trial.Trial(fault="ModuleNotFoundError: No module named 'zmq'"), "bubblewrap starts, but in it a kernel does not: "
     f"ModuleNotFoundError: No module named 'zmq'; {sandbox.OWN_PLACE}"),
    (trial.Trial("/elsewhere/suspedu/__init__.py"), "in bubblewrap a kernel would use the course in "
     f"'/elsewhere/suspedu/__init__.py', not the one in '{sandbox.PACKAGE}'; {sandbox.OWN_PLACE}"),
])
@pytest.mark.skipif(sys.platform != "linux", reason="the sandbox is of Linux")
def test_why_there_is_no_sandbox_is_one_readable_sentence_with_advice_that_fits(monkeypatch, tried, words):
    monkeypatch.setattr(sandbox.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(sandbox, "trial", lambda caged: tried)
    assert sandbox.probe_fault.__wrapped__() == words


def test_a_trial_that_fails_tells_the_line_that_says_why(monkeypatch):
    monkeypatch.setattr(trial, "PROBE", "import absent_module")
    assert trial.trial.__wrapped__(caged=False).fault == "ModuleNotFoundError: No module named 'absent_module'"
