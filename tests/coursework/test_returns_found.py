"""What was handed in, looked at: whatever lies there, every other return is found."""

import io
import json
import subprocess
import time
import zipfile

from suspedu.coursework.desk import archive, returns
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.owners import Owners
from suspedu.coursework.desk.seal import seal_of
from suspedu.coursework.exercise import reader


def two(unsealed=True):
    """A class of two, whose files here are no hand-outs: they count by their path."""
    return Owners([Student("1001"), Student("1002")], ["90_demo"], b"secret", unsealed)


def test_folders_a_thousand_deep_stop_nobody(tmp_path):
    deep = tmp_path / "r" / "1001"
    deep.mkdir(parents=True)
    chain = deep
    for _ in range(1200):
        chain = chain / "d"
    subprocess.run(["mkdir", "-p", str(chain)], check=True)
    (tmp_path / "r" / "1002").mkdir()
    (tmp_path / "r" / "1002" / "90_demo.ipynb").write_text("{}")
    try:
        taken, aside = returns.collect(tmp_path / "r", two())
    finally:
        subprocess.run(["rm", "-rf", str(deep)], check=True)  # deeper than shutil can go
    assert [r.student for r in taken] == ["1002"]
    assert len(aside) == 1 and "more than 40 deep" in aside[0]


def test_any_fault_in_reading_is_of_that_file_alone(tmp_path, monkeypatch):
    for number in ("1001", "1002"):
        (tmp_path / number).mkdir()
        (tmp_path / number / "90_demo.ipynb").write_text('{"cells": []}' if number == "1001" else '{"cells": [] }')
    once = reader.sheet_of

    def breaks(data, name):
        if data.endswith(b" }"):
            raise ZeroDivisionError("a fault of ours")
        return once(data, name)
    monkeypatch.setattr(reader, "sheet_of", breaks)
    taken, _ = returns.collect(tmp_path, two())
    assert [(r.student, r.fault) for r in taken] == [
        ("1001", ""), ("1002", "'1002/90_demo.ipynb' cannot be read as a notebook (ZeroDivisionError)")]


def test_a_student_with_too_many_files_takes_no_others_time(tmp_path, monkeypatch):
    monkeypatch.setattr(returns, "MOST_FILES", 3)
    for number in ("1001", "1002"):
        (tmp_path / number).mkdir()
        for copy in range(5 if number == "1001" else 2):
            (tmp_path / number / f"90_demo ({copy}).ipynb").write_text('{"cells": []}')
    taken, aside = returns.collect(tmp_path, two())
    assert [r.student for r in taken] == ["1001", "1002"] and "3 files" in taken[0].notes[1]
    assert len(aside) == 1 and aside[0].startswith("student 1001 handed in more") and ": 2 were passed over" in aside[0]


def test_a_folder_that_looks_like_a_number_ends_nobodys_turn(tmp_path, monkeypatch):
    """Each sealed file is of its owner's turn; what lies there without a seal is still bounded."""
    monkeypatch.setattr(returns, "MOST_FILES", 3)
    owners = Owners([Student(n) for n in ("1001", "1002", "1003", "2026")], ["90_demo"], b"secret")
    for number in ("1001", "1002", "1003"):
        folder = tmp_path / "winter 2026" / number
        folder.mkdir(parents=True)
        own = {"exercise": "90_demo", "student": number, "seal": seal_of(b"secret", number, "90_demo")}
        for copy in range(2):
            book = {"cells": [], "metadata": {"suspedu": own, "copy": copy}, "nbformat": 4, "nbformat_minor": 5}
            (folder / f"{copy}.ipynb").write_text(json.dumps(book))
    assert [r.student for r in returns.collect(tmp_path, owners)[0]] == ["1001", "1002", "1003"]
    for copy in range(5):
        (tmp_path / "winter 2026" / f"{copy}.ipynb").write_text(json.dumps({"cells": []}))
    assert sum("were passed over" in said for said in returns.collect(tmp_path, owners)[1]) == 1


def test_a_zip_in_a_zip_is_opened_once_for_all_its_members(tmp_path, monkeypatch):
    inner, opened = io.BytesIO(), []
    with zipfile.ZipFile(inner, "w") as box:
        for number in range(50):
            box.writestr(f"{number}.ipynb", "{}")
    with zipfile.ZipFile(tmp_path / "r.zip", "w") as box:
        box.writestr("inner.zip", inner.getvalue())

    class Counted(zipfile.ZipFile):
        def __init__(self, file, *rest, **more):
            opened.append(type(file).__name__)
            super().__init__(file, *rest, **more)
    monkeypatch.setattr(zipfile, "ZipFile", Counted)
    found = list(archive.members(tmp_path / "r.zip"))
    assert len(found) == 50 and all(member.read() == b"{}" for member in found)
    assert opened.count("BytesIO") == 1


def test_a_link_that_leads_round_to_itself_stops_nobody(tmp_path):
    for number in ("1001", "1002"):
        (tmp_path / number).mkdir()
    (tmp_path / "1001" / "90_demo.ipynb").symlink_to("90_demo.ipynb")
    (tmp_path / "1002" / "90_demo.ipynb").write_text("{}")
    taken, _ = returns.collect(tmp_path, two())
    assert [(r.student, "link" in r.fault) for r in taken] == [("1001", True), ("1002", False)]


def test_slow_disk_passes_nobody_over_and_computing_does(monkeypatch):
    """What reading takes by the clock hangs on the machine; what it computes, on the file."""
    def computing():
        until = time.process_time() + 0.06
        while time.process_time() < until:
            pass
        return b"{}"

    def passed_over(read):
        turn = returns._Turns()
        for k in range(4):
            turn.take(returns.Found(("1001", f"{k}.ipynb"), 0.0, read), two())
        return turn.passed_over["1001"]

    monkeypatch.setattr(returns, "MOST_SECONDS", 0.1)
    assert passed_over(lambda: time.sleep(0.11) or b"{}") == 0
    assert passed_over(computing) == 2
