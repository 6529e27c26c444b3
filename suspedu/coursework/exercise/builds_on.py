"""Which earlier answers a question builds on, read from the names in the sources, without running anything.

An answer that only might matter is kept: one too many costs a little time, one too few a student's points.
"""

from __future__ import annotations

from collections.abc import Sequence

from suspedu.coursework.exercise.names import ANY, names_changed, names_used
from suspedu.coursework.exercise.sheet import Cell, SheetQuestion
from suspedu.coursework.exercise.task import Task


def built_on(task: Task, question: SheetQuestion) -> tuple[Cell, ...]:
    """The answer cells of other questions that come before a question's verdict and that it needs, in order.

    Parameters: task; question, one of it with a verdict. What such an answer needs counts too, and so does an answer
    that was to give a needed name (its blank shows it), whether or not it does.
    """
    place = task.code.index(question.verdict)
    others = [cell for cell in task.code[:place] if cell.role == "answer" and cell.question != question.id]
    needed = _used([*question.answers, question.verdict])
    kept: list[Cell] = []
    for cell in reversed(others):
        changed = names_changed(cell.source) | names_changed(task.blank(cell.id))
        if ANY in changed or changed & needed:
            kept.insert(0, cell)
            needed |= names_used(cell.source)
    return tuple(kept)


def _used(cells: Sequence[Cell]) -> set[str]:
    return set().union(*(names_used(cell.source) for cell in cells))
