"""The record: every student, hand-out, mark and remark in one SQLite file, written whole or not at all."""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Iterable, Iterator
from contextlib import closing
from pathlib import Path

from suspedu.coursework.desk import marked_rows, points_kept, row_hashes
from suspedu.coursework.desk.backups import why
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.lateness import Due, in_time
from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.desk.marked_rows import Counted
from suspedu.coursework.desk.record_tables import VERSION, bring_up_to_date, version_of
from suspedu.coursework.exercise.verdicts import SET
from suspedu.units import InputError


def now() -> str:
    """The hour, as the record writes it."""
    return time.strftime("%Y-%m-%d %H:%M:%S%z")


class RecordBook:
    """The record of one course, in a file of the instructor's folder."""

    def __init__(self, path: Path | str):
        self.path = Path(path)
        self.path.parent.mkdir(parents=True, exist_ok=True)
        try:
            self._base = sqlite3.connect(self.path, timeout=60, isolation_level=None, check_same_thread=False)
            self._prepare()
        except sqlite3.DatabaseError as fault:
            raise InputError(f"record '{self.path}' {why(fault, self.path)}") from None

    def _prepare(self) -> None:
        self._base.execute("PRAGMA journal_mode=WAL")
        self._base.execute("PRAGMA synchronous=FULL")
        version = version_of(self._base)
        if version > VERSION:
            raise InputError(f"record '{self.path}' was written by a newer version of suspedu; update suspedu")
        if version < VERSION:
            with self.whole() as base:
                bring_up_to_date(base)
        row_hashes.follow(self._base)

    def close(self) -> None:
        """Close the file."""
        self._base.close()

    def __enter__(self):
        return self

    def __exit__(self, kind, fault, trace):
        self.close()
        if isinstance(fault, sqlite3.Error):  # the disk's, or the record's: a sentence, whoever works with it
            raise InputError(f"record '{self.path}' {why(fault, self.path)}") from None

    def whole(self) -> _Whole:
        """One transaction: everything inside it is written, or nothing."""
        return _Whole(self._base)

    def rows(self, statement: str, *values) -> list[tuple]:
        """All rows of a statement."""
        with closing(self._base.execute(statement, values)) as cursor:
            return cursor.fetchall()

    # the class

    def add_students(self, students: Iterable[Student]) -> None:
        """Take students up, or what changed about them in the list; nobody is struck off."""
        with self.whole() as base:
            base.executemany(
                "INSERT INTO student(number, name, address, platform, other) VALUES(?,?,?,?,?) ON CONFLICT(number) DO "
                "UPDATE SET name=excluded.name, address=excluded.address, platform=excluded.platform, "
                "other=excluded.other",
                [(s.number, s.name, s.address, s.platform, json.dumps(s.other)) for s in students])

    def students(self) -> list[Student]:
        """All students of the class, by number, but those who left it."""
        rows = self.rows("SELECT number, name, address, platform, other FROM student WHERE gone='' ORDER BY number")
        return [Student(*facts, json.loads(other)) for *facts, other in rows]

    def left(self) -> list[str]:
        """Numbers of the students who left the class."""
        return [number for number, in self.rows("SELECT number FROM student WHERE gone!='' ORDER BY number")]

    def set_aside(self, sentences: Iterable[str]) -> None:
        """Note what the latest run of marking left aside, and why, in place of what an earlier one did."""
        with self.whole() as base:
            base.execute("DELETE FROM aside")
            base.executemany("INSERT INTO aside(said) VALUES(?)", [(each,) for each in sentences])

    def aside(self) -> list[str]:
        """What the latest run of marking left aside, and why."""
        return [said for said, in self.rows("SELECT said FROM aside ORDER BY place")]

    def add_handout(self, rows: Iterable[tuple[str, str, int]]) -> None:
        """Note which row of numbers a student was given in an exercise; what was noted once stays."""
        with self.whole() as base:
            base.executemany("INSERT OR IGNORE INTO handout VALUES(?,?,?)", rows)

    def handouts(self) -> dict[tuple[str, str], int]:
        """Row of numbers by student and exercise."""
        return {(student, exercise): row for student, exercise, row in self.rows("SELECT * FROM handout")}

    def add_drawn(self, rows: Iterable[tuple[str, str, dict, dict]]) -> None:
        """Note which numbers a student drew in an exercise, and the order of options; what was noted once stays."""
        with self.whole() as base:
            base.executemany("INSERT OR IGNORE INTO drawn VALUES(?,?,?,?)",
                             [(*key, json.dumps(numbers), json.dumps(orders)) for *key, numbers, orders in rows])

    def drawn(self) -> dict[tuple[str, str], tuple[dict, dict]]:
        """Drawn numbers and orders of options by student and exercise."""
        return {(student, exercise): (json.loads(numbers), json.loads(orders))
                for student, exercise, numbers, orders in self.rows("SELECT * FROM drawn")}

    # the examiner's pen, see `pen`

    def tell(self, base: sqlite3.Connection, said: str) -> None:
        """Add a sentence to the trail of all changes, inside a transaction."""
        base.execute("INSERT INTO trail(at, said) VALUES(?,?)", (now(), said))

    def trail(self) -> list[tuple[str, str]]:
        """Every change so far: hour and sentence, oldest first."""
        return self.rows("SELECT at, said FROM trail ORDER BY place")

    def dues(self) -> dict[tuple[str, str], Due]:
        """Deadlines by exercise and student; "" stands for all."""
        return {(exercise, student): Due(*facts) for exercise, student, *facts in self.rows("SELECT * FROM due")}

    def weights(self) -> dict[str, float]:
        """Weights by exercise, of those that were given one."""
        return dict(self.rows("SELECT exercise, weight FROM weight"))

    # marks

    def set_asked(self, exercise: str, questions: Iterable[tuple[str, str, int, bool]]) -> None:
        """Note the questions (id, title, points, by hand) of an exercise."""
        rows = [(exercise, key, place, *facts) for place, (key, *facts) in enumerate(questions)]
        with self.whole() as base:
            base.execute("DELETE FROM asked WHERE exercise=?", (exercise,))
            base.executemany("INSERT INTO asked VALUES(?,?,?,?,?,?)", rows)

    def set_wording(self, exercise: str, rows: Iterable[tuple[str, str, str, str]]) -> None:
        """Note what the questions in words ask (id, text, model answer, rubric), for whoever reads the answers."""
        with self.whole() as base:
            base.execute("DELETE FROM wording WHERE exercise=?", (exercise,))
            base.executemany("INSERT INTO wording VALUES(?,?,?,?,?)", [(exercise, *row) for row in rows])

    def wording(self) -> dict[tuple[str, str], tuple[str, str, str]]:
        """Text, model answer and rubric of the questions in words, by exercise and question."""
        return {tuple(key): tuple(rest) for *key, asked, model, rubric in self.rows("SELECT * FROM wording")
                for rest in [(asked, model, rubric)]}

    def asked(self) -> dict[str, list[tuple[str, str, int, bool]]]:
        """Questions (id, title, points, by hand) by exercise, in their order."""
        found: dict[str, list] = {}
        for exercise, *rest, hand in self.rows("SELECT exercise, question, title, possible, by_hand FROM asked "
                                                "ORDER BY exercise, place"):
            found.setdefault(exercise, []).append((*rest, bool(hand)))
        return found

    def write(self, marked: Marked) -> list[str]:
        """Write one marked exercise in place of an earlier one, and what changes into the trail; all of it or nothing.

        Returns: sentences on points that were set by the pen and do not hold for the answers that came now.
        """
        with self.whole() as base:
            fallen = points_kept.carry(base, marked)
            for said in (*fallen, marked_rows.told_change(marked, *marked_rows.before(base, marked))):
                self.tell(base, said)
            marked_rows.put(base, marked)
        return fallen

    def jobs(self) -> dict[tuple[str, str], str]:
        """Hash of what each mark depends on, by student and exercise."""
        return {(a, b): job for a, b, job in self.rows("SELECT student, exercise, job FROM marked")}

    def counted(self, student: str = "", exercise: str = "") -> dict[tuple[str, str], Counted]:
        """The file that each mark was given for, of one student and exercise or of all."""
        rows = self.rows("SELECT student, exercise, digest, saved, origin, fault FROM marked "
                         "WHERE ? IN ('', student) AND ? IN ('', exercise)", student, exercise)
        return {(a, b): Counted(*facts) for a, b, *facts in rows}

    def set_saved(self, student: str, exercise: str, saved: float, said: str) -> None:
        """Give a marked file another date [s since 1970], and say so in the trail."""
        with self.whole() as base:
            base.execute("UPDATE marked SET saved=? WHERE student=? AND exercise=?", (saved, student, exercise))
            self.tell(base, f"student {student}, {exercise}: {said}")

    def marked(self, student: str = "", exercise: str = "") -> Iterator[Marked]:
        """Marked exercises of one student or of all, by student and exercise, with points by hand and by the pen."""
        rows = self.rows("SELECT * FROM marked WHERE ? IN ('', student) AND ? IN ('', exercise) "
                         "ORDER BY student, exercise", student, exercise)
        return in_time((self._with_questions(row) for row in rows), self.dues())

    def _with_questions(self, row: tuple) -> Marked:
        student, exercise, *facts, notes, evidence = row
        rows = self.rows(
            "SELECT q.question, title, CASE WHEN p.earned IS NOT NULL THEN p.earned "
            "WHEN q.verdict='by hand' THEN h.earned ELSE q.earned END, possible, "
            f"CASE WHEN p.earned IS NULL THEN verdict ELSE '{SET}' END, "
            "CASE WHEN p.earned IS NOT NULL THEN p.who || ', ' || substr(p.at, 1, 10) || ': ' || p.reason "
            "WHEN h.remark IS NULL THEN hint ELSE h.remark END, printed, expected, q.answer "
            "FROM question q LEFT JOIN by_hand h USING (student, exercise, question, answer) "
            "LEFT JOIN pen p USING (student, exercise, question, answer) "
            "WHERE q.student=? AND q.exercise=? ORDER BY place", student, exercise)
        return Marked(student, exercise, *facts, tuple(json.loads(notes)), json.loads(evidence),
                      tuple(Scored(*each) for each in rows))

    def add_by_hand(self, rows: Iterable[tuple]) -> None:
        """Write marks by hand (student, exercise, question, earned, remark, answer, at), all or none.

        They hold for the answer that was read: where a student hands in another one, it waits to be read again.
        """
        with self.whole() as base:
            for row in rows:
                base.execute("INSERT OR REPLACE INTO by_hand VALUES(?,?,?,?,?,?,?)", row)
                self.tell(base, f"student {row[0]}, {row[1]}, {row[2]}: {row[3]:g} by hand")

    # expected prints, computed once

    def expected(self, key: str) -> dict | None:
        """Expected prints that were computed before under a key, or None."""
        return next((json.loads(prints) for prints, in self.rows("SELECT prints FROM expected WHERE key=?", key)), None)

    def keep_expected(self, prints: dict[str, dict]) -> None:
        """Keep expected prints by their keys."""
        with self.whole() as base:
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
