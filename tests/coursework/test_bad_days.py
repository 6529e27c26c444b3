"""A disk that is full or can only be read, a secret or a record that is lost: a sentence whose advice helps."""

import random
import shutil
import sqlite3
import subprocess
import tempfile
from contextlib import closing

import pytest

from suspedu.cli import main
from suspedu.coursework.desk.desk import Desk
from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.units import InputError

NAME = "90_demo"


class Place:
    """A desk with two students, one of them marked, and its commands."""

    def __init__(self, folder, course, capsys):
        self.folder, self.course, self.capsys = folder, course, capsys
        self.list = course / "class.csv"
        self.list.write_text("number\n1\n2\n", encoding="utf-8")
        assert self.say("handout", str(self.list), "90")[0] == 0
        with Desk(folder).record() as record:
            record.write(Marked("1", NAME, "job", "digest", "1.ipynb", 0.0, "now",
                                questions=(Scored("q1", "Rate from wire", 2.0, 2, "right", answer="rate"),)))

    def say(self, command, *words):
        """Exit code and the sentence of a command."""
        own = ["--solutions", str(self.course / "solutions"), "--exercises", str(self.course / "exercises")]
        code = main([command, *words, "--desk", str(self.folder), *(own if command in ("handout", "mark") else [])])
        out, err = self.capsys.readouterr()
        return code, err.strip() if code else out

    def points(self):
        with Desk(self.folder).record() as record:
            return {marked.student: marked.earned for marked in record.marked()}


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 1 MB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "none", folder], check=True)
    yield folder
    subprocess.run(["umount", "-l", folder], check=True)


def may_mount() -> bool:
    """Whether a small disk can be mounted here, as root usually can; found by doing it."""
    with tempfile.TemporaryDirectory() as folder:
        if not shutil.which("mount") or subprocess.run(["mount", "-t", "tmpfs", "none", folder],
                                                       capture_output=True).returncode:
            return False
        subprocess.run(["umount", "-l", folder], check=True)
        return True


COMMANDS = (("classbook",), ("pen", "weight", "90", "2"), ("mark", "{returns}", "90", "--mode", "limited"))


@pytest.mark.skipif(not may_mount(), reason="this account may not mount a disk")
def test_full_or_read_only_disk_is_told_and_loses_nothing(small_disk, course, capsys):
    place = Place(small_disk / "desk", course, capsys)
    commands = [("handout", str(place.list), "90"), *COMMANDS]
    commands = [[word.format(returns=small_disk / "desk" / "handed_out") for word in words] for words in commands]
    fill = small_disk / "fill"
    with pytest.raises(OSError), fill.open("wb", buffering=0) as file:
        while True:
            file.write(b"x" * 4096)
    place.list.write_text("number\n1\n2\n3\n", encoding="utf-8")
    for words in commands:
        code, said = place.say(*words)
        assert code == 2 and "the disk is full; make room" in said and "\n" not in said, said
    fill.unlink()
    assert place.points() == {"1": 2.0} and place.say("handout", str(place.list), "90")[0] == 0
    subprocess.run(["mount", "-o", "remount,ro", small_disk], check=True)
    for words in commands:
        code, said = place.say(*words)
        assert code == 2 and "can only be read; copy the desk to a place that you may write to" in said, said
    subprocess.run(["mount", "-o", "remount,rw", small_disk], check=True)
    assert place.points() == {"1": 2.0}


def flipped(data, count, seed):
    """The bytes with some bits of them changed."""
    chance, changed = random.Random(seed), bytearray(data)
    for _ in range(count):
        changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
    return bytes(changed)


