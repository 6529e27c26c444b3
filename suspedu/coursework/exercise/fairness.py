"""Whether a student's numbers are as fair as everybody's: another result than practice, and no harder to come by."""

from __future__ import annotations

import re

from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.exercise.sought import own_finding
from suspedu.units import InputError

FACTOR = 3.0  # how far a result may lie from practice, either way, where a verdict says nothing else
NUMBER = re.compile(r"(?<![\w.])[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?")


def unfair(solution: Sheet, practice: dict[str, Expected], own: dict[str, Expected]) -> list[str]:
    """What makes a set of numbers unfit beside practice, one sentence for each question; empty where all is well.

    Parameters: solution with these numbers; practice and own, expected prints by question.
    """
    return [f"question '{cell.question}' {words}" for cell in valued(solution)
            for words in _faults(cell, practice[cell.question].print, own[cell.question].print, solution)]


def valued(solution: Sheet) -> list[Cell]:
    """The verdicts that print a value of the student's own numbers: not those of a choice."""
    return [cell for cell in solution.with_role("verdict") if not cell.facts.get("choice")]


def _faults(cell: Cell, practice: str, own: str, solution: Sheet) -> list[str]:
    if cell.facts.get("property"):
        does = own_finding(cell, solution, practice).met
        return ["has the practice result as a design that would do"] if does else []
    if own == practice:
        return [f"has the practice result {own.strip()!r}"]
    low, high = bounds(cell, practice)
    value = first_number(own)
    if value is not None and not low <= value <= high:
        return [f"comes to {own.strip()!r}, which is not within {low:g} to {high:g}: harder or easier than practice"]
    return []


def bounds(cell: Cell, practice: str) -> tuple[float, float]:
    """Between which values a question's result may lie: as its verdict says (`between`), else a factor round practice.

    Raises: InputError where the verdict's bounds leave practice out.

    >>> bounds(Cell("q1", "code", ""), "4.5 N/mm")
    (1.5, 13.5)
    """
    value = first_number(practice)
    if value is None:
        return float("-inf"), float("inf")
    ends = cell.facts.get("between") or sorted((value / FACTOR, value * FACTOR))
    if not (isinstance(ends, list) and len(ends) == 2 and ends[0] <= value <= ends[1]):
        raise InputError(f"verdict '{cell.id}': its result lies between {ends}, and practice comes to "
                         f"{practice.strip()}; give [low, high] with practice inside")
    return float(ends[0]), float(ends[1])


def first_number(printed: str) -> float | None:
    """The first number of a print, or None.

    >>> first_number("0.392 mm2, and the next click adds 19.4 %")
    0.392
    """
    found = NUMBER.search(printed.replace("−", "-"))
    return float(found[0]) if found else None
