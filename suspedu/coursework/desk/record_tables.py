"""Tables of the record, and how a record of an earlier version becomes one of this."""

from __future__ import annotations

import sqlite3

from suspedu.coursework.desk import row_hashes

VERSION = HASHED = 5  # the latter had hashes of rows first
TABLES = """
CREATE TABLE student(number TEXT PRIMARY KEY, name TEXT NOT NULL, address TEXT NOT NULL,
  platform TEXT NOT NULL DEFAULT '', other TEXT NOT NULL DEFAULT '{}', gone TEXT NOT NULL DEFAULT '') WITHOUT ROWID;
CREATE TABLE handout(student TEXT, exercise TEXT, numbers INTEGER NOT NULL,
  PRIMARY KEY(student, exercise)) WITHOUT ROWID;
CREATE TABLE marked(student TEXT, exercise TEXT, job TEXT NOT NULL, digest TEXT NOT NULL, origin TEXT NOT NULL,
  saved REAL NOT NULL, at TEXT NOT NULL, fault TEXT NOT NULL, notes TEXT NOT NULL, evidence TEXT NOT NULL,
  PRIMARY KEY(student, exercise)) WITHOUT ROWID;
CREATE TABLE question(student TEXT, exercise TEXT, question TEXT, place INTEGER NOT NULL, title TEXT NOT NULL,
  earned REAL, possible INTEGER NOT NULL, verdict TEXT NOT NULL, hint TEXT NOT NULL, printed TEXT NOT NULL,
  expected TEXT NOT NULL, answer TEXT NOT NULL,
  PRIMARY KEY(student, exercise, question)) WITHOUT ROWID;
CREATE TABLE by_hand(student TEXT, exercise TEXT, question TEXT, earned REAL, remark TEXT NOT NULL,
  answer TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY(student, exercise, question)) WITHOUT ROWID;
CREATE TABLE expected(key TEXT PRIMARY KEY, prints TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE asked(exercise TEXT, question TEXT, place INTEGER NOT NULL, title TEXT NOT NULL,
  possible INTEGER NOT NULL, by_hand INTEGER NOT NULL, PRIMARY KEY(exercise, question)) WITHOUT ROWID;
"""
# What the examiner's pen writes, and the trail of every change, to which rows are only ever added.
PEN = ("CREATE TABLE aside(place INTEGER PRIMARY KEY, said TEXT NOT NULL)",
       "CREATE TABLE pen(student TEXT, exercise TEXT, question TEXT, earned REAL NOT NULL, reason TEXT NOT NULL, "
       "who TEXT NOT NULL, answer TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY(student, exercise, question)) "
       "WITHOUT ROWID",
       "CREATE TABLE due(exercise TEXT, student TEXT, at REAL NOT NULL, off_a_day REAL NOT NULL, "
       "PRIMARY KEY(exercise, student)) WITHOUT ROWID",
       "CREATE TABLE wording(exercise TEXT, question TEXT, asked TEXT NOT NULL, model TEXT NOT NULL, "
       "rubric TEXT NOT NULL, PRIMARY KEY(exercise, question)) WITHOUT ROWID",
       "CREATE TABLE weight(exercise TEXT PRIMARY KEY, weight REAL NOT NULL) WITHOUT ROWID",
       "CREATE TABLE trail(place INTEGER PRIMARY KEY, at TEXT NOT NULL, said TEXT NOT NULL)",
       "CREATE TRIGGER trail_is_not_changed BEFORE UPDATE ON trail BEGIN SELECT RAISE(ABORT, 'the trail stays'); END",
       "CREATE TRIGGER trail_is_not_cut BEFORE DELETE ON trail BEGIN SELECT RAISE(ABORT, 'the trail stays'); END")
# Numbers that were drawn for a student, and the order of options: what was handed out stays known, whatever becomes of
# the exercise.
DRAWN = ("CREATE TABLE drawn(student TEXT, exercise TEXT, numbers TEXT NOT NULL, orders TEXT NOT NULL, "
         "PRIMARY KEY(student, exercise)) WITHOUT ROWID",)
# By the version that they start from; `of` and `points` were the possible and the earned ones.
CHANGES = {1: ("ALTER TABLE question RENAME COLUMN points TO earned",
               "ALTER TABLE question RENAME COLUMN of TO possible",
               "ALTER TABLE by_hand RENAME COLUMN points TO earned", "ALTER TABLE asked RENAME COLUMN of TO possible"),
           2: ("ALTER TABLE student ADD COLUMN platform TEXT NOT NULL DEFAULT ''",
               "ALTER TABLE student ADD COLUMN other TEXT NOT NULL DEFAULT '{}'",
               "ALTER TABLE student ADD COLUMN gone TEXT NOT NULL DEFAULT ''", *PEN),
           3: DRAWN, 4: (row_hashes.TABLE,)}


def version_of(base: sqlite3.Connection) -> int:
    """The version of the tables in a record; 0 where it has none yet."""
    return base.execute("PRAGMA user_version").fetchone()[0]


def bring_up_to_date(base: sqlite3.Connection) -> None:
    """Make the tables, or change those of an earlier version; to be called inside one transaction."""
    found = version_of(base)  # looked at inside the transaction: another run may have been first
    changes = [statement for version in range(found, VERSION) for statement in CHANGES.get(version, ())]
    statements = changes if found else [*TABLES.split(";"), *PEN, *DRAWN, row_hashes.TABLE]
    for statement in filter(str.strip, statements):
        base.execute(statement)
    if found < HASHED:
        row_hashes.begin(base)
    base.execute(f"PRAGMA user_version={VERSION}")
