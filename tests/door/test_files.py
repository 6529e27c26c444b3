"""Files are written whole or not at all, with the line ends that were asked for, on any system."""

import ast
import csv
import errno
import io
import os
import stat
import subprocess
import sys
from argparse import Namespace
from pathlib import Path

import pytest

from suspedu import files
from suspedu.commands import classbook
from suspedu.coursework.book import by_hand
from suspedu.coursework.desk.class_list import Student, read_class
from suspedu.coursework.desk.demo_class import write_list
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.units import InputError

PACKAGE = Path(files.__file__).parent
ODD = "a, b; \"c\"\nü 你 \u2028 end"  # what a cell of a CSV can hold


@pytest.fixture
def windows(monkeypatch):
    """The text layer of Windows: where a file is opened as text without `newline`, each LF is written as CR LF."""
    real = io.open

    def opened(file, mode="r", buffering=-1, encoding=None, errors=None, newline=None, *rest, **more):
        if "b" not in mode and set(mode) & set("wax+") and newline is None:
            newline = "\r\n"
        return real(file, mode, buffering, encoding, errors, newline, *rest, **more)

    monkeypatch.setattr(io, "open", opened)
    monkeypatch.setattr("builtins.open", opened)


def rows_of(path: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO(path.read_bytes().decode("utf-8-sig"), newline="")))


def test_windows_would_leave_every_second_row_empty(windows, tmp_path):
    """The companion: written through a text mode, a CSV is broken there."""
    path = tmp_path / "broken.csv"
    path.write_text(files.csv_text(["a"], [["1"], ["2"]]), encoding="utf-8")
    assert path.read_bytes() == b"a\r\r\n1\r\r\n2\r\r\n" and rows_of(path) == [["a"], [], ["1"], [], ["2"], []]


def test_a_csv_is_the_same_on_windows(windows, tmp_path):
    path = files.write_csv(tmp_path / "new" / "marks.csv", ["a", "b"], [["1", ODD], [2.5, "=1+1"]])
    assert rows_of(path) == [["a", "b"], ["1", ODD], ["2.5", "'=1+1"]]
    assert path.read_bytes().startswith(b"\xef\xbb\xbfa,b\r\n1,") and b"\r\r" not in path.read_bytes()


def test_the_desks_files_have_no_empty_row_on_windows(windows, tmp_path):
    assert [s.number for s in read_class(write_list(tmp_path, 3))] == ["2001", "2002", "2003"]
    assert len(rows_of(tmp_path / "class.csv")) == 4
    questions = (Scored("q1", "Rate", 2.0, 2, "right"), Scored("q4", "Words", None, 2, "by hand", answer="one\ntwo"))
    with RecordBook(tmp_path / "desk" / "record.sqlite") as record:
        record.add_students([Student("1"), Student("2")])
        record.set_asked("90_demo", [("q1", "Rate", 2, False), ("q4", "Words", 2, True)])
        for student in "12":
            record.write(Marked(student, "90_demo", "j", "d", "f", 0.0, "now", questions=questions))
        by_hand.write_words(tmp_path / "words.csv", record)
    shown = [row[:1] + row[7:8] for row in rows_of(tmp_path / "words.csv")]
    assert shown == [["student", "answer"], ["1 2", "one\ntwo"]]
    classbook.run(Namespace(desk=tmp_path / "desk", read=None, words=None, with_solutions=False, separator=",",
                            decimal_comma=False, hidden=False))
    for name in ("marks.csv", "returns.csv", "questions.csv"):
        rows = rows_of(tmp_path / "desk" / name)
        assert len(rows) == 3 and all(rows), name


@pytest.mark.parametrize("content", ["a\nb\r\nc", b"\x00\n\r\n"])
def test_content_arrives_as_it_is(windows, tmp_path, content):
    path = files.write_whole(tmp_path / "far" / "down" / "x", content)
    assert path.read_bytes() == (content if isinstance(content, bytes) else content.encode())


@pytest.mark.parametrize(("code", "why"), [
    (errno.ENOSPC, "the disk is full; make room and try again"), (errno.EROFS, "this disk can only be read"),
    (errno.EIO, os.strerror(errno.EIO))])
