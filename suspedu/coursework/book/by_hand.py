"""Marks by hand: the words of the class in a CSV, its points and remarks read back, each slip refused by its row.

Words speak of figures: what the cells of the same exercise printed for that student stands beside them. Text that
begins as a formula does is written behind a ', and read back without it (`files.harmless`).
"""

from __future__ import annotations

import hashlib
import math
import time
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from suspedu.coursework.book.class_figures import by_number
from suspedu.coursework.book.marks_table import Wording
from suspedu.coursework.book.page import plain
from suspedu.coursework.book.words_kept import LONGEST_CELL, require_read, version
from suspedu.coursework.desk.class_list import read_table
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise.verdicts import BY_HAND
from suspedu.files import as_meant, write_csv
from suspedu.units import InputError

COLUMNS = ("student", "exercise", "question", "title", "asked", "model answer", "rubric", "answer", "figures",
           "version", "of", "points", "remark")
SHOWN = ("title", "asked", "model answer", "rubric", "answer", "figures")  # columns that nothing is read back from
LONGEST_REMARK = 2000
MOST_SHOWN = 20


def printable_rows(rows: Iterable[Sequence]) -> Iterator[list[str]]:
    """Rows for a CSV: what students wrote without signs that act on a screen, each cell shortened.

    >>> list(printable_rows([["a\\x1b[31mb", 2]]))
    [['ab', '2']]
    """
    return ([plain(str(cell), LONGEST_CELL) for cell in row] for row in rows)


def waiting(record: RecordBook) -> dict[tuple[str, str, str], Scored]:
    """The answers in words of the class, by student, exercise and question; read ones with their points and remark."""
    return {(m.student, m.exercise, q.question): q for m in record.marked() for q in m.questions
            if q.verdict == BY_HAND}


def write_words(path: Path, record: RecordBook, hidden: bool = False, wording: Wording | None = None) -> int:
    """Write the answers in words with room for points and remarks; how many answers there are.

    Equal ones with equal figures stand in one row; rows are in the order of the exercise, then of the students, or of
    their signs. What is filled in there and was not read yet is never written over.

    Parameters: path; record; hidden, whether signs stand for the students' numbers, so that who wrote it is not seen;
    wording, how the table is written.
    Raises: InputError where the path holds such points or remarks, or another file.
    """
    found, asked, wording = waiting(record), record.wording(), wording or Wording()
    require_read(path, record, set(COLUMNS) - set(SHOWN), {sign(student): student for student, *_ in found})
    groups: dict[tuple, list[str]] = {}
    for (student, exercise, question), q, printed in _in_order(found, record, hidden):
        read = ("", "") if q.earned is None else (wording.number(q.earned), q.hint)
        groups.setdefault((exercise, question, q.title, q.answer, printed, q.possible, *read), []).append(student)
    rows = [(" ".join(sign(s) if hidden else s for s in students), exercise, question, title,
             *asked.get((exercise, question), ("", "", "")), answer, printed, version(answer), possible, *read)
            for (exercise, question, title, answer, printed, possible, *read), students in groups.items()]
    write_csv(path, COLUMNS, printable_rows(rows), wording.separator)
    return len(found)


def _in_order(found: dict, record: RecordBook, hidden: bool) -> list[tuple[tuple[str, str, str], Scored, str]]:
    """The answers in words with their figures, by the places of their questions and the students' numbers or signs."""
    places = {(exercise, facts[0]): k for exercise, each in record.asked().items() for k, facts in enumerate(each)}
    beside = {(m.student, m.exercise): printed_figures(m) for m in record.marked()}
    ordered = sorted(found, key=lambda key: (key[1], places.get(key[1:], len(places)),
                                             by_number(sign(key[0]) if hidden else key[0])))
    return [(key, found[key], beside[key[:2]]) for key in ordered]


def printed_figures(marked: Marked) -> str:
    """What the cells of an exercise printed for a student, a line each: given ones first, then the checks.

    >>> scored = Scored("q1", "Rate", 2, 2, "right", printed="5 N\\n")
    >>> printed_figures(Marked("1", "90_demo", "", "", "", 0.0, "", questions=(scored,), evidence={"given": "aim 6 N"}))
    'given: aim 6 N\\nq1: 5 N'
    """
    prints = [("given", str(marked.evidence.get("given", ""))), *((q.question, q.printed) for q in marked.questions)]
    return "\n".join(f"{name}: {' / '.join(printed.strip().splitlines())}" for name, printed in prints
                     if printed.strip())


def sign(student: str) -> str:
    """What stands for a student whose number is not to be seen; enough against a glance, no more."""
    return "s" + hashlib.sha256(f"read unseen {student}".encode()).hexdigest()[:8]


def take(path: Path, record: RecordBook) -> list[str]:
    """Take points and remarks into the record, all or none; the students whose marks changed.

    Raises: InputError naming each row that cannot be used and why; then nothing is taken.
    """
    rows, name = read_table(Path(path)), Path(path).name
    head = [cell.strip().casefold() for cell in rows[0][1]] if rows else []
    if missing := [c for c in COLUMNS if c not in head and c not in SHOWN]:
        raise InputError(f"'{name}' has no column {', '.join(map(repr, missing))}; the first row must name the columns")
    found, faults, taken = waiting(record), [], {}
    signs = {sign(student): student for student, _, _ in found}
    for number, row in rows[1:]:
        cells = dict(zip(head, (cell.strip() for cell in row), strict=False))
        try:
            for student in as_meant(cells.get("student", "")).split() or [""]:
                _take(cells | {"student": signs.get(student, student)}, found, taken)
        except InputError as fault:
            faults.append(f"row {number}: {fault}")
    if faults:
        more = f" (and {len(faults) - MOST_SHOWN} more)" if len(faults) > MOST_SHOWN else ""
        raise InputError(f"'{name}' was not taken: " + "; ".join(faults[:MOST_SHOWN]) + more)
    now = time.strftime("%Y-%m-%d %H:%M:%S%z")
    changed = {key: given for key, given in taken.items() if given != (found[key].earned, found[key].hint)}
    record.add_by_hand((*key, *given, found[key].answer, now) for key, given in changed.items())
    return sorted({student for student, _, _ in changed})


def _take(cells: dict[str, str], found: dict, taken: dict) -> None:
    """Take one row; a row without points is not marked yet."""
    key = tuple(as_meant(cells.get(name, "")) for name in ("student", "exercise", "question"))
    if key not in found:
        raise InputError(f"the record has no answer in words of student {key[0]!r} to {key[1]!r}, question {key[2]!r}")
    if key in taken:
        raise InputError(f"student {key[0]}, question {key[2]} is there twice")
    points, remark = cells.get("points", ""), cells.get("remark", "")
    if not points:
        if remark:
            raise InputError("there is a remark, but no points; give points, or clear the remark")
        return
    if cells.get("version", "") != version(found[key].answer):
        raise InputError("this answer was handed in anew since the file was written; write the file again and read it")
    if len(remark) > LONGEST_REMARK:
        raise InputError(f"the remark has {len(remark)} characters; allowed: {LONGEST_REMARK}")
    taken[key] = (_points(points, found[key].possible), as_meant(remark))


def _points(text: str, possible: int) -> float:
    """Points as typed, with a comma or a point."""
    try:
        points = float(text.replace(",", "."))
    except ValueError:
        raise InputError(f"points are {text[:20]!r}; give a number from 0 to {possible}") from None
    if not (math.isfinite(points) and 0 <= points <= possible):
        raise InputError(f"points are {text[:20]}; allowed: 0 to {possible}")
    return points
