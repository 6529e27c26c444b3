"""Whether a solution's table of numbers is sound: no row near a rounding edge, no slip that passes, no copied result.

These are the checks that let a print be compared exactly: whoever calculates the same thing in
another order, in numpy or in plain Python, or rounds in between, must come to the same print.
"""

from __future__ import annotations

import ast
import re

from suspedu.coursework.exercise import expected, numbers
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.running.runner import CellOutcome, Step
from suspedu.units import InputError

NUDGE = 1e-9  # relative; a thousand times what another order of operations in doubles can change
UNSTABLE = re.compile(r"(?<![\d.])[-−]0(\.0+)?(?![\d.])|\b(nan|inf)\b|\bat 0x|^<", re.MULTILINE)
AGAIN = '''
def _again(value):
    """The value as somebody has it who worked another way."""
    import functools
    import numpy
    if callable(value):
        return functools.wraps(value)(lambda *args, **named: _again(value(*args, **named)))
    if isinstance(value, (list, tuple)):
        return type(value)(map(_again, value))
    if not isinstance(value, (float, numpy.ndarray)) or numpy.asarray(value).dtype.kind != "f":
        return value
    {}
'''
ROUNDED = """rounded = numpy.vectorize(lambda x: float(f"{x:.6g}"), otypes=[float])(value)
    return rounded.item() if numpy.ndim(value) == 0 else rounded"""  # 6 digits, as who writes down what is in between
WAYS = "up", "down", "rounded", "in numpy", "in plain Python"
NUMPY, PLAIN = "return numpy.asarray(value)[()]", "return float(value) if numpy.ndim(value) == 0 else value"


def faults(solution: Sheet) -> list[str]:
    """What is unsound about a solution and its numbers, one sentence each; empty where all is well."""
    return examined(solution)[0]


def examined(solution: Sheet) -> tuple[list[str], dict[int, dict[str, expected.Expected]]]:
    """What is unsound, and the expected prints of each row that runs, by question."""
    rows = range(max(numbers.row_count(solution), 1))
    steps = [step for row in rows for step in [*expected.row_steps(solution, row), *_shaken(solution, row)]]
    found = expected.run_steps(steps)
    said, prints, blamed = [], {}, {}
    for row in rows:
        try:
            prints[row] = expected.of_row(solution, row, found, blamed)
        except InputError as fault:
            said.append(str(fault))
        else:
            said += _row_faults(solution, row, prints[row], found)
    ran = all(outcome and outcome.passed for outcome in (found.get(expected.right_key(row)) for row in rows))
    return said + (_copies(solution, rows, found) if ran else []), prints


def _shaken(solution: Sheet, row: int) -> list[Step]:
    """Steps that run a row with its numbers nudged up and down, and by the other ways of working."""
    filled = numbers.with_row(solution, solution, row)
    shaken = {"up": nudged(filled, 1 + NUDGE), "down": nudged(filled, 1 - NUDGE),
              "rounded": again(filled, ROUNDED, "answer"), "in numpy": again(filled, NUMPY, "numbers", "answer"),
              "in plain Python": again(filled, PLAIN, "answer")}
    return [Step(f"{row}:{name}", expected.joined(sheet)) for name, sheet in shaken.items()]


def nudged(sheet: Sheet, factor: float) -> Sheet:
    """The sheet with every decimal number of its numbers cells multiplied by a factor; counts stay."""
    return sheet.with_sources({cell.id: numbers.substituted(cell.source, _scaled(cell, factor))
                               for cell in sheet.with_role("numbers")})


def _scaled(cell: Cell, factor: float) -> dict:
    values = numbers.literals(cell.source)
    return {name: value * factor for name, value in values.items() if isinstance(value, float)}


def again(sheet: Sheet, way: str, *roles: str) -> Sheet:
    """The sheet with every value of its cells of some roles (of a function: what it returns) as another way has it."""
    sources = {}
    for cell in sheet.with_role(*roles):
        names = sorted(_assigned(cell.source))
        sources[cell.id] = "\n".join([cell.source, AGAIN.replace("{}", way), *(f"{n} = _again({n})" for n in names)])
    return sheet.with_sources(sources)


def _assigned(source: str) -> set[str]:
    """Names that a source assigns or defines at its outer level."""
    body = ast.parse(source).body
    functions = {node.name for node in body if isinstance(node, ast.FunctionDef)}
    return functions | {name.id for node in body if isinstance(node, ast.Assign)
                        for name in ast.walk(node) if isinstance(name, ast.Name) and isinstance(name.ctx, ast.Store)}


def _row_faults(solution: Sheet, row: int, right: dict[str, expected.Expected],
                found: dict[str, CellOutcome]) -> list[str]:
    said = []
    for question, prints in right.items():
        where = f"solution '{solution.name}', row {row}, question '{question}'"
        if UNSTABLE.search(prints.print):
            said.append(f"{where} prints {prints.print!r}, which is not a plain value")
        for name in WAYS:
            outcome = found.get(f"{row}:{name}")
            shaken = expected.marked_prints(outcome).get(question)
            if shaken != prints.print:
                shown = repr(shaken) if shaken is not None else expected.words(outcome)
                said.append(f"{where} lies near a rounding edge: {prints.print!r}, but {name} {shown}; change the row")
    return said


def _copies(solution: Sheet, rows: range, found: dict[str, CellOutcome]) -> list[str]:
    """Questions whose practice result, typed in, would pass for another row."""
    said = []
    for cell in solution.with_role("verdict"):
        prints = [expected.marked_prints(found[expected.right_key(row)])[cell.question] for row in rows]
        same = prints[1:].count(prints[0])
        if same and not cell.facts.get("choice"):
            said.append(f"solution '{solution.name}', question '{cell.question}': the practice result {prints[0]!r} is "
                        f"right for {same} of {len(prints) - 1} other rows; spread the rows or print more digits")
    return said
