"""The names that a source uses and changes, read from it without running anything."""

from __future__ import annotations

import ast
import builtins
import re
import symtable
from collections.abc import Iterable, Iterator

WORD = re.compile(r"[^\W\d]\w*")
ANY = "*"  # stands for names that cannot be read from the source
REACH_ALL = {"exec", "eval", "globals", "locals", "vars", "setattr", "get_ipython", "builtins", "__builtins__"}
UNREADABLE = (SyntaxError, ValueError, RecursionError, MemoryError)  # shell and magic lines, or no Python at all


def names_used(source: str) -> set[str]:
    """All names of the notebook (not those inside of a function) that a source speaks of.

    >>> sorted(names_used("def force(stroke):\\n    return rate * stroke"))
    ['force', 'rate']
    """
    try:
        return {symbol.get_name() for symbol in _symbols(source)}
    except UNREADABLE:
        return set(WORD.findall(source))


BUILT_IN = frozenset(dir(builtins))


def rebound(sources: Iterable[str]) -> set[str]:
    """Names of Python's own to which some sources give another meaning.

    >>> rebound(["sum = 3", "rate = 4.0"])
    {'sum'}
    """
    return set().union(*map(names_changed, sources)) & BUILT_IN


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
