"""Whether a solution's table of numbers is sound: no row near a rounding edge, no slip that passes, no copied result.

These are the checks that let a print be compared exactly: whoever calculates the same thing in
another order, or rounds in between, must come to the same print.
"""

from __future__ import annotations

import ast
import re

from suspedu.coursework import expected, numbers
from suspedu.coursework.runner import Outcome, Step
from suspedu.coursework.sheet import Cell, Sheet
from suspedu.units import InputError

NUDGE = 1e-9  # relative; a thousand times what another order of operations in doubles can change
COPIES = 0.1  # share of the other rows whose right print may be the practice print
UNSTABLE = re.compile(r"(?<![\d.])-0(\.0+)?(?![\d.])|\b(nan|inf)\b|\bat 0x|^<", re.MULTILINE)
ROUND = '''
def _six(value):
    """The value rounded to 6 digits, as somebody does who writes down what is in between."""
    import functools
    import numpy
    if callable(value):
        return functools.wraps(value)(lambda *args, **named: _six(value(*args, **named)))
    if isinstance(value, (list, tuple)):
        return type(value)(map(_six, value))
    if not isinstance(value, (float, numpy.ndarray)) or numpy.asarray(value).dtype.kind != "f":
        return value
    rounded = numpy.vectorize(lambda x: float(f"{x:.6g}"), otypes=[float])(value)
    return rounded.item() if numpy.ndim(value) == 0 else rounded
'''


def faults(solution: Sheet) -> list[str]:
    """What is unsound about a solution and its numbers, one sentence each; empty where all is well."""
    rows = range(max(numbers.row_count(solution), 1))
    steps = [step for row in rows for step in [*expected.row_steps(solution, row), *_shaken(solution, row)]]
    found = expected.run_steps(steps)
    said = [fault for row in rows for fault in _row_faults(solution, row, found)]
    ran = all(f"{row}:{cell.id}" in found for row in rows for cell in solution.with_role("verdict"))
    return said + (_copies(solution, rows, found) if ran else [])


def _shaken(solution: Sheet, row: int) -> list[Step]:
    """Steps that run a row with its numbers nudged up and down, and with every answer rounded."""
    filled = numbers.with_row(solution, solution, row)
    shaken = {"up": nudged(filled, 1 + NUDGE), "down": nudged(filled, 1 - NUDGE), "rounded": rounding(filled)}
    return [Step(f"{row}:{name}", expected.joined(sheet)) for name, sheet in shaken.items()]


def nudged(sheet: Sheet, factor: float) -> Sheet:
    """The sheet with every decimal number of its numbers cells multiplied by a factor; counts stay."""
    return sheet.with_sources({cell.id: numbers.substituted(cell.source, _scaled(cell, factor))
                               for cell in sheet.with_role("numbers")})


def _scaled(cell: Cell, factor: float) -> dict:
    values = numbers.literals(cell.source)
    return {name: value * factor for name, value in values.items() if isinstance(value, float)}


def rounding(sheet: Sheet) -> Sheet:
    """The sheet with every answer rounded to 6 digits (of a function: what it returns)."""
    sources = {}
    for cell in sheet.with_role("answer"):
        names = sorted(_assigned(cell.source))
        sources[cell.id] = "\n".join([cell.source, ROUND, *(f"{name} = _six({name})" for name in names)])
    return sheet.with_sources(sources)


def _assigned(source: str) -> set[str]:
    """Names that a source assigns or defines at its outer level."""
    body = ast.parse(source).body
    functions = {node.name for node in body if isinstance(node, ast.FunctionDef)}
    return functions | {name.id for node in body if isinstance(node, ast.Assign)
                        for name in ast.walk(node) if isinstance(name, ast.Name) and isinstance(name.ctx, ast.Store)}


def _row_faults(solution: Sheet, row: int, found: dict[str, Outcome]) -> list[str]:
    try:
        right = expected.of_row(solution, row, found)
    except InputError as fault:
        return [str(fault)]
    said = []
    for question, prints in right.items():
        where = f"solution '{solution.name}', row {row}, question '{question}'"
        if UNSTABLE.search(prints.print):
            said.append(f"{where} prints {prints.print!r}, which is not a plain value")
        for name in ("up", "down", "rounded"):
            outcome = found.get(f"{row}:{name}")
            shaken = expected.marked_prints(outcome).get(question)
            if shaken != prints.print:
                shown = repr(shaken) if shaken is not None else expected.words(outcome)
                said.append(f"{where} lies near a rounding edge: {prints.print!r}, but {name} {shown}; change the row")
    return said


def _copies(solution: Sheet, rows: range, found: dict[str, Outcome]) -> list[str]:
    """Questions whose practice result, typed in, would pass for too many other rows."""
    said = []
    for cell in solution.with_role("verdict"):
        prints = [found[f"{row}:{cell.id}"].printed for row in rows]
        same = prints[1:].count(prints[0])
        if not cell.facts.get("choice") and same > COPIES * len(prints[1:]):
            said.append(f"solution '{solution.name}', question '{cell.question}': the practice result {prints[0]!r} is "
                        f"right for {same} of {len(prints) - 1} other rows; spread the rows or print more digits")
    return said
