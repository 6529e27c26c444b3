"""One round of marking: which returns are new or changed, what each becomes, and its way into the record."""

from __future__ import annotations

import hashlib
import sqlite3
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Protocol

from suspedu.coursework.desk import handout, own_numbers
from suspedu.coursework.desk.changes_told import Changes
from suspedu.coursework.desk.desk import Desk, Lot, Material
from suspedu.coursework.desk.files_below import printable
from suspedu.coursework.desk.marked import NOT_MARKED
from suspedu.coursework.desk.marked_rows import Counted
from suspedu.coursework.desk.record_book import Marked, RecordBook, Scored
from suspedu.coursework.desk.returns import untouched_by
from suspedu.coursework.desk.which_counts import HandedIn, date, left_as_it_is, undecided
from suspedu.coursework.desk.workers import Crew
from suspedu.coursework.exercise import merge, reader
from suspedu.coursework.exercise.batch import Result
from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.options import Order, choices, meaning, own_prints
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.coursework.exercise.task import Task
from suspedu.coursework.exercise.verdicts import BY_HAND, RIGHT, WRONG
from suspedu.coursework.exercise.versions import hashed, versions
from suspedu.units import InputError

KEPT_ANSWER = 4000  # characters of an answer that the record keeps


class Steps(Protocol):
    """Something that is told how far a long run has come."""

    def step(self, count: int = 1) -> None:
        """So many more are done."""


class Untold:
    """Steps that nobody is told of."""

    def __init__(self, total: int, what: str):
        self.total, self.what = total, what

    def step(self, count: int = 1) -> None:
        """So many more are done."""


