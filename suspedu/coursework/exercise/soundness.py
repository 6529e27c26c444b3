"""Whether a solution's table of numbers is sound: no row near a rounding edge, no slip that passes, no copied result.

These are the checks that let a print be compared exactly: whoever calculates the same thing in
another order, in numpy or in plain Python, or rounds in between, must come to the same print.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping
from dataclasses import dataclass

from suspedu.coursework.exercise import expected, numbers
from suspedu.coursework.exercise.many_runs import run_sources
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.exercise.sought import own_finding
from suspedu.coursework.running.runner import CellOutcome
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
ROUNDED = """rounded = numpy.vectorize(lambda x: float(f"{x:.DIGITSg}"), otypes=[float])(value)
    return rounded.item() if numpy.ndim(value) == 0 else rounded"""  # as who writes down what is in between
DIGITS = 5, 6  # each has edges of its own: what is rounded to six may then lie on the edge of a print of five
WAYS = "up", "down", *(f"rounded to {digits} digits" for digits in DIGITS), "in numpy", "in plain Python"
NUMPY, PLAIN = "return numpy.asarray(value)[()]", "return float(value) if numpy.ndim(value) == 0 else value"


def faults(solution: Sheet) -> list[str]:
    """What is unsound about a solution and its table of numbers, one sentence each; empty where all is well."""
    return examined(solution)[0]


def examined(solution: Sheet) -> tuple[list[str], dict[int, dict[str, expected.Expected]]]:
    """What is unsound about a solution's table, and the expected prints of each row that runs, by question."""
    return examined_with(solution, {})[:2]


def examined_with(solution: Sheet, more: Mapping[expected.Key, Sheet]) -> tuple[
        list[str], dict[int, dict[str, expected.Expected]], dict[expected.Key, Examined]]:
    """As `examined`, and beside it what was found of more sets of numbers, all in one kernel."""
    rows = range(max(numbers.row_count(solution), 1))
    every = of_solutions({row: numbers.with_row(solution, solution, row) for row in rows} | dict(more))
    found = {row: every[row] for row in rows}
    prints = {row: each.prints for row, each in found.items() if each.prints}
    said = [sentence for each in found.values() for sentence in each.faults]
    ran = all(each.ran for each in found.values())
    said += _copies(solution, prints) if ran and len(prints) == len(rows) else []
    return said, prints, {key: each for key, each in every.items() if key not in found}


@dataclass(frozen=True)
class Examined:
    """What was found of one set of numbers: its faults, its expected prints by question, whether its answers ran."""

    faults: tuple[str, ...]
    prints: dict[str, expected.Expected]
    ran: bool


def of_solutions(filled: Mapping[expected.Key, Sheet]) -> dict[expected.Key, Examined]:
    """What is unsound about some sets of numbers, all examined in one kernel.

    Parameters: filled, the solution with each set of numbers in it, by any key.
    """
    programs = {name: source for key, sheet in filled.items()
                for name, source in (expected.programs(sheet, key) | _shaken(sheet, key)).items()}
    found, blamed = run_sources(programs), {}
    return {key: _of_sheet(sheet, key, found, blamed) for key, sheet in filled.items()}


def _of_sheet(sheet: Sheet, key: expected.Key, found: dict[str, CellOutcome], blamed: dict) -> Examined:
    outcome = found.get(expected.right_key(key))
    ran = bool(outcome and outcome.passed)
    try:
        prints = expected.of_sheet(sheet, key, found, blamed)
    except InputError as fault:
        return Examined((str(fault),), {}, ran)
    return Examined(tuple(_faults(sheet, key, prints, found)), prints, ran)


def _shaken(filled: Sheet, key: expected.Key) -> dict[str, str]:
    """Programs that run a solution with its numbers nudged up and down, and by the other ways of working."""
    shaken = {"up": nudged(filled, 1 + NUDGE), "down": nudged(filled, 1 - NUDGE),
              "in numpy": again(filled, NUMPY, "numbers", "answer"), "in plain Python": again(filled, PLAIN, "answer")}
    shaken |= {f"rounded to {digits} digits": again(filled, ROUNDED.replace("DIGITS", str(digits)), "answer")
               for digits in DIGITS}
    designed = expected.designed(filled)
    return {f"{key}:{name}": expected.joined(sheet, without=designed) for name, sheet in shaken.items()}


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


def _faults(solution: Sheet, key: expected.Key, right: dict[str, expected.Expected],
            found: dict[str, CellOutcome]) -> list[str]:
    said = []
    for question, prints in right.items():
        where = f"solution '{solution.name}', {expected.where(key)}, question '{question}'"
        if UNSTABLE.search(prints.print):
            said.append(f"{where} prints {prints.print!r}, which is not a plain value")
        if question in expected.designed(solution):
            said += [f"{where} {words}" for words in _design_faults(solution, question, prints)]
            continue
        for name, shaken, outcome in _otherwise(key, question, prints, found):
            shown = repr(shaken) if shaken is not None else expected.words(outcome)
            said.append(f"{where} lies near a rounding edge: {prints.print!r}, but {name} {shown}; change the row")
    return said


def _design_faults(solution: Sheet, question: str, prints: expected.Expected) -> list[str]:
    """What is wrong with the solution's design, and with slips that would do."""
    verdict = next(cell for cell in solution.with_role("verdict") if cell.question == question)
    own = own_finding(verdict, solution, prints.print)
    said = [] if own.met else [f"has a design that is not as wanted: {own.words}"]
    return said + [f"has a slip that prints the right value: {print_!r}, a design as wanted"
                   for print_, _ in prints.slips if own_finding(verdict, solution, print_).met]


def _otherwise(key: expected.Key, question: str, right: expected.Expected, found: dict[str, CellOutcome]) -> list:
    """The ways that come to another print, each with that print and its outcome; of the roundings the first."""
    outcomes = {name: found.get(f"{key}:{name}") for name in WAYS}
    prints = {name: expected.marked_prints(outcome).get(question) for name, outcome in outcomes.items()}
    differ = [name for name in WAYS if prints[name] != right.print]
    rounded = [name for name in differ if name.startswith("rounded")]
    return [(name, prints[name], outcomes[name]) for name in differ if name not in rounded[1:]]


def _copies(solution: Sheet, prints: dict[int, dict[str, expected.Expected]]) -> list[str]:
    """Questions whose practice result, typed in, would pass for another row."""
    said = []
    for cell in solution.with_role("verdict"):
        practice, *own = [each[cell.question].print for each in prints.values()]
        same = own.count(practice)
        if same and not cell.facts.get("choice"):
            said.append(f"solution '{solution.name}', question '{cell.question}': the practice result {practice!r} is "
                        f"right for {same} of {len(own)} other rows; spread the rows or print more digits")
    return said