def test_a_record_with_flipped_bytes_is_named_and_comes_back_from_its_copy(tmp_path, course, capsys):
    """Also one that was cut short; an empty one counts as missing, and is never copied over a good copy."""
    place = Place(tmp_path / "desk", course, capsys)
    desk, record = Desk(tmp_path / "desk"), tmp_path / "desk" / "record.sqlite"
    desk.back_up()
    name, = (path.stem.removeprefix("record ") for path in desk.copies.glob("record *.sqlite"))
    whole = record.read_bytes()
    for data in (*(flipped(whole, 3000, seed) for seed in range(4)), whole[:len(whole) // 2], b""):
        record.write_bytes(data)
        for words in (("mark", str(desk.handed_out), "90", "--mode", "limited"), ("classbook",)):
            code, said = place.say(*words)
            assert code == 2 and "\n" not in said and "suspedu pen" in said, said
            assert ("damaged" if data else "is missing, and there are copies") in said, said
        assert place.say("pen", "restore", name)[0] == 0 and place.points() == {"1": 2.0}
    assert len(list(desk.copies.glob("record *.sqlite"))) == 1


def test_a_flipped_bit_inside_a_text_or_a_number_is_named_with_its_row(tmp_path, course, capsys):
    """SQLite itself finds nothing wrong with such a record; the copy of it is not put in a good one's place."""
    place = Place(tmp_path / "desk", course, capsys)
    desk, record = Desk(tmp_path / "desk"), tmp_path / "desk" / "record.sqlite"
    desk.back_up()
    name, = (path.stem.removeprefix("record ") for path in desk.copies.glob("record *.sqlite"))
    whole, damaged = record.read_bytes(), tmp_path / "desk" / "copies" / "record 2026-01-01 00.00.00.sqlite"
    question, marked = f"row 1 {NAME} q1 of table question", f"row 1 {NAME} of table marked"
    for before, bit, where in ((b"Rate from wir", 5, question), (b"Rate from wir", 7, question), (b"1.ipyn", 0, marked),
                               (b"Rate from wire", 0, question), (b"90_demo: 2 of ", 3, "of table trail")):
        at = whole.index(before) + len(before)
        record.write_bytes(whole[:at] + bytes([whole[at] ^ 1 << bit]) + whole[at + 1:])
        with closing(sqlite3.connect(record)) as base:
            assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        damaged.write_bytes(record.read_bytes())
        for words in (("mark", str(desk.handed_out), "90", "--mode", "limited"), ("classbook",)):
            code, said = place.say(*words)
            assert code == 2 and "\n" not in said, said
            assert f"{where} is not what was written); see the copies with 'suspedu pen copies'" in said, said
        assert "is damaged itself" in place.say("pen", "restore", damaged.stem.removeprefix("record "))[1]
        assert place.say("pen", "restore", name)[0] == 0 and place.points() == {"1": 2.0}


def test_hashes_follow_all_that_is_written(tmp_path):
    """Rows that come, change, come in place of others, and go; a row that vanished is missed."""
    path = tmp_path / "record.sqlite"
    with RecordBook(path) as record, record.whole() as base:
        for row in (("1", NAME, 5), ("2", NAME, 6), ("3", NAME, 7)):
            base.execute("INSERT INTO handout VALUES(?,?,?)", row)
        base.execute("INSERT OR REPLACE INTO handout VALUES('1', ?, 8)", (NAME,))
        base.execute("INSERT OR IGNORE INTO handout VALUES('2', ?, 9)", (NAME,))
        base.execute("UPDATE handout SET student='4', numbers=10 WHERE student='2'")
        base.execute("DELETE FROM handout WHERE student='3'")
    with RecordBook(path) as record:
        assert record.handouts() == {("1", NAME): 8, ("4", NAME): 10}
    with closing(sqlite3.connect(path)) as base, base:
        base.execute("DELETE FROM handout WHERE student='4'")
    with pytest.raises(InputError, match=r"is damaged .rows are missing of what was written.; see the copies"):
        RecordBook(path)


def test_a_lost_secret_is_never_made_anew_in_silence(tmp_path, course, capsys):
    place = Place(tmp_path / "desk", course, capsys)
    copy = tmp_path / "desk" / "handed_out" / "1" / f"{NAME}.ipynb"
    before, secret = copy.read_bytes(), (tmp_path / "desk" / "course_secret").read_bytes()
    (tmp_path / "desk" / "course_secret").unlink()
    for words in (("handout", str(place.list), "90"), ("mark", str(copy), "90", "--mode", "limited")):
        code, said = place.say(*words)
        assert code == 2 and "is missing, and it sealed the copies" in said and "--new-secret" in said
    assert copy.read_bytes() == before and not (tmp_path / "desk" / "course_secret").exists()
    assert "2 renewed" in place.say("handout", str(place.list), "90", "--new-secret")[1]
    numbers = [line for line in copy.read_text(encoding="utf-8").splitlines() if "wire = " in line]
    assert numbers and numbers[0].encode() in before and copy.read_bytes() != before  # a new seal, the same numbers
    (tmp_path / "desk" / "course_secret").write_bytes(secret)
    place.say("handout", str(place.list), "90")
    assert copy.read_bytes() == before


def test_a_lost_record_comes_back_from_its_copy_or_from_the_hand_outs(tmp_path, course, capsys):
    place = Place(tmp_path / "desk", course, capsys)
    desk = Desk(tmp_path / "desk")
    given = {path: path.read_bytes() for path in desk.handed_out.glob("*/*.ipynb")}
    desk.back_up()
    for path in desk.folder.glob("record.sqlite*"):
        path.unlink()
    for words in (("classbook",), ("handout", str(place.list), "90")):
        code, said = place.say(*words)
        assert code == 2 and "is missing, and there are copies of it; the latest comes back with: suspedu pen" in said
    name = desk.copies.glob("record *.sqlite").__next__().stem.removeprefix("record ")
    assert f'restore "{name}"' in said and place.say("pen", "restore", name)[0] == 0
    assert place.points() == {"1": 2.0}
    shutil.rmtree(desk.copies)
    for path in desk.folder.glob("record*.sqlite*"):
        path.unlink()
    code, said = place.say("classbook")
    assert code == 2 and "hand out again with the same class list (the copies that are out keep their numbers)" in said
    assert "2 unchanged" in place.say("handout", str(place.list), "90")[1]
    assert given == {path: path.read_bytes() for path in desk.handed_out.glob("*/*.ipynb")}