class Round:
    """Marks returns and writes each into the record as soon as it is done.

    Parameters: record; desk, whose record it is; found, the exercises by name; taken, the returns that count; progress,
    called with how many steps there will be and what they are, for something with a `step(count)` that tells them.
    """

    def __init__(self, record: RecordBook, desk: Desk, found: dict[str, Material], taken: Sequence[HandedIn],
                 progress: Callable[[int, str], Steps] | None = None):
        self.record, self.found, self._steps = record, found, progress or Untold
        self.changes = Changes(record)
        self._counted, self.left = record.counted(), []  # the latter: whose file does not replace what counts, and why
        self._untouched = untouched_by({name: material.pristine for name, material in found.items()})
        taken = [self._first_dated(item) for item in taken if not self._is_left(item, self._counted)]
        for name, material in found.items():
            own_numbers.give(desk, record, {name: material}, [r.student for r in taken if r.exercise == name])
        self.lots = own_numbers.lots(record, found)
        known = record.jobs()
        self.changed = [r for r in taken if known.get((r.student, r.exercise)) != self.key(r)]
        self.faults: list[str] = []  # whose file could not be marked, and why
        self.changes.undated(taken)
        self.same, self.refused, self.marked = len(taken) - len(self.changed), 0, 0
        self.prints: dict[tuple[str, str], dict[str, Expected]] = {}
        self.progress = self._steps(len(self.changed), "marked")
        self._waiting: dict[str, tuple[HandedIn, tuple[str, ...], Task]] = {}

    def _is_left(self, item: HandedIn, counted: dict[tuple[str, str], Counted]) -> bool:
        """Whether the record has the marks of a newer file, which is noted then."""
        said = left_as_it_is(item, counted.get((item.student, item.exercise)), self._untouched)
        self.left += [said] * bool(said)
        return bool(said)

    def _first_dated(self, item: HandedIn) -> HandedIn:
        """A return with the date of the same file where that was marked before, whichever of the two is earlier."""
        counted = self._counted.get((item.student, item.exercise))
        if not counted or counted.digest != item.digest:
            return item
        first = min(filter(None, (date(item.when), date(counted.saved))), default=item.when)
        if date(first) and (first < counted.saved or not date(counted.saved)):
            self.changes.dated(item, first)
        return replace(item, when=first)

    def lot(self, item: HandedIn) -> Lot:
        """The numbers and the order of options that a return is marked with."""
        return self.lots[item.student, item.exercise]

    def key(self, item: HandedIn) -> str:
        """Hash of all that the marks of a return depend on."""
        lot = self.lot(item)
        return hashed(item.digest, item.fault, item.notes, self.found[item.exercise].key(lot.row, lot.numbers))

    def run(self, crew: Crew) -> None:
        """Mark all that is new or changed."""
        for material in self.found.values():
            self.record.set_asked(material.name, handout.asked(material))
            self.record.set_wording(material.name, handout.wording(material))
        self._find_expected()
        for result in crew(self._tasks(), len(self.changed)):
            self._take(result)

    def _find_expected(self) -> None:
        """Expected prints of all numbers in use: from the record, or from the solution, many at once in a kernel."""
        asked = sorted({(r.exercise, r.student) for r in self.changed if not r.fault})
        for name in dict.fromkeys(name for name, _ in asked):
            students = [student for exercise, student in asked if exercise == name]
            wanted = [self.lots[student, name] for student in students]
            prints = own_numbers.known_prints(self.record, self.found[name], wanted)
            self.prints |= {(student, name): own_prints(each, lot.orders)
                            for student, lot, each in zip(students, wanted, prints, strict=True)}

    def _tasks(self) -> Iterator[Task]:
        """Tasks for the crew; what cannot be marked at all is written at once."""
        for item in self.changed:
            try:
                if item.fault:
                    raise InputError(item.fault)
                task, notes = self._prepared(item)
            except InputError as fault:
                self._refuse(item, str(fault))
            except Exception as fault:  # a wall round each return: it is this one's fault, and the next goes on
                self._refuse(item, _broke(type(fault).__name__))
            else:
                self._waiting[task.name] = (item, notes, task)
                yield task

    def _prepared(self, item: HandedIn) -> tuple[Task, tuple[str, ...]]:
        """The task of a return and the notes on its file.

        Raises: InputError where the file changed while marking, or is not this exercise.
        """
        data = item.read()
        if hashlib.sha256(data).hexdigest() != item.digest:
            raise InputError(f"'{item.origin}' changed while it was being marked; mark again")
        pristine = self.found[item.exercise].own_sheet(self.lot(item))
        merged = merge.merge(pristine, reader.sheet_of(data, item.origin))
        prints = self.prints[item.student, item.exercise]
        return Task(f"{item.student}/{item.exercise}", pristine, merged.sheet, prints), (*item.notes, *merged.notes)

    def _take(self, result: Result) -> None:
        """Write a result into the record; one that cannot be scored or written is refused, and the next goes on."""
        item, notes, task = self._waiting.pop(result.name)
        if result.fault:
            return self._refuse(item, _broke(result.fault))
        try:
            self._write(item, self._scored(item, notes, task, result))
        except (sqlite3.OperationalError, OSError):
            raise  # the disk, not the return
        except Exception as fault:
            return self._refuse(item, _broke(type(fault).__name__))
        self.marked += 1

    def _scored(self, item: HandedIn, notes: tuple[str, ...], task: Task, result: Result) -> Marked:
        evidence = {"mode": result.mode, "held": result.held, "versions": result.versions, "stopped": result.stopped,
                    "numbers": self.lot(item).row, "exercise": self.found[item.exercise].stamp,
                    "given": result.given}
        texts = {question: texts for question, (_, texts) in choices(self.found[item.exercise].pristine).items()}
        orders = self.lot(item).orders
        questions = tuple(_meant(_scored(row, task), orders, texts) for row in result.rows)
        return replace(self._blank(item), notes=notes, evidence=evidence, questions=questions)

    def _refuse(self, item: HandedIn, fault: str) -> None:
        self.refused += 1
        self.faults.append(f"student {item.student}, {item.exercise} could not be marked: {printable(fault, 200)}")
        self._write(item, self._refused(item, fault))

    def _refused(self, item: HandedIn, fault: str) -> Marked:
        """The record of a file that could not be marked: no points, and one sentence why."""
        questions = tuple(Scored(q.id, q.title, 0, q.possible, NOT_MARKED)
                          for q in self.found[item.exercise].pristine.questions())
        evidence = {"versions": versions(), "numbers": self.lot(item).row, "exercise": self.found[item.exercise].stamp}
        return replace(self._blank(item), fault=fault, notes=item.notes, evidence=evidence, questions=questions)

    def _blank(self, item: HandedIn) -> Marked:
        now = time.strftime("%Y-%m-%d %H:%M:%S%z")
        return Marked(item.student, item.exercise, self.key(item), item.digest, item.origin, date(item.when), now)

    def _write(self, item: HandedIn, marked: Marked) -> None:
        """Write a mark, unless another run has marked a newer file meanwhile."""
        key = item.student, item.exercise
        counted = self.record.counted(*key)
        if not self._is_left(item, counted):
            self.changes.add([*self.record.write(marked), undecided(item, counted.get(key))])
            self.changes.compare(next(self.record.marked(*key)))
        self.progress.step()


def _broke(fault: str) -> str:
    return f"this one could not be marked ({fault} while it was marked); read it by hand, and tell who keeps the course"


def _scored(row, task: Task) -> Scored:
    """A row of verdicts as the record keeps it, with the answer that was run and the print that was expected."""
    earned = None if row.verdict == BY_HAND else row.earned
    right = task.expected[row.question].print if row.question in task.expected else ""
    return Scored(row.question, row.title, earned, row.possible, row.verdict, row.hint, row.printed, right,
                  answer=answer_of(task.merged, row.question))


def _meant(scored: Scored, orders: dict[str, Order], texts: dict[str, dict[str, str]]) -> Scored:
    """A choice with the words behind the letters, which are the student's own."""
    order = orders.get(scored.question)
    if not order or scored.verdict not in (RIGHT, WRONG):
        return scored
    said = (meaning(print_, order, texts[scored.question]) for print_ in (scored.printed, scored.expected))
    return replace(scored, **dict(zip(("printed", "expected"), said, strict=True)))


def answer_of(merged: Sheet, question: str) -> str:
    """What a student wrote for a question, shortened where it is very long."""
    text = "\n".join(c.source for c in merged.with_role("answer", "explain") if c.question == question)
    left_out = len(text) - KEPT_ANSWER
    return text if left_out <= 0 else f"{text[:KEPT_ANSWER]}\n[... {left_out} more characters left out]"
