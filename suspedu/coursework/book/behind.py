"""What stands behind each student's marks: files, notes, reasons, and the way from the class book to the sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.exercise.verdicts import BY_HAND, SET

SHEETS = "return_sheets"  # folder of the return sheets beside the class book


@dataclass(frozen=True)
class Behind:
    """One marked exercise of a student: its points, the file, and a sentence each for what a person should know."""

    exercise: str
    points: str
    sheet: str
    origin: str
    said: tuple[str, ...]


def behind(marked: Iterable[Marked]) -> dict[str, list[Behind]]:
    """What stands behind the marks, by student.

    Parameters: marked, of all students.
    """
    found: dict[str, list[Behind]] = defaultdict(list)
    for one in marked:
        fault = (f"could not be marked: {one.fault}",) if one.fault else ()
        said = (*fault, *one.notes, *(words for each in one.questions for words in _reasons(each)))
        points = f"{one.earned:g} of {one.possible}"
        found[one.student].append(Behind(one.exercise, points, place_on_sheet(one), one.origin, said))
    return dict(found)


def place_on_sheet(one: Marked) -> str:
    """Address of an exercise on the return sheet of its student, from the class book."""
    return f"{SHEETS}/{quote(one.student)}.html#{quote(one.exercise)}"


def _reasons(scored: Scored) -> list[str]:
    """What a person said about a question: points set with a reason, a remark on words, or that they wait."""
    points = "waits to be read" if scored.earned is None else f"{scored.earned:g} of {scored.possible}"
    if scored.verdict == SET:
        return [f"{scored.question}: {points}, set by {scored.hint}"]
    if scored.verdict == BY_HAND:
        remark = f": {scored.hint}" if scored.earned is not None and scored.hint else ""
        return [f"{scored.question} in words: {points}{remark}"]
    return []
