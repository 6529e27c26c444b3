"""Pi typed with too few digits, which costs the last digit of many a print."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterable

from suspedu.coursework.exercise.names import UNREADABLE

NEAR = 0.01  # 3.14, 3.1416 and 22/7 are nearer


def pi_typed(sources: Iterable[str]) -> str:
    """The number that stands for pi in some sources as it was typed, or nothing.

    >>> pi_typed(["area = 3.14 * d**2 / 4"]), pi_typed(["area = 22 / 7 * r**2"]), pi_typed(["x = 3.14159265358979"])
    ('3.14', '22 / 7', '')
    """
    for source in sources:
        try:
            nodes = list(ast.walk(ast.parse(source)))
        except UNREADABLE:
            continue
        for node in nodes:
            if 1e-9 < abs(_value(node) - math.pi) < NEAR:
                return ast.unparse(node)
    return ""


def _value(node: ast.AST) -> float:
    """The number that a constant, or a fraction of two, stands for; 0 for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, float):
        return node.value
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div):
        parts = [part.value for part in (node.left, node.right) if isinstance(part, ast.Constant)]
        if len(parts) == 2 and all(type(part) is int for part in parts) and parts[1]:
            return parts[0] / parts[1] if abs(parts[0]) < 10**9 > abs(parts[1]) else 0.0
    return 0.0
