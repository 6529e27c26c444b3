"""Which earlier answers a question builds on, read from the names in the sources, without running anything.

An answer that only might matter is kept: one too many costs a little time, one too few a student's points.
"""

from __future__ import annotations

import ast
import re
import symtable
from collections.abc import Iterator, Sequence

from suspedu.coursework.exercise.sheet import Cell, SheetQuestion
from suspedu.coursework.exercise.task import Task

WORD = re.compile(r"[^\W\d]\w*")
ANY = "*"  # stands for names that cannot be read from the source
REACH_ALL = {"exec", "eval", "globals", "locals", "vars", "setattr", "get_ipython", "builtins", "__builtins__"}
UNREADABLE = (SyntaxError, ValueError, RecursionError, MemoryError)  # shell and magic lines, or no Python at all


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


def names_used(source: str) -> set[str]:
    """All names of the notebook (not those inside of a function) that a source speaks of.

    >>> sorted(names_used("def force(stroke):\\n    return rate * stroke"))
    ['force', 'rate']
    """
    try:
        return {symbol.get_name() for symbol in _symbols(source)}
    except UNREADABLE:
        return set(WORD.findall(source))


def names_changed(source: str) -> set[str]:
    """Names of the notebook that a source may bind or change, or `ANY` where that cannot be read from it.

    >>> sorted(names_changed("import numpy as np\\nlegs[0] = np.ones(3)\\nleg.append(2)"))
    ['leg', 'legs', 'np']
    >>> names_changed("from math import *")
    {'*'}
    """
    try:
        nodes = list(ast.walk(ast.parse(source)))
        bound = {symbol.get_name() for symbol in _symbols(source) if symbol.is_assigned() or symbol.is_imported()}
    except UNREADABLE:
        return set(WORD.findall(source))
    if any((isinstance(node, ast.alias) and node.name == ANY) or (isinstance(node, ast.Name) and node.id in REACH_ALL)
           for node in nodes):
        return {ANY}
    return bound | {_base(node) for node in nodes} - {""}


def _symbols(source: str) -> Iterator[symtable.Symbol]:
    """The symbols of a source that belong to the whole notebook."""
    waiting = [symtable.symtable(source, "answer", "exec")]
    for table in waiting:
        waiting += table.get_children()
        yield from (s for s in table.get_symbols() if table.get_type() == "module" or s.is_global())


def _base(node: ast.AST) -> str:
    """The name whose part is assigned to, or whose method is called (which may change it), or nothing."""
    target = node.func if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) else node
    changes = target is not node or not isinstance(getattr(node, "ctx", ast.Load()), ast.Load)
    while isinstance(target, ast.Attribute | ast.Subscript):
        target = target.value
    return target.id if changes and isinstance(target, ast.Name) else ""
