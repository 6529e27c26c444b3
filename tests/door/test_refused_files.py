"""A file or folder that the system refuses costs one sentence, never a traceback, whatever command meets it."""

import contextlib
import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from suspedu import cli
from suspedu.coursework.desk.secret import BYTES
from suspedu.coursework.exercise.places import course_folder
from suspedu.files import IN_THE_WAY, NO_RIGHT, WORDS, refusal

# All of them in one process, which root's right to read everything is taken from where root runs the tests.
PROGRAM = """import contextlib, io, json, sys
from suspedu import cli
from suspedu.coursework.running.calls import drop_rights
drop_rights()
for words in json.loads(sys.argv[1]):
    said = io.StringIO()
    with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
        code = cli.main(words)
    print(json.dumps([code, said.getvalue()]))
"""
USED = "cannot be read or written"
HANDOUT, MARK = ("handout", "class.csv", "01"), ("mark", "returns", "01", "--mode", "limited")
CASES = [
    (("selfmark", "absent.ipynb"), f"'absent.ipynb' {USED}: {WORDS[errno.ENOENT]}"),
    (("selfmark", "shut.ipynb"), "'shut.ipynb' cannot be read: its permissions forbid it"),
    (("selfmark", "shut/own.ipynb"), f"'shut/own.ipynb' {USED}: {NO_RIGHT}"),
    ((*HANDOUT, "--desk", "read_only/desk"), f"'read_only/desk' {USED}: {NO_RIGHT}"),
    ((*HANDOUT, "--desk", "class.csv"), f"'class.csv' {USED}: {IN_THE_WAY}"),
    ((*HANDOUT, "--desk", "class.csv/desk"), f"'class.csv/desk' {USED}: {IN_THE_WAY}"),
    ((*HANDOUT, "--desk", "secretive"), f"course secret 'secretive/course_secret' cannot be read: {NO_RIGHT} (keep it: "
     "a new one would not fit the copies that are out)"),
    (("democlass", "list", "read_only"), f"'read_only/desk' {USED}: {NO_RIGHT}"),
    (("democlass", "list", "class.csv"), f"'class.csv/desk' {USED}: {IN_THE_WAY}"),
    (("democlass", "returns", "shut"), f"'shut/desk/handed_out' {USED}: {NO_RIGHT}"),
    ((*MARK, "--desk", "desk", "--solutions", "own"), f"'own/01_own.ipynb' {USED}: {NO_RIGHT}"),
    (("mark", "shut/x", "01", "--mode", "limited", "--desk", "desk"), f"'shut/x' {USED}: {NO_RIGHT}"),
    ((*MARK, "--desk", "shut"), f"'shut/record.sqlite' {USED}: {NO_RIGHT}"),
    (("classbook", "--desk", "shut"), f"'shut/record.sqlite' {USED}: {NO_RIGHT}"),
    (("classbook", "--desk", "desk", "--words", "read_only/w.csv"), f"'read_only/w.csv' cannot be written: {NO_RIGHT}"),
    (("pen", "copies", "--desk", "shut"), f"'shut/copies' {USED}: {NO_RIGHT}"),
    (("pen", "restore", "x", "--desk", "shut"), f"'shut/copies' {USED}: {NO_RIGHT}"),
    (("exercise", "check", "21", "--folder", "shut"), f"'shut/solutions' {USED}: {NO_RIGHT}"),
    (("exercise", "new", "21", "oil", "--folder", "class.csv"),
     f"'class.csv/solutions/21_oil.ipynb' cannot be written: {IN_THE_WAY}"),
    (("derive", "01", "--folder", "shut"), f"'shut/solutions' {USED}: {NO_RIGHT}"),
    (("record", "absent.ipynb"), f"'absent.ipynb' cannot be read: {WORDS[errno.ENOENT]}"),
]


@pytest.fixture(scope="module")
def said(tmp_path_factory):
    """Exit code and what was said, by the words that were typed."""
    folder = tmp_path_factory.mktemp("refused")
    shut = _laid(folder)
    try:
        env = os.environ | {"SUSPEDU_AS_ROOT": "1"}
        done = subprocess.run([sys.executable, "-W", "error", "-c", PROGRAM, json.dumps([words for words, _ in CASES])],
                              cwd=folder, env=env, capture_output=True, text=True, timeout=240)
        assert done.returncode == 0, done.stderr
        return dict(zip((words for words, _ in CASES), map(json.loads, done.stdout.splitlines()), strict=True))
    finally:
        for place in shut:
            place.chmod(0o700)


def _laid(folder: Path) -> list[Path]:
    """A class, its desk, and what nobody may open; which these are."""
    (folder / "class.csv").write_text("number\n1\n", encoding="ascii")
    for name in ("shut", "read_only", "secretive", "returns", "own", "exercises"):
        (folder / name).mkdir()
    with contextlib.chdir(folder):
        assert cli.main([*HANDOUT, "--desk", "desk"]) == 0
    pristine = next((course_folder() / "exercises").glob("01_*.ipynb")).read_bytes()
    for place in ("shut.ipynb", "own/01_own.ipynb", "exercises/01_own.ipynb"):
        (folder / place).write_bytes(pristine)
    (folder / "secretive/course_secret").write_text("5e" * BYTES, encoding="ascii")
    modes = {"shut": 0, "read_only": 0o500, "shut.ipynb": 0, "secretive/course_secret": 0, "own/01_own.ipynb": 0}
    for place, mode in modes.items():
        (folder / place).chmod(mode)
    return [folder / place for place in modes]


@pytest.mark.skipif(os.name != "posix", reason="Windows has no such file modes")
@pytest.mark.parametrize(("words", "sentence"), CASES, ids=[" ".join(words) for words, _ in CASES])
def test_what_the_system_refuses_is_one_sentence(said, words, sentence):
    assert said[words] == [cli.USER_SLIP, f"suspedu: {sentence}\n"]


@pytest.mark.parametrize("number", WORDS)
def test_a_full_disk_and_its_like_are_one_sentence_too(capsys, number):
    def work():
        raise OSError(number, os.strerror(number), "desk/copy.ipynb")

    assert cli._guarded(work) == cli.USER_SLIP
    assert capsys.readouterr().err == f"suspedu: 'desk/copy.ipynb' {USED}: {WORDS[number]}\n"


@pytest.mark.parametrize("fault", [OSError("about no file"), ConnectionRefusedError(errno.ECONNREFUSED, "refused"),
                                   OSError(errno.EIO, "input/output error", "desk")])
def test_what_is_no_slip_keeps_its_traceback(fault):
    def work():
        raise fault

    assert not refusal(fault)
    with pytest.raises(type(fault)):
        cli._guarded(work)
