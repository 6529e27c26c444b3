"""The class in figures: marks by exercise, distribution, questions, commonest wrong roads, who has not returned."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field

from suspedu.coursework.book.item_analysis import Item, item
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.marked import NOT_MARKED
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.exercise.verdicts import ERROR, NOT_RUN, UNANSWERED, WRONG

COMMONEST = 3
FIGURE = re.compile(r"[-\u2212]?\d+(?:[.,]\d+)*")
REACHED = re.compile(r"(?:^|(?<=\. ))[^\W\d](?:(?!\. ).)*? comes to .*", re.DOTALL)  # what a design comes to
SAME = 200  # signs of a road that are compared: long hints are cut, and figures take more or less room


@dataclass(frozen=True)
class QuestionFigures:
    """One question: possible points, item analysis, how many answers wait to be read, its commonest wrong roads."""

    exercise: str
    question: str
    title: str
    possible: int
    item: Item
    waiting: int
    roads: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class ClassFigures:
    """The whole class; marks by student and exercise hold points (earned, possible), earned so far where words wait."""

    students: tuple[Student, ...]
    exercises: tuple[str, ...]
    marks: dict[tuple[str, str], tuple[float, int]]
    unreadable: dict[tuple[str, str], str]
    questions: tuple[QuestionFigures, ...]
    waiting: dict[tuple[str, str], int] = field(default_factory=dict)  # answers in words that nobody read yet
    weights: dict[str, float] = field(default_factory=dict)  # how much an exercise's points count, where not 1

    def missing(self, exercise: str) -> list[str]:
        """Numbers of the students who have not returned an exercise."""
        return [s.number for s in self.students if (s.number, exercise) not in self.marks]

    @property
    def possible(self) -> dict[str, int]:
        """The points that there are, by exercise."""
        return {name: sum(q.possible for q in self.questions if q.exercise == name) for name in self.exercises}

    @property
    def total(self) -> float:
        """The points that there are in all, as the exercises count."""
        return sum(self.weights.get(name, 1.0) * of for name, of in self.possible.items())

    def earned(self, student: str) -> float:
        """All points of a student, as the exercises count; what was not handed in counts as nought."""
        return sum(self.weights.get(name, 1.0) * self.marks[student, name][0] for name in self.exercises
                   if (student, name) in self.marks)

    def shares(self, exercise: str) -> list[float]:
        """Points as a share of what there is, of all who returned an exercise."""
        return [earned / possible for (_, name), (earned, possible) in self.marks.items()
                if name == exercise and possible]


def by_number(number: str) -> tuple:
    """What students are ordered by: 2 stands before 10.

    >>> sorted(["10", "2", "b1", "1"], key=by_number)
    ['1', '2', '10', 'b1']
    """
    return tuple(int(part) if part.isdigit() and part.isascii() else part.casefold()
                 for part in re.split(r"([0-9]+)", number))


def figures(record: RecordBook) -> ClassFigures:
    """The figures of a class from its record; a file that could not be read counts no points and in no question.

    An exercise that nobody was handed and nobody returned is left out.
    """
    students = sorted(record.students(), key=lambda student: by_number(student.number))
    known, here = record.asked(), {student.number for student in students}
    everything = [m for m in record.marked() if m.student in here or not here]
    used = {exercise for _, exercise in record.handouts()} | {m.exercise for m in everything}
    asked = {exercise: each for exercise, each in known.items() if exercise in used}
    marked = {(m.student, m.exercise): m for m in everything if m.exercise in asked}
    sums = {key: (m.earned, m.possible) for key, m in marked.items()}
    faults = {key: m.fault for key, m in marked.items() if m.fault}
    totals = Counter()
    for (student, _), (earned, _) in sums.items():
        totals[student] += earned
    readable = [m for m in marked.values() if not m.fault]
    questions = tuple(_question(exercise, *facts[:3], readable, totals) for exercise, each in asked.items()
                      for facts in each)
    weights = {exercise: weight for exercise, weight in record.weights().items() if exercise in asked and weight != 1.0}
    waiting = {key: sum(q.earned is None for q in m.questions) for key, m in marked.items()}
    return ClassFigures(tuple(students), tuple(asked), sums, faults, questions, waiting, weights)


def _question(exercise: str, key: str, title: str, possible: int, marked: list[Marked],
              totals: Counter) -> QuestionFigures:
    found = [(m.student, q) for m in marked if m.exercise == exercise for q in m.questions if q.question == key
             and q.verdict != NOT_MARKED]
    given = [(student, q.earned) for student, q in found if q.earned is not None]
    waiting = len(found) - len(given)
    figures_ = item([earned for _, earned in given], [totals[student] for student, _ in given], possible)
    if waiting:  # blanks are known to be worth nothing, the rest is not known yet: no figure would be fair
        figures_ = Item(len(found), *3 * (float("nan"),))
    return QuestionFigures(exercise, key, title, possible, figures_, waiting, commonest([road(q) for _, q in found]))


def commonest(roads: list[str]) -> tuple[tuple[int, str], ...]:
    """The commonest wrong roads, each with its count; of those that differ in their figures alone, one as an example.

    >>> commonest(["Too stiff. The rate comes to 9 N/mm", "", "Too stiff. The rate comes to 8 N/mm", "not answered"])
    ((2, 'for one of them: Too stiff. The rate comes to 9 N/mm'), (1, 'not answered'))
    """
    alike: dict[str, list[str]] = {}
    for words in filter(None, roads):
        alike.setdefault(_without_figures(words), []).append(words)
    groups = sorted(alike.values(), key=len, reverse=True)[:COMMONEST]
    return tuple((len(each), f"{'for one of them: ' if len(set(each)) > 1 else ''}{each[0]}") for each in groups)


def _without_figures(words: str) -> str:
    """What makes two roads the same: the slip before the sentence on what a design comes to, else all but figures."""
    return FIGURE.sub("#", REACHED.sub("", words).strip() or words)[:SAME]


def road(scored: Scored) -> str:
    """The wrong road that an answer took, in words; nothing for a right one and for words."""
    if scored.verdict == WRONG:
        return scored.hint or "a value that fits none of the known slips"
    if scored.verdict == ERROR:
        return "the code stops with an error or does not end"
    if scored.verdict == UNANSWERED:
        return "not answered"
    if scored.verdict == NOT_RUN:
        return "lost with an earlier answer"
    return ""
