"""Marks for a spreadsheet or a learning platform: one line a student, and one line a return."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from suspedu.coursework.book.class_figures import ClassFigures
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.record_book import RecordBook

RETURNS = ("student", "exercise", "points", "of", "when", "file")
NOT_RETURNED, UNMARKABLE = "not returned", "could not be marked"


@dataclass(frozen=True)
class Wording:
    """How a spreadsheet wants a table: what stands between cells, and in numbers."""

    separator: str = ","
    comma: bool = False  # whether numbers have a decimal comma

    def number(self, value: float) -> str:
        """A number as that spreadsheet reads it.

        >>> Wording(comma=True).number(7.5), Wording().number(7.0)
        ('7,5', '7')
        """
        return f"{value:g}".replace(".", ",") if self.comma else f"{value:g}"


def return_rows(record: RecordBook, wording: Wording) -> list[tuple]:
    """One row a return: student, exercise, points, of, when, hash of the file that was marked."""
    return [(m.student, m.exercise, wording.number(m.earned), m.possible, m.at, m.digest) for m in record.marked()]


def mark_rows(found: ClassFigures, wording: Wording) -> tuple[list[str], list[list[str]]]:
    """Heads, and one row for each student of the class list, whether anything was handed in or not.

    Per exercise the points and their state; then the total, how much there is, its share, what waits to be read, and
    the other columns of the class list as they came.
    """
    platform = ["platform number"] * any(student.platform for student in found.students)
    others = list(dict.fromkeys(heading for student in found.students for heading in student.other))
    possible = found.possible
    heads = ["student", "name", "address", *platform, *others]
    counts = {name: f", counts {w:g} times" for name, w in found.weights.items()}
    heads += [cell for name in found.exercises
              for cell in (f"{name} (of {possible[name]}{counts.get(name, '')})", f"{name} state")]
    heads += ["total", "of", "percent", "answers that wait to be read"]
    return heads, [_row(found, student, [student.platform] * len(platform), others, wording)
                   for student in found.students]


def _row(found: ClassFigures, student: Student, platform: Sequence[str], others: Sequence[str],
         wording: Wording) -> list[str]:
    """A student's row; what was not handed in has no points, but counts as nought in the total."""
    keys = [(student.number, name) for name in found.exercises]
    earned, total = found.earned(student.number), found.total
    waits = sum(found.waiting.get(key, 0) for key in keys)
    cells = [cell for key in keys for cell in _of_exercise(found, key, wording)]
    share = wording.number(round(100.0 * earned / total, 1)) if total else ""
    return [student.number, student.name, student.address, *platform, *(student.other.get(name, "") for name in others),
            *cells, wording.number(earned), wording.number(total), share, str(waits)]


def _of_exercise(found: ClassFigures, key: tuple[str, str], wording: Wording) -> tuple[str, str]:
    if key not in found.marks:
        return "", NOT_RETURNED
    waits = found.waiting.get(key, 0)
    state = UNMARKABLE if key in found.unreadable else f"{waits} to be read" if waits else "marked"
    return wording.number(found.marks[key][0]), state
