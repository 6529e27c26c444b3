"""The record: every student, hand-out, mark and remark in one SQLite file, written whole or not at all."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.record_tables import VERSION, bring_up_to_date, version_of
from suspedu.units import InputError


@dataclass(frozen=True)
class Scored:
    """What became of one question; `earned` is None until an explanation has been marked by hand."""

    question: str
    title: str
    earned: float | None
    possible: int
    verdict: str
    hint: str = ""
    printed: str = ""
    expected: str = ""
    answer: str = ""


@dataclass(frozen=True)
class Marked:
    """One student's marked exercise; `fault` where the file could not be marked at all."""

    student: str
    exercise: str
    job: str  # hash of everything that the marks depend on
    digest: str
    origin: str
    saved: float
    at: str
    fault: str = ""
    notes: tuple[str, ...] = ()
    evidence: dict = field(default_factory=dict)
    questions: tuple[Scored, ...] = ()

    @property
    def earned(self) -> float:
        """Points so far."""
        return sum(q.earned or 0.0 for q in self.questions)

    @property
    def possible(self) -> int:
        """The most points there are."""
        return sum(q.possible for q in self.questions)


class RecordBook:
    """The record of one course, in a file of the instructor's folder."""

    def __init__(self, path: Path | str):
        self.path = Path(path)
        self.path.parent.mkdir(parents=True, exist_ok=True)
        try:
            self._base = sqlite3.connect(self.path, timeout=60, isolation_level=None, check_same_thread=False)
            self._prepare()
        except sqlite3.DatabaseError as fault:
            raise InputError(f"record '{self.path}' cannot be opened: {fault}; restore it from your copy") from None

    def _prepare(self) -> None:
        self._base.execute("PRAGMA journal_mode=WAL")
        self._base.execute("PRAGMA synchronous=FULL")
        version = version_of(self._base)
        if version > VERSION:
            raise InputError(f"record '{self.path}' was written by a newer version of suspedu; update suspedu")
        if version < VERSION:
            with self._whole() as base:
                bring_up_to_date(base)

    def close(self) -> None:
        """Close the file."""
        self._base.close()

    def __enter__(self):
        return self

    def __exit__(self, *fault):
        self.close()

    def _whole(self) -> _Whole:
        return _Whole(self._base)

    def _rows(self, statement: str, *values) -> list[tuple]:
        with closing(self._base.execute(statement, values)) as cursor:
            return cursor.fetchall()

    # the class

    def add_students(self, students: Iterable[Student]) -> None:
        """Take students up, or what changed about them in the list; nobody is struck off."""
        with self._whole() as base:
            base.executemany("INSERT OR REPLACE INTO student(number, name, address, platform, other) "
                             "VALUES(?,?,?,?,?)",
                             [(s.number, s.name, s.address, s.platform, json.dumps(s.other)) for s in students])

    def students(self) -> list[Student]:
        """All students, by number."""
        rows = self._rows("SELECT number, name, address, platform, other FROM student ORDER BY number")
        return [Student(*facts, json.loads(other)) for *facts, other in rows]

    def set_aside(self, sentences: Iterable[str]) -> None:
        """Note what the latest run of marking left aside, and why, in place of what an earlier one did."""
        with self._whole() as base:
            base.execute("DELETE FROM aside")
            base.executemany("INSERT INTO aside(said) VALUES(?)", [(each,) for each in sentences])

    def aside(self) -> list[str]:
        """What the latest run of marking left aside, and why."""
        return [said for said, in self._rows("SELECT said FROM aside ORDER BY place")]

    def add_handout(self, rows: Iterable[tuple[str, str, int]]) -> None:
        """Note which row of numbers a student was given in an exercise; what was noted once stays."""
        with self._whole() as base:
            base.executemany("INSERT OR IGNORE INTO handout VALUES(?,?,?)", rows)

    def handouts(self) -> dict[tuple[str, str], int]:
        """Row of numbers by student and exercise."""
        return {(student, exercise): row for student, exercise, row in self._rows("SELECT * FROM handout")}

    # marks

    def set_asked(self, exercise: str, questions: Iterable[tuple[str, str, int, bool]]) -> None:
        """Note the questions (id, title, points, by hand) of an exercise."""
        rows = [(exercise, key, place, *facts) for place, (key, *facts) in enumerate(questions)]
        with self._whole() as base:
            base.execute("DELETE FROM asked WHERE exercise=?", (exercise,))
            base.executemany("INSERT INTO asked VALUES(?,?,?,?,?,?)", rows)

    def asked(self) -> dict[str, list[tuple[str, str, int, bool]]]:
        """Questions (id, title, points, by hand) by exercise, in their order."""
        found: dict[str, list] = {}
        for exercise, *rest, hand in self._rows("SELECT exercise, question, title, possible, by_hand FROM asked "
                                                "ORDER BY exercise, place"):
            found.setdefault(exercise, []).append((*rest, bool(hand)))
        return found

    def write(self, marked: Marked) -> None:
        """Write one marked exercise in place of an earlier one; all of it or nothing."""
        key = (marked.student, marked.exercise)
        with self._whole() as base:
            base.execute("DELETE FROM question WHERE student=? AND exercise=?", key)
            base.execute("INSERT OR REPLACE INTO marked VALUES(?,?,?,?,?,?,?,?,?,?)",
                         (*key, marked.job, marked.digest, marked.origin, marked.saved, marked.at, marked.fault,
                          json.dumps(marked.notes), json.dumps(marked.evidence)))
            base.executemany("INSERT INTO question VALUES(?,?,?,?,?,?,?,?,?,?,?,?)",
                             [(*key, q.question, k, q.title, q.earned, q.possible, q.verdict, q.hint, q.printed,
                               q.expected, q.answer) for k, q in enumerate(marked.questions)])

    def jobs(self) -> dict[tuple[str, str], str]:
        """Hash of what each mark depends on, by student and exercise."""
        return {(a, b): job for a, b, job in self._rows("SELECT student, exercise, job FROM marked")}

    def marked(self, student: str = "") -> Iterator[Marked]:
        """Marked exercises of one student or of all, by student and exercise, with the points given by hand."""
        rows = self._rows("SELECT * FROM marked WHERE ?='' OR student=? ORDER BY student, exercise", student, student)
        return (self._with_questions(row) for row in rows)

    def _with_questions(self, row: tuple) -> Marked:
        student, exercise, *facts, notes, evidence = row
        rows = self._rows(
            "SELECT q.question, title, CASE WHEN q.verdict='by hand' THEN h.earned ELSE q.earned END, possible, "
            "verdict, CASE WHEN h.remark IS NULL THEN hint ELSE h.remark END, printed, expected, q.answer "
            "FROM question q LEFT JOIN by_hand h ON h.student=q.student AND h.exercise=q.exercise "
            "AND h.question=q.question AND h.answer=q.answer WHERE q.student=? AND q.exercise=? ORDER BY place",
            student, exercise)
        return Marked(student, exercise, *facts, tuple(json.loads(notes)), json.loads(evidence),
                      tuple(Scored(*each) for each in rows))

    def add_by_hand(self, rows: Iterable[tuple]) -> None:
        """Write marks by hand (student, exercise, question, earned, remark, answer, at), all or none.

        They hold for the answer that was read: where a student hands in another one, it waits to be read again.
        """
        with self._whole() as base:
            base.executemany("INSERT OR REPLACE INTO by_hand VALUES(?,?,?,?,?,?,?)", rows)

    # expected prints, computed once

    def expected(self, key: str) -> dict | None:
        """Expected prints that were computed before under a key, or None."""
        rows = self._rows("SELECT prints FROM expected WHERE key=?", key)
        return json.loads(rows[0][0]) if rows else None

    def keep_expected(self, prints: dict[str, dict]) -> None:
        """Keep expected prints by their keys."""
        with self._whole() as base:
            base.executemany("INSERT OR REPLACE INTO expected VALUES(?,?)",
                             [(key, json.dumps(value)) for key, value in prints.items()])


class _Whole:
    """One transaction: everything inside it is written, or nothing."""

    def __init__(self, base: sqlite3.Connection):
        self.base = base

    def __enter__(self) -> sqlite3.Connection:
        self.base.execute("BEGIN IMMEDIATE")
        return self.base

    def __exit__(self, kind, *rest) -> None:
        self.base.execute("COMMIT" if kind is None else "ROLLBACK")
