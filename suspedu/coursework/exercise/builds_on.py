"""Which earlier answers a question builds on, read from the names in the sources, without running anything.

An answer that only might matter is kept: one too many costs a little time, one too few a student's points.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Sequence

from suspedu.coursework.exercise.sheet import Cell, Question, Sheet

WORD = re.compile(r"[^\W\d]\w*")
ANY = "*"  # stands for names that cannot be read from the source
REACH_ALL = {"exec", "eval", "globals", "locals", "vars", "setattr", "get_ipython", "builtins", "__builtins__"}


def built_on(sheet: Sheet, question: Question) -> tuple[Cell, ...]:
    """The answer cells of other questions before a question's verdict that it needs, directly or by another; in order.

    Parameters: sheet, with a learner's answers; question, one with a verdict.
    """
    before = sheet.cells[:sheet.cells.index(question.verdict)]
    others = [cell for cell in before if cell.role == "answer" and cell.question != question.id]
    needed = _used([*question.answers, question.verdict])
    kept: list[Cell] = []
    for cell in reversed(others):
        bound = names_changed(cell.source)
        if ANY in bound or bound & needed:
            kept.insert(0, cell)
            needed |= names_used(cell.source)
    return tuple(kept)


def _used(cells: Sequence[Cell]) -> set[str]:
    return set().union(*(names_used(cell.source) for cell in cells))


def names_used(source: str) -> set[str]:
    """All names that a source speaks of.

    >>> sorted(names_used("force = rate * stroke"))
    ['force', 'rate', 'stroke']
    """
    nodes = _nodes(source)
    if nodes is None:
        return set(WORD.findall(source))
    return {node.id for node in nodes if isinstance(node, ast.Name)} | _bound(nodes)


def names_changed(source: str) -> set[str]:
    """Names that a source may bind or change, or `ANY` where that cannot be read from it.

    >>> sorted(names_changed("import numpy as np\\nlegs[0] = np.ones(3)\\nleg.append(2)"))
    ['leg', 'legs', 'np']
    >>> names_changed("from math import *")
    {'*'}
    """
    nodes = _nodes(source)
    if nodes is None:
        return set(WORD.findall(source))  # shell and magic lines, or no Python at all
    if any(isinstance(node, ast.Name) and node.id in REACH_ALL for node in nodes):
        return {ANY}
    return _bound(nodes) | {_base(node) for node in nodes} - {""}


def _nodes(source: str) -> list[ast.AST] | None:
    try:
        return list(ast.walk(ast.parse(source)))
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return None


def _bound(nodes: list[ast.AST]) -> set[str]:
    """Names that are assigned, imported, defined, caught or matched, in functions too."""
    found = {node.id for node in nodes if isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Load)}
    for node in nodes:
        if isinstance(node, ast.alias):
            found.add((node.asname or node.name).partition(".")[0])
        elif isinstance(getattr(node, "name", None), str):  # functions, classes, exceptions, patterns
            found.add(node.name)
    return found


def _base(node: ast.AST) -> str:
    """The name whose part is assigned to, or whose method is called (which may change it), or nothing."""
    target = node.func if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) else node
    changes = target is not node or not isinstance(getattr(node, "ctx", ast.Load()), ast.Load)
    while isinstance(target, ast.Attribute | ast.Subscript):
        target = target.value
    return target.id if changes and isinstance(target, ast.Name) else ""
