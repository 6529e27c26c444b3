"""The right answer to a question that asks for a property: any design that has it, and no one print."""

from __future__ import annotations

import json
from dataclasses import dataclass

from suspedu.coursework.exercise.judge import Judgement, finding, judged_finding
from suspedu.coursework.exercise.numbers import literals
from suspedu.coursework.exercise.printed_design import design_fault, read_design
from suspedu.coursework.exercise.sheet import Cell, Sheet

LONGEST_HINT = 400  # characters


@dataclass(frozen=True)
class Sought:
    """What is sought of a design; it is asked as an `Expected` is.

    `given` are sets of numbers, as JSON: a learner's own check takes the practice numbers or those of their copy.
    """

    task: str
    given: tuple[str, ...]
    slips: tuple[tuple[str, str], ...] = ()
    print: None = None  # nbval has nothing to compare with

    def holds(self, printed: str) -> bool:
        """Whether the printed design has the property."""
        return any(self._found(printed, given).met for given in self.given)

    def hint_for(self, printed: str) -> str:
        """The hint of the slip that prints this design, and what the design comes to."""
        slip = next((hint for print_, hint in self.slips if print_ == printed), "")
        found = self._found(printed, self.given[-1])
        return " ".join(filter(None, (slip, _sentence(found.words))))[:LONGEST_HINT]

    def _found(self, printed: str, given: str) -> Judgement:
        from suspedu.school.designs import DESIGNS  # loads the physics, which most exercises do not need

        if fault := design_fault(printed, DESIGNS[self.task]):
            return Judgement(False, fault)
        design = read_design(printed, DESIGNS[self.task])
        return judged_finding(self.task, json.dumps(design, sort_keys=True), given)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def given_in(sheet: Sheet) -> dict:
    """All numbers that a sheet gives, by name."""
    return {name: value for cell in sheet.with_role("numbers") for name, value in literals(cell.source).items()}


def sought_by(cell: Cell, *sheets: Sheet, slips: tuple[tuple[str, str], ...] = ()) -> Sought:
    """What a verdict seeks with the numbers of some sheets, the one whose numbers hints speak of last."""
    given = dict.fromkeys(json.dumps(given_in(sheet), sort_keys=True) for sheet in sheets)
    return Sought(cell.facts["property"], tuple(given), slips)


def with_sought(expected: dict, pristine: Sheet, *copies: Sheet) -> dict:
    """Expected prints by question, those of designs as what is sought.

    Parameters: expected; pristine, the sheet with the numbers to be marked with; copies, with others that count too.
    """
    asked = {cell.question: cell for cell in pristine.with_role("verdict") if cell.facts.get("property")}
    return expected | {question: sought_by(cell, pristine, *copies, slips=expected[question].slips
                                           if question in expected else ())
                       for question, cell in asked.items()}


def own_finding(cell: Cell, sheet: Sheet, printed: str) -> Judgement:
    """What a design of our own comes to with the numbers of a sheet, worked out here: for solutions and their slips."""
    from suspedu.school.designs import DESIGNS

    design = DESIGNS[cell.facts["property"]]
    if fault := design_fault(printed, design):
        return Judgement(False, fault)
    return finding(cell.facts["property"], read_design(printed, design), given_in(sheet))