@pytest.mark.parametrize("step", ["open", "fsync", "replace"])
def test_a_failing_disk_is_one_sentence_and_leaves_the_old_file(tmp_path, monkeypatch, step, code, why):
    path = tmp_path / "marks.csv"
    path.write_bytes(b"old")

    def fail(*_, **__):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(*((Path, "replace") if step == "replace" else (files.os, step)), fail)
    with pytest.raises(InputError) as said:
        files.write_whole(path, b"new")
    monkeypatch.undo()
    assert str(said.value) == f"'{path}' cannot be written: {why}" and said.value.why == why
    assert path.read_bytes() == b"old" and list(tmp_path.iterdir()) == [path]


@pytest.mark.skipif(os.name != "posix", reason="Windows has no limit on the size of a file")
def test_a_disk_that_really_gives_out_leaves_the_old_file(tmp_path):
    """The system itself refuses after 4 kB: half of the new file has been written by then."""
    path = tmp_path / "x"
    path.write_bytes(b"old")
    program = """
import resource, sys
from suspedu import files
resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
try:
    files.write_whole(sys.argv[1], b"n" * 100_000)
except files.NotWrittenError as fault:
    print(fault)
"""
    done = subprocess.run([sys.executable, "-c", program, str(path)], capture_output=True, text=True, timeout=60)
    assert done.stdout == f"'{path}' cannot be written: {os.strerror(errno.EFBIG)}\n", done.stderr
    assert path.read_bytes() == b"old" and list(tmp_path.iterdir()) == [path]


@pytest.mark.skipif(os.name != "posix", reason="Windows has no such file modes")
def test_permissions_are_kept_or_usual_or_private(tmp_path):
    def mode(path):
        return stat.S_IMODE(path.stat().st_mode)
    old = tmp_path / "old"
    old.touch()
    old.chmod(0o640)
    files.write_whole(old, b"new", private=True)
    (tmp_path / "usual").touch()
    assert mode(old) == 0o640 and old.read_bytes() == b"new"
    assert mode(files.write_whole(tmp_path / "made", b"")) == mode(tmp_path / "usual")
    assert mode(files.write_whole(tmp_path / "secret", b"", private=True)) == 0o600


@pytest.mark.parametrize("links", [True, False])
def test_the_first_writer_is_kept(tmp_path, monkeypatch, links):
    if not links:  # a file system without hard links
        monkeypatch.setattr(files.os, "link", lambda *_: (_ for _ in ()).throw(OSError(errno.EPERM, "no links here")))
    path = tmp_path / "secret"
    for content in ("first", "second"):
        files.write_whole(path, content, keep=True)
    assert path.read_text() == "first" and list(tmp_path.iterdir()) == [path]


@pytest.mark.skipif(os.name != "posix", reason="links need rights on Windows")
def test_a_link_is_followed(tmp_path):
    (tmp_path / "real").write_bytes(b"old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    files.write_whole(tmp_path / "link", b"new")
    assert (tmp_path / "link").is_symlink() and (tmp_path / "real").read_bytes() == b"new"


# Who may write another way, and why.
OTHERWISE = {"files.py": "here it is written",
             "coursework/running": "scratch files of an engine, in a private folder that is removed with it"}


def writers(source: str) -> list[str]:
    """Calls that write a file past `files`, in words."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        texts = {a.value for a in [*node.args, *(k.value for k in node.keywords)] if isinstance(a, ast.Constant)}
        modes = {t for t in texts if isinstance(t, str) and t and set(t) <= set("rwaxbt+") and set(t) & set("wax+")}
        if name in ("write_text", "write_bytes", "NamedTemporaryFile", "mkstemp") or (
                name in ("open", "fdopen") and modes):
            found.append(f"line {node.lineno}: {name}")
    return found


def test_writers_are_found():
    assert len(writers("p.write_text('')\nopen(p, 'w')\nos.fdopen(h, mode='wb')\np.open('a')")) == 4
    assert not writers("open(p)\np.open('rb')\np.read_text()")


PLACES = [path for path in sorted(PACKAGE.rglob("*.py"))
          if not path.relative_to(PACKAGE).as_posix().startswith(tuple(OTHERWISE))]


def test_nobody_writes_another_way():
    assert not {str(path): found for path in PLACES if (found := writers(path.read_text(encoding="utf-8")))}
