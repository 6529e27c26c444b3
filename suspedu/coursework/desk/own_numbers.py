"""Who gets which numbers: drawn for each student, sound, fair, and no print of a question twice in a class.

What was given once stays, as the record tells.  Where the record is lost, the copies in the desk's folder tell it.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence

from suspedu.coursework.desk.desk import Desk, Lot, Material
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.coursework.desk.seal import holds
from suspedu.coursework.exercise import expected, fairness, soundness
from suspedu.coursework.exercise.draws import FIRST
from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.hidden_choice import Wanted
from suspedu.coursework.exercise.sealed import sealed
from suspedu.units import InputError

ALONE = 12  # draws in which a print must be nobody else's; after that the one with the fewest that are
MOST = 60  # draws, before an exercise is said to have too few sound ones
AT_ONCE = 4  # draws of a student that are looked at together, after the first
Prints = dict[str, Expected]


def lots(record: RecordBook, found: dict[str, Material]) -> dict[tuple[str, str], Lot]:
    """What was given, by student and exercise."""
    drawn = record.drawn()
    return {key: Lot(row, *drawn.get(key, ())) for key, row in record.handouts().items() if key[1] in found}


def give(desk: Desk, record: RecordBook, found: dict[str, Material], students: Sequence[str],
         told: Callable[[int], object] = lambda count: None) -> None:
    """Give numbers to those students who have none yet, and note them in the record.

    Parameters: desk; record; found, the exercises by name; students; told, called with how many more have theirs.
    Raises: InputError where an exercise has too few sound draws.
    """
    given = lots(record, found)
    for material in found.values():
        new = [student for student in students if (student, material.name) not in given]
        told(len(students) - len(new))
        if new and material.is_drawn:
            others = {s: lot for (s, exercise), lot in given.items() if exercise == material.name}
            Allotment(desk, record, material, others, told).give(new)
        elif new:
            secret = desk.secret()
            record.add_handout([(student, material.name, material.row_for(secret, student)) for student in new])
            told(len(new))


class Allotment:
    """Draws the numbers of one exercise.

    Parameters: desk; record; material, the exercise; others, what the class has of it already; told, called with how
    many more have their numbers.
    """

    def __init__(self, desk: Desk, record: RecordBook, material: Material, others: dict[str, Lot],
                 told: Callable[[int], object] = lambda count: None):
        self.desk, self.record, self.material, self.secret, self.told = desk, record, material, desk.secret(), told
        self.asked = [cell.question for cell in fairness.valued(material.solution)]
        self.practice, rest = practice_prints(record, material), known_prints(record, material, [*others.values()])
        self.taken = {question: Counter(prints[question].print for prints in rest) for question in self.asked}

    def give(self, students: Sequence[str]) -> None:
        """Draw for some students, until each has a sound draw."""
        before = {student: copied_draw(self.desk, student, self.material.name) for student in students}
        self.best: dict[str, tuple[int, Lot, Prints]] = {}
        waiting, first, settled = list(students), 0, {}
        while waiting:
            tries = range(first, first + (AT_ONCE if first else 1))
            asked = {student: [before[student]] if before[student] else [FIRST + k for k in tries]
                     for student in waiting}
            settled |= self._settled(asked, first + len(tries), set(filter(before.get, waiting)))
            self.told(sum(student in settled for student in waiting))
            before = dict.fromkeys(students)  # a draw of before that is no longer sound is drawn anew
            waiting, first = [student for student in waiting if student not in settled], first + len(tries)
            if waiting and first > MOST:
                raise InputError(f"exercise '{self.material.name}': of {first} draws for student {waiting[0]} none is "
                                 f"sound; 'suspedu exercise check {self.material.name[:2]}' says why")
        self._note({student: settled[student] for student in students})

    def _settled(self, asked: dict[str, list[int]], so_far: int, old: set[str]) -> dict[str, tuple[Lot, Prints]]:
        """Who has a draw now: one without a twin, or after many draws the one with the fewest; `old` keep theirs."""
        drawn = {(s, row): self.material.lot(self.secret, s, row) for s, rows in asked.items() for row in rows}
        sheets = {f"draw {row - FIRST} of student {s}": self.material.own_solution(lot)
                  for (s, row), lot in drawn.items()}
        found = soundness.of_solutions(sheets)
        settled = {}
        for ((student, _), lot), own, each in zip(drawn.items(), sheets.values(), found.values(), strict=True):
            if student in settled or each.faults or fairness.unfair(own, self.practice, each.prints):
                continue
            twins = 0 if student in old else self._twins(each.prints)
            self.best[student] = min(self.best.get(student, (twins, lot, each.prints)), (twins, lot, each.prints),
                                     key=lambda one: one[0])
            if not twins:
                settled[student] = self._take(student)
        late = [s for s in asked if so_far >= ALONE and s in self.best and s not in settled]
        return settled | {student: self._take(student) for student in late}

    def _take(self, student: str) -> tuple[Lot, Prints]:
        _, lot, prints = self.best[student]
        for question in self.asked:
            self.taken[question][prints[question].print] += 1
        return lot, prints

    def _twins(self, prints: Prints) -> int:
        """In how many questions somebody has the same print."""
        return sum(self.taken[question][prints[question].print] > 0 for question in self.asked)

    def _note(self, settled: dict[str, tuple[Lot, Prints]]) -> None:
        name = self.material.name
        keep_prints(self.record, self.material, settled.values())
        self.record.add_drawn((student, name, lot.numbers, lot.orders) for student, (lot, _) in settled.items())
        self.record.add_handout((student, name, lot.row) for student, (lot, _) in settled.items())


def copied_draw(desk: Desk, student: str, exercise: str) -> int | None:
    """Which draw a student's copy in the desk's folder holds, where one lies there under this class's seal."""
    try:
        book = json.loads((desk.handed_out / student / f"{exercise}.ipynb").read_bytes())
        own = book["metadata"]["suspedu"]
        row = own.get("draw")
        if holds(desk.secret(), student, exercise, str(own.get("seal"))) and isinstance(row, int):
            return row if FIRST <= row < FIRST + 2 * MOST else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        pass
    return None


def practice_prints(record: RecordBook, material: Material) -> dict[str, Wanted]:
    """Prints of the practice numbers: under seal in the exercise, but for designs, which have to be worked out."""
    if expected.designed(material.solution):
        return known_prints(record, material, [Lot(0)])[0]
    return sealed(material.pristine)


def known_prints(record: RecordBook, material: Material, wanted: Sequence[Lot]) -> list[Prints]:
    """Expected prints of some sets of numbers, from the record; what it does not have is worked out and kept there."""
    kept = [record.expected(material.key(lot.row, lot.numbers)) for lot in wanted]
    missing = {str(k): lot for k, (lot, each) in enumerate(zip(wanted, kept, strict=True)) if each is None}
    if not missing:
        return [as_prints(each) for each in kept]
    worked = expected.of_sheets({k: material.own_solution(lot) for k, lot in missing.items()})
    keep_prints(record, material, [(lot, worked[k]) for k, lot in missing.items()])
    return [worked[str(k)] if each is None else as_prints(each) for k, each in enumerate(kept)]


def as_prints(kept: dict) -> Prints:
    """Expected prints as the record has written them down."""
    return {question: Expected.of(each) for question, each in kept.items()}


def keep_prints(record: RecordBook, material: Material, found: Iterable[tuple[Lot, Prints]]) -> None:
    """Keep expected prints in the record."""
    record.keep_expected({material.key(lot.row, lot.numbers): {q: e.kept() for q, e in prints.items()}
                          for lot, prints in found})
