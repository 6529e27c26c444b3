"""Where a right answer on a wrong one gets no credit: a number is put right in the marking, nothing else is."""

from __future__ import annotations

from collections.abc import Mapping

from suspedu.coursework.exercise.names import names_changed, names_used
from suspedu.coursework.exercise.sealed import Wanted
from suspedu.coursework.exercise.sheet import Cell, Sheet


def unfollowed(solution: Sheet, practice: Mapping[str, Wanted]) -> tuple[str, ...]:
    """A sentence for each answer of a solution that builds on a function, or on another thing that is no number.

    Parameters: solution; practice, expected prints by question.
    """
    answers, told = solution.with_role("answer"), []
    for place, cell in enumerate(answers):
        told += [f"{cell.question}: builds on '{name}'; who has that one wrong gets no credit for the rest, as only "
                 "numbers are put right" for name in _no_numbers(cell, answers[:place], practice)]
    return tuple(told)


def _no_numbers(cell: Cell, earlier: tuple[Cell, ...], practice: Mapping[str, Wanted]) -> list[str]:
    """Other questions that give an answer a name and set no number."""
    needed = names_used(cell.source) - names_changed(cell.source)
    found = {each.question for each in earlier if names_changed(each.source) & needed} - {cell.question}
    return sorted(name for name in found if not getattr(practice[name], "values", ()))
