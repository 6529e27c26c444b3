"""Cells that an exercise gives (set-up, numbers, bench, checks), where a learner changed them in their file.

They are run as the exercise has them. What was added to a set-up or a bench is kept where it does nothing but give a
new name: an import, a function, a plain value. Anything else is put back, and said.
"""

from __future__ import annotations

import ast
import contextlib

from suspedu.coursework.exercise.magic_lines import without_magics
from suspedu.coursework.exercise.names import ANY, BUILT_IN, UNREADABLE, names_changed
from suspedu.coursework.exercise.sheet import ASSESSED, Cell, Sheet

IMPORTS = (ast.Import, ast.ImportFrom)
GIVEN = ("", "numbers", "verdict")  # roles of the cells that are run as the exercise has them


def given_cells(pristine: Sheet, returned: Sheet, own_numbers: bool = False) -> tuple[dict[str, str], list[str]]:
    """Sources of given cells with what is kept of additions, by cell id; a sentence on each that was put back.

    Parameters: pristine, the exercise; returned; own_numbers, whether the file may have other numbers than `pristine`.
    """
    sources, notes, taken = {}, [], _taken(pristine)
    for cell in (cell for cell in pristine.cells if cell.kind == "code" and cell.role in GIVEN):
        theirs = next((other for other in returned.cells if cell.id in (other.id, other.facts.get("cell"))), None)
        if theirs is None or theirs.kind != "code" or theirs.source.split() == cell.source.split():
            continue
        values = not (own_numbers and cell.role == "numbers")
        ours, found = _statements(cell.source, values), _statements(theirs.source, values)
        added = {text: node for text, node in found.items() if text not in ours}
        kept = [] if cell.role else [text for text, node in added.items() if _only_names(text, node, taken)]
        if kept:
            sources[cell.id] = "\n".join([cell.source, *kept])
        if len(kept) < len(added) or not ours.keys() <= found.keys():
            notes.append(f"{_named(pristine, cell)} differs from the exercise and was put back: write what you add "
                         "into an answer cell")
    return sources, notes


def _taken(pristine: Sheet) -> set[str]:
    """Names that mean something in an exercise already."""
    return BUILT_IN.union(*(names_changed(cell.source) for cell in pristine.cells if cell.kind == "code"))


def _statements(source: str, values: bool) -> dict[str, ast.stmt]:
    """The statements of a source by their text, but for its remarks; one alone, for what is no Python.

    Parameters: source; values, whether the value that is set counts too.
    """
    try:
        return {ast.unparse(node if values else _target(node)): node for node in ast.parse(without_magics(source)).body}
    except UNREADABLE:
        return {source: ast.Pass()}


def _target(node: ast.stmt) -> ast.AST:
    return node.targets[0] if isinstance(node, ast.Assign) else node


def _only_names(text: str, node: ast.stmt, taken: set[str]) -> bool:
    """Whether a statement gives a new name and does nothing else: it can neither fail nor take time."""
    if isinstance(node, IMPORTS):
        return True
    new = not names_changed(text) & (taken | {ANY})
    return new and (_is_plain_function(node) or _is_plain_value(node))


def _is_plain_function(node: ast.stmt) -> bool:
    """Whether it is a function whose definition computes nothing."""
    if not isinstance(node, ast.FunctionDef):
        return False
    own = node.args
    inputs = (*own.posonlyargs, *own.args, *own.kwonlyargs, *filter(None, (own.vararg, own.kwarg)))
    computed = (*own.defaults, *own.kw_defaults, *(each.annotation for each in inputs), node.returns)
    return not node.decorator_list and all(isinstance(each, ast.Constant) for each in computed if each)


def _is_plain_value(node: ast.stmt) -> bool:
    """Whether it sets one name to a value that is written out."""
    if isinstance(node, ast.Assign) and len(node.targets) == 1 and isinstance(node.targets[0], ast.Name):
        with contextlib.suppress(*UNREADABLE, TypeError):
            ast.literal_eval(node.value)
            return True
    return False


def _named(pristine: Sheet, cell: Cell) -> str:
    """A given cell, as a learner finds it."""
    if cell.role == "verdict":
        return f"the check of {cell.question}"
    after = pristine.cells[pristine.cells.index(cell):]
    question = next((other.question for other in after if other.role in ASSESSED), "")
    what = "the cell of given numbers" if cell.role == "numbers" else "the given cell"
    first = next(filter(None, cell.source.splitlines()), "")
    return f"{what} before {question} ('{first[:40]}')" if question else f"{what} '{first[:40]}'"
