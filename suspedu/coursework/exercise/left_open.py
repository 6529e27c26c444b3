"""What an answer leaves open: names that are still set to `...`, functions that still return it."""

from __future__ import annotations

import ast


def left_open(source: str) -> list[str]:
    """Names that a source sets to `...` and never to anything else, and "return" for a function that returns it.

    Raises: SyntaxError and its kin for what is no Python.

    >>> left_open("rate = ...\\nturns = 5"), left_open("rate = ...\\nrate = 5")
    (['rate'], [])
    """
    nodes = list(ast.walk(ast.parse(source)))
    given = [node for node in nodes if isinstance(node, ast.Assign)]
    later = {ast.unparse(node.targets[0]) for node in given if not _is_dots(node.value)}
    found = [ast.unparse(node.targets[0]) for node in given if _is_dots(node.value)]
    return [name for name in found if name not in later] + ["return" for node in nodes
            if isinstance(node, ast.Return) and node.value and _is_dots(node.value)]


def set_in(blank: str) -> list[str]:
    """The names that a blank sets to `...`.

    >>> set_in("rate = ...  # N/m"), set_in("say it in words")
    (['rate'], [])
    """
    try:
        return [name for name in left_open(blank) if name.isidentifier() and name != "return"]
    except (SyntaxError, ValueError):
        return []


def _is_dots(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is ...
