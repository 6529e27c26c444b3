"""Returns that are alike: the same words, the same wrong value, a neighbour's value. It says where to look, no more.

Right code is often alike, since a formula is a formula; so code that is right says nothing here.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from suspedu.coursework.book.class_figures import by_number
from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.exercise.options import is_choice
from suspedu.coursework.exercise.verdicts import BY_HAND, ERROR, SET, UNANSWERED, WRONG

LONG = 40  # signs from which equal words are no chance (guess of the course)
MANY, SHARE = 4, 0.25  # students and share of all answers: from both on it is everybody's slip (guess of the course)


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
    """Questions in which some students have the same words, few the same wrong value, or one has another's value.

    Long words that are equal are shown however many have them; a value or code that many of all have says nothing.

    Parameters: marked, of all students. What was not answered has nothing in common.
    """
    asked: dict[tuple[str, str], list[tuple[str, Scored]]] = defaultdict(list)
    for one in marked:
        for scored in one.questions:
            asked[one.exercise, scored.question].append((one.student, scored))
    answered = {key: _answered(answers) for key, answers in asked.items()}
    return [found for (exercise, question), answers in answered.items()
            for found in (*_same(exercise, question, answers), *_neighbours(exercise, question, answers))]


def _answered(answers: list[tuple[str, Scored]]) -> list[tuple[str, Scored]]:
    """Those that are answers: neither empty nor the text that a class found there."""
    blanks = {_plain(scored) for _, scored in answers if scored.verdict == UNANSWERED} | {""}
    return [(student, scored) for student, scored in answers
            if scored.verdict != UNANSWERED and (scored.printed.strip() or _plain(scored) not in blanks)]


def _plain(scored: Scored) -> str:
    return " ".join(scored.answer.casefold().split())


def _same(exercise: str, question: str, answers: list[tuple[str, Scored]]) -> list[Alike]:
    """Groups with the same words, the same wrong code, or the same wrong value."""
    groups: dict[tuple[str, str, float], list[str]] = defaultdict(list)
    for student, scored in answers:
        for what, text, most in _marks_of(scored, len(answers)):
            groups[what, text, most].append(student)
    return [Alike(exercise, question, tuple(sorted(students, key=by_number)), what)
            for (what, _, most), students in groups.items() if 1 < len(students) < most]


def _marks_of(scored: Scored, all_: int) -> list[tuple[str, str, float]]:
    """What of an answer would be odd to find twice, with a kind each, and the number from which it says nothing."""
    words, found, many = _plain(scored), [], max(MANY, SHARE * all_)
    if not scored.expected and scored.verdict in (BY_HAND, SET) and len(words) >= LONG:
        found.append(("the same words", words, math.inf))
    if scored.verdict in (WRONG, ERROR) and len(words) >= LONG:
        found.append(("the same code, which is wrong", words, MANY if scored.hint else many))
    if scored.verdict == WRONG and not scored.hint and not is_choice(scored.expected) and scored.printed.strip():
        found.append(("the same wrong value, and of no known slip", scored.printed.strip(), many))
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
