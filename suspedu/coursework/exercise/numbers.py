"""Each student's own numbers: a row of a finite, tested table, written into the numbers cells."""

from __future__ import annotations

import ast
import contextlib
import hashlib
import hmac

from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.units import InputError

FEWEST_ROWS = 13  # the practice row and a dozen more, so that neighbours rarely share a row


def own_row(secret: bytes, student: str, exercise: str, count: int) -> int:
    """Which row of the table a student gets; never row 0, which is for practice.

    HMAC-SHA256(secret, exercise, student) modulo (count - 1), plus 1

    Parameters: secret of the course; student, the student number; exercise, its name; count of rows.

    >>> own_row(b"secret", "1001", "01_springs", 13)
    2
    """
    if count < 2:
        raise InputError(f"exercise '{exercise}' has {count} rows of numbers; at least 2 are needed for own numbers")
    message = f"{len(exercise)}:{exercise}{student}".encode()
    return int.from_bytes(hmac.new(secret, message, hashlib.sha256).digest()) % (count - 1) + 1


def row_count(solution: Sheet) -> int:
    """How many rows of numbers a solution has; the k-th rows of all its numbers cells belong together.

    A cell whose numbers are drawn may have rows beside, or none.

    Raises: InputError where its tables differ in length or do not fit their cells.
    """
    cells = [cell for cell in solution.with_role("numbers") if "rows" in cell.facts or "drawn" not in cell.facts]
    for cell in cells:
        _check_table(solution.name, cell)
    counts = {len(cell.facts["rows"]) for cell in cells}
    if len(counts) > 1:
        raise InputError(f"solution '{solution.name}' has numbers tables of {sorted(counts)} rows; use one length")
    return counts.pop() if counts else 0


def _check_table(name: str, cell: Cell) -> None:
    where = f"solution '{name}', numbers cell '{cell.id}'"
    names, rows = cell.facts.get("names"), cell.facts.get("rows")
    if not isinstance(names, list) or not isinstance(rows, list) or len(rows) < FEWEST_ROWS:
        raise InputError(f"{where} needs 'names' and 'rows' with at least {FEWEST_ROWS} rows, or "
                         "'drawn'")
    if any(len(row) != len(names) for row in rows) or len({str(row) for row in rows}) < len(rows):
        raise InputError(f"{where} has a row twice or of the wrong length; names are {', '.join(names)}")
    written = {key: value for key, value in literals(cell.source).items() if key in names}
    if written != dict(zip(names, rows[0], strict=True)):
        raise InputError(f"{where} assigns {written}, but its first row (practice) is {rows[0]} for {names}")


def with_row(sheet: Sheet, solution: Sheet, row: int) -> Sheet:
    """The sheet (an exercise or a solution) with the numbers of one row of the solution's tables.

    Raises: InputError for a row that the tables do not have.
    """
    count = row_count(solution)
    if not 0 <= row < max(count, 1):
        raise InputError(f"row is {row}; allowed: 0 to {max(count, 1) - 1} in '{solution.name}'")
    if row == 0:
        return sheet
    tables = {cell.id: dict(zip(cell.facts["names"], cell.facts["rows"][row], strict=True))
              for cell in solution.with_role("numbers") if "rows" in cell.facts}
    return sheet.with_sources({cell.id: substituted(cell.source, tables[cell.id])
                               for cell in sheet.cells if cell.id in tables})


def _values(source: str) -> dict[str, ast.expr]:
    """The values of the plain assignments `name = value` of a source, as parsed."""
    lines = ast.parse(source).body
    return {line.targets[0].id: line.value for line in lines
            if isinstance(line, ast.Assign) and isinstance(line.targets[0], ast.Name)}


def literals(source: str) -> dict:
    """The names that a numbers cell assigns, with their values; what is calculated there is left out.

    >>> literals("wire = 4.5  # mm")
    {'wire': 4.5}
    """
    found = {}
    for name, node in _values(source).items():
        with contextlib.suppress(ValueError):
            found[name] = ast.literal_eval(node)
    return found


def substituted(source: str, values: dict) -> str:
    """The source with other values assigned; names, comments and everything else stay.

    >>> substituted("wire = 4.5e-3  # m, wire diameter", {"wire": 0.0048})
    'wire = 0.0048  # m, wire diameter'
    """
    lines = source.encode().splitlines(keepends=True)  # ast counts columns in bytes
    found = _values(source)
    if missing := values.keys() - found.keys():
        raise InputError(f"numbers cell does not assign {', '.join(sorted(missing))} in lines 'name = value  # unit'")
    for name in sorted(values, key=lambda key: (found[key].lineno, found[key].col_offset), reverse=True):
        node = found[name]
        if node.lineno != node.end_lineno:
            raise InputError(f"numbers cell gives {name} over several lines; write it on one")
        line = lines[node.lineno - 1]
        lines[node.lineno - 1] = line[:node.col_offset] + repr(values[name]).encode() + line[node.end_col_offset:]
    return b"".join(lines).decode()
