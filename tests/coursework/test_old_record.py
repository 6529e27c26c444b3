"""A record that an earlier version wrote: its marks are the same when it is opened now."""

import sqlite3
from contextlib import closing

import pytest

from suspedu.coursework.desk.record_book import RecordBook, Scored
from suspedu.coursework.desk.record_tables import VERSION, version_of

# The tables as version 1 made them, written out: what lies on an instructor's disk.
FIRST = """
CREATE TABLE student(number TEXT PRIMARY KEY, name TEXT NOT NULL, address TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE handout(student TEXT, exercise TEXT, numbers INTEGER NOT NULL,
  PRIMARY KEY(student, exercise)) WITHOUT ROWID;
CREATE TABLE marked(student TEXT, exercise TEXT, job TEXT NOT NULL, digest TEXT NOT NULL, origin TEXT NOT NULL,
  saved REAL NOT NULL, at TEXT NOT NULL, fault TEXT NOT NULL, notes TEXT NOT NULL, evidence TEXT NOT NULL,
  PRIMARY KEY(student, exercise)) WITHOUT ROWID;
CREATE TABLE question(student TEXT, exercise TEXT, question TEXT, place INTEGER NOT NULL, title TEXT NOT NULL,
  points REAL, of INTEGER NOT NULL, verdict TEXT NOT NULL, hint TEXT NOT NULL, printed TEXT NOT NULL,
  expected TEXT NOT NULL, answer TEXT NOT NULL,
  PRIMARY KEY(student, exercise, question)) WITHOUT ROWID;
CREATE TABLE by_hand(student TEXT, exercise TEXT, question TEXT, points REAL, remark TEXT NOT NULL,
  answer TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY(student, exercise, question)) WITHOUT ROWID;
CREATE TABLE expected(key TEXT PRIMARY KEY, prints TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE asked(exercise TEXT, question TEXT, place INTEGER NOT NULL, title TEXT NOT NULL, of INTEGER NOT NULL,
  by_hand INTEGER NOT NULL, PRIMARY KEY(exercise, question)) WITHOUT ROWID;
"""
ROWS = """
INSERT INTO student VALUES('1001', 'Zoë', '');
INSERT INTO handout VALUES('1001', '90_demo', 7);
INSERT INTO asked VALUES('90_demo', 'q1', 0, 'Rate', 2, 0);
INSERT INTO asked VALUES('90_demo', 'q4', 1, 'In words', 3, 1);
INSERT INTO marked VALUES('1001', '90_demo', 'job', 'digest', 'file', 0.0, 'now', '', '["a note"]', '{}');
INSERT INTO question VALUES('1001', '90_demo', 'q1', 0, 'Rate', 1.0, 2, 'right', '', '1 N', '1 N', 'x');
INSERT INTO question VALUES('1001', '90_demo', 'q4', 1, 'In words', NULL, 3, 'by hand', 'waits', '', '', 'words');
INSERT INTO by_hand VALUES('1001', '90_demo', 'q4', 2.5, 'well said', 'words', 'now');
"""


@pytest.fixture
def old(tmp_path):
    path = tmp_path / "record.sqlite"
    with closing(sqlite3.connect(path)) as base:
        base.executescript(f"{FIRST}{ROWS}PRAGMA user_version=1;")
    return path


def test_an_old_record_keeps_every_mark(old):
    for _ in range(2):  # once changed, once found as it should be
        with RecordBook(old) as record:
            only = next(record.marked())
            assert only.questions == (
                Scored("q1", "Rate", 1.0, 2, "right", "", "1 N", "1 N", "x"),
                Scored("q4", "In words", 2.5, 3, "by hand", "well said", answer="words"))
            assert (only.earned, only.possible, only.notes) == (3.5, 5, ("a note",))
            assert record.asked() == {"90_demo": [("q1", "Rate", 2, False), ("q4", "In words", 3, True)]}
            assert record.handouts() == {("1001", "90_demo"): 7}
    with closing(sqlite3.connect(old)) as base:
        assert version_of(base) == VERSION


def test_an_old_and_a_new_record_have_the_same_tables(old, tmp_path):
    RecordBook(old).close()
    RecordBook(tmp_path / "new.sqlite").close()
    names = []
    for path in (old, tmp_path / "new.sqlite"):
        with closing(sqlite3.connect(path)) as base:
            tables = [name for name, in base.execute("SELECT name FROM sqlite_master WHERE type='table' ORDER BY name")]
            names.append({table: [row[1:4] for row in base.execute(f"PRAGMA table_info({table})")] for table in tables})
    assert names[0] == names[1] and set(names[0]["question"][5]) == {"earned", "REAL", 0}


def test_a_change_that_breaks_off_leaves_the_old_record(old, monkeypatch):
    monkeypatch.setattr("suspedu.coursework.desk.record_tables.CHANGES", {
        1: ("ALTER TABLE question RENAME COLUMN points TO earned", "ALTER TABLE absent RENAME COLUMN a TO b"), 2: ()})
    with pytest.raises(Exception, match="absent"):
        RecordBook(old)
    with closing(sqlite3.connect(old)) as base:
        assert version_of(base) == 1
        assert base.execute("SELECT points, of FROM question").fetchall() == [(1.0, 2), (None, 3)]
