"""An exercise to be marked, and the notebook that nbval runs for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from textwrap import indent

from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.hidden_choice import Wanted
from suspedu.coursework.exercise.left_open import set_in
from suspedu.coursework.exercise.names import rebound
from suspedu.coursework.exercise.sheet import Cell, Sheet, SheetQuestion, is_blank
from suspedu.coursework.exercise.sought import with_sought
from suspedu.coursework.running.runner import Job, Step

RESTORED = """try:
{source}
finally:
    for _name in {names}:
        globals().pop(_name, None)"""
# Numbers of other kinds do not take a format such as .3g; what cannot become a number stays as it is.
PLAIN = """

for _name in {names}:
    _value = globals().get(_name)
    try:
        if getattr(_value, "size", 0) == 1 and hasattr(_value, "item"):
            globals()[_name] = _value.item()
        elif hasattr(_value, "__float__") and not isinstance(_value, (int, float)):
            globals()[_name] = float(_value)
    except Exception:
        pass"""


@dataclass(frozen=True)
class Task:
    """One exercise to mark: the pristine sheet, the same with a learner's answers, and the expected prints.

    `copy` is the learner's own copy where its numbers count too for what is designed: in a learner's own check.
    """

    name: str
    pristine: Sheet
    merged: Sheet
    expected: dict[str, Expected]
    copy: Sheet | None = None

    @cached_property
    def wanted(self) -> dict[str, Wanted]:
        """What is right, by question: a print, a hidden letter, or what is sought of a design."""
        return with_sought(self.expected, self.pristine, *([self.copy] if self.copy else []))

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

    def _run_as(self, cell: Cell) -> str:
        """The source of a cell as it is run.

        An answer's values then become plain numbers, and where it gave a name of Python's own another meaning, the
        usual one holds again after its verdict.
        """
        if cell.role == "answer":
            return cell.source + made_plain(self.blank(cell.id))
        answers = [c.source for c in self.merged.with_role("answer") if c.question == cell.question]
        taken = tuple(sorted(rebound(answers))) if cell.role == "verdict" else ()
        return RESTORED.format(source=indent(cell.source, "    "), names=taken) if taken else cell.source

    def job(self, cells: Sequence[Cell] | None = None, name: str = "") -> Job:
        """The notebook of some cells (all that are run); only verdicts are compared."""
        run = self.code if cells is None else cells
        prints = {cell.id: self.wanted[cell.question].print for cell in run if cell.role == "verdict"}
        return Job(name or self.name, tuple(Step(cell.id, self._run_as(cell), prints.get(cell.id)) for cell in run))


def made_plain(blank: str) -> str:
    """Code that turns what an answer sets into plain numbers: an array or series of one value, a fraction, a symbol's.

    Parameters: blank, what the answer cell held at first: it sets the names to `...`.

    >>> made_plain("def force(x):\\n    return ..."), "rate" in made_plain("rate = ...  # N/m")
    ('', True)
    """
    names = set_in(blank)
    return PLAIN.format(names=tuple(names)) if names else ""


def own_cells(question: SheetQuestion) -> list[str]:
    """Ids of a question's answers and of its verdict, in the order in which they decide."""
    return [cell.id for cell in (*question.answers, question.verdict) if cell]
