"""An exercise to be marked, and the notebook that nbval runs for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.sheet import Cell, Sheet, SheetQuestion, is_blank
from suspedu.coursework.running.runner import Job, Step


@dataclass(frozen=True)
class Task:
    """One exercise to mark: the pristine sheet, the same with a learner's answers, and the expected prints."""

    name: str
    pristine: Sheet
    merged: Sheet
    expected: dict[str, Expected]

    @property
    def code(self) -> tuple[Cell, ...]:
        """The cells that are run, in order."""
        return tuple(cell for cell in self.merged.cells if cell.kind == "code")

    def blank(self, identity: str) -> str:
        """What stands in an answer cell before anybody answers."""
        return next(cell.source for cell in self.pristine.cells if cell.id == identity)

    def answered(self) -> list[str]:
        """The questions of which some answer is no longer blank, in the order of their answers."""
        return list(dict.fromkeys(cell.question for cell in self.merged.with_role("answer")
                                  if not is_blank(cell.source, self.blank(cell.id))))

    def job(self, cells: Iterable[Cell] | None = None, name: str = "") -> Job:
        """The notebook of some cells (all that are run); only verdicts are compared."""
        steps = (Step(cell.id, cell.source, self.expected[cell.question].print if cell.role == "verdict" else None)
                 for cell in (self.code if cells is None else cells))
        return Job(name or self.name, tuple(steps))


def own_cells(question: SheetQuestion) -> list[str]:
    """Ids of a question's answers and of its verdict, in the order in which they decide."""
    return [cell.id for cell in (*question.answers, question.verdict) if cell]
