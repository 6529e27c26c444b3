"""Returns that are alike: the same words, the same wrong value, a neighbour's value. It says where to look, no more.

Right code is often alike, since a formula is a formula; so code that is right says nothing here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.exercise.options import is_choice
from suspedu.coursework.exercise.verdicts import ERROR, WRONG

LONG = 40  # signs from which equal words are no chance (guess of the course)
MANY = 4  # students from which a value is everybody's slip


@dataclass(frozen=True)
class Alike:
    """What some students have in common in one question."""

    exercise: str
    question: str
    students: tuple[str, ...]
    what: str

    def __str__(self) -> str:
        return f"{self.exercise} {self.question}: students {' and '.join(self.students)}: {self.what}"


def alike(marked: Iterable[Marked]) -> list[Alike]:
    """Questions in which few students have the same words or wrong value, or one has another's value.

    Parameters: marked, of all students.
    """
    asked: dict[tuple[str, str], list[tuple[str, Scored]]] = defaultdict(list)
    for one in marked:
        for scored in one.questions:
            asked[one.exercise, scored.question].append((one.student, scored))
    return [found for (exercise, question), answers in asked.items()
            for found in (*_same(exercise, question, answers), *_neighbours(exercise, question, answers))]


def _same(exercise: str, question: str, answers: list[tuple[str, Scored]]) -> list[Alike]:
    """Groups with the same words, the same wrong code, or the same wrong value."""
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for student, scored in answers:
        for what, text in _marks_of(scored):
            groups[what, text].append(student)
    return [Alike(exercise, question, tuple(students), what) for (what, _), students in groups.items()
            if 1 < len(students) < MANY]


def _marks_of(scored: Scored) -> list[tuple[str, str]]:
    """What of an answer would be odd to find twice, with a kind each."""
    words, found = " ".join(scored.answer.casefold().split()), []
    if not scored.expected and len(words) >= LONG:
        found.append(("the same words", words))
    if scored.verdict in (WRONG, ERROR) and len(words) >= LONG:
        found.append(("the same code, which is wrong", words))
    if scored.verdict == WRONG and not scored.hint and not is_choice(scored.expected) and scored.printed.strip():
        found.append(("the same wrong value, and of no known slip", scored.printed.strip()))
    return found


def _neighbours(exercise: str, question: str, answers: list[tuple[str, Scored]]) -> list[Alike]:
    """Wrong values that are right for another student's numbers."""
    owners: dict[str, list[str]] = defaultdict(list)
    for student, scored in answers:
        if scored.expected.strip() and not is_choice(scored.expected):
            owners[scored.expected.strip()].append(student)
    found = []
    for student, scored in answers:
        others = owners.get(scored.printed.strip(), []) if scored.verdict == WRONG else []
        if 0 < len(others) < MANY:
            found.append(Alike(exercise, question, (student, *others),
                               f"{student} has the value that is right for the numbers of {' and '.join(others)}"))
    return found
