"""Numbers drawn for one student: from the values that an exercise says a shop has, by the course secret.

A draw is the same each time.  Whether it makes a sound exercise is asked elsewhere (`soundness`, `fairness`); where it
does not, the next one is taken.  The record keeps what a student was given.
"""

from __future__ import annotations

import ast
import hashlib
import hmac
import json
from decimal import Decimal
from functools import cache

from suspedu.coursework.exercise.numbers import literals, substituted
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.units import InputError

FIRST = 1000  # from here on the number in the record is that of a draw; below it stands a row of the table
MOST_TRIES = 1000  # to meet a condition
MOST_VALUES = 10_000
ALLOWED = (ast.Expression, ast.Compare, ast.BoolOp, ast.And, ast.Or, ast.BinOp, ast.Add, ast.Sub, ast.Mult, ast.Div,
           ast.Pow, ast.UnaryOp, ast.USub, ast.Name, ast.Load, ast.Constant, ast.cmpop)
Numbers = dict[str, dict[str, float]]  # by id of the numbers cell and by name


def is_drawn(solution: Sheet) -> bool:
    """Whether a solution says what its numbers are drawn from; every numbers cell of it, or none.

    Raises: InputError for a cell that does not say it of each of its numbers, or whose practice numbers do not fit.
    """
    cells = solution.with_role("numbers")
    saying = [cell for cell in cells if "drawn" in cell.facts]
    for cell in saying:
        _check_cell(solution.name, cell)
    if saying and len(saying) < len(cells):
        silent = next(cell.id for cell in cells if "drawn" not in cell.facts)
        raise InputError(f"solution '{solution.name}', numbers cell '{silent}' does not say what its numbers are drawn "
                         "from, and another one does; say it of all, or of none")
    return bool(saying)


def _check_cell(name: str, cell: Cell) -> None:
    where, drawn = f"solution '{name}', numbers cell '{cell.id}'", cell.facts["drawn"]
    names = cell.facts.get("names")
    if not isinstance(drawn, dict) or not isinstance(names, list) or set(drawn) != set(names):
        raise InputError(f"{where} draws {_listed(drawn)}, and its names are {_listed(names)}; name the same ones")
    written = literals(cell.source)
    for number, source in drawn.items():
        try:
            known = values_of(source)
        except InputError as fault:
            raise InputError(f"{where}, '{number}': {fault}") from None
        if written.get(number) not in known:
            raise InputError(f"{where}: the practice value {number} = {written.get(number)} is not one of those that "
                             f"are drawn from, {drawn_from(source)}")
    if not meets(cell, written):
        raise InputError(f"{where}: the practice numbers do not meet '{cell.facts['where']}'")


def _listed(names) -> str:
    return ", ".join(map(str, names)) if isinstance(names, (dict, list)) and names else "none"


def values_of(source) -> list[float]:
    """All values that a number can be drawn from.

    Parameters: source, [low, high, step], or {"of": [...]} for values that a shop has.
    Raises: InputError for what gives none, or far too many.

    >>> values_of([4.2, 4.8, 0.2]), values_of([20, 30, 5]), values_of({"of": [10.0, 12.5]})
    ([4.2, 4.4, 4.6, 4.8], [20, 25, 30], [10.0, 12.5])
    """
    if isinstance(source, dict) and isinstance(source.get("of"), list) and all(map(_is_number, source["of"])):
        found = source["of"]
    elif isinstance(source, list) and len(source) == 3 and all(map(_is_number, source)):
        found = _stepped(*source)
    else:
        raise InputError(f"{source!r} is neither [low, high, step] nor {{\"of\": [values]}}")
    if not 2 <= len(set(found)) == len(found) <= MOST_VALUES:
        raise InputError(f"{drawn_from(source)} gives {len(set(found))} different values; allowed: 2 to {MOST_VALUES}, "
                         "each once")
    return found


def _is_number(value) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _stepped(low, high, step) -> list[float]:
    if step <= 0:
        return []
    kind = int if all(isinstance(value, int) for value in (low, high, step)) else float
    first, last, width = (Decimal(str(value)) for value in (low, high, step))
    return [kind(first + k * width) for k in range(min(max(int((last - first) // width) + 1, 0), MOST_VALUES + 1))]


def drawn_from(source) -> str:
    """What a number is drawn from, in words.

    >>> drawn_from([4.2, 5.4, 0.1]), drawn_from({"of": [1, 2]})
    ('4.2 to 5.4 in steps of 0.1', 'one of 1, 2')
    """
    if isinstance(source, dict):
        return f"one of {', '.join(f'{value:g}' for value in source['of'])}"
    return "{:g} to {:g} in steps of {:g}".format(*source)


def meets(cell: Cell, values: dict[str, float]) -> bool:
    """Whether some numbers meet the condition of their cell, such as "rider_sag - free_sag >= 25".

    Raises: InputError for a condition that is more than a comparison of numbers.
    """
    text = cell.facts.get("where")
    if not text:
        return True
    try:
        tree = ast.parse(str(text), mode="eval")
        if not all(isinstance(node, ALLOWED) for node in ast.walk(tree)):
            raise SyntaxError
        return bool(eval(compile(tree, "<where>", "eval"), {"__builtins__": {}}, values))
    except (SyntaxError, NameError, TypeError, ArithmeticError):
        raise InputError(f"numbers cell '{cell.id}': its condition {text!r} cannot be worked out; compare its numbers "
                         f"({', '.join(values)}) by <, <=, and, or") from None


def drawn(secret: bytes, student: str, solution: Sheet, attempt: int) -> Numbers:
    """A student's numbers of an exercise, the attempt-th draw of them.

    HMAC-SHA256(secret, exercise, student, attempt, try, name) modulo the number of values, for each number; where the
    condition of a cell is not met, its next try is taken

    Raises: InputError where a condition can hardly be met.
    Source: fips-198-1, keyed hash (printed, from memory)
    """
    own = f"{len(solution.name)}:{solution.name}{student}\0{attempt}"
    return {cell.id: _drawn_cell(secret, own, cell) for cell in solution.with_role("numbers")}


def _drawn_cell(secret: bytes, own: str, cell: Cell) -> dict[str, float]:
    known = {name: _known(json.dumps(source)) for name, source in cell.facts["drawn"].items()}
    for trial in range(MOST_TRIES):
        found = {name: values[keyed(secret, f"{own}\0{trial}\0{cell.id}\0{name}") % len(values)]
                 for name, values in known.items()}
        if meets(cell, found):
            return found
    raise InputError(f"numbers cell '{cell.id}': {MOST_TRIES} draws did not meet '{cell.facts['where']}'; widen it")


@cache
def _known(source: str) -> list[float]:
    return values_of(json.loads(source))


def keyed(secret: bytes, message: str) -> int:
    """HMAC-SHA256 as a whole number; a 256-bit number modulo some thousands is as good as even."""
    return int.from_bytes(hmac.new(secret, message.encode(), hashlib.sha256).digest())


def with_numbers(sheet: Sheet, own: Numbers) -> Sheet:
    """The sheet (an exercise or a solution) with these numbers in its numbers cells."""
    return sheet.with_sources({cell.id: substituted(cell.source, own[cell.id])
                               for cell in sheet.cells if cell.id in own})
