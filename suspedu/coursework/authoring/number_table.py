"""A small table from a spreadsheet becomes the numbers of an exercise: ranges to draw from, or rows."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from suspedu.coursework.exercise import hygiene, loading
from suspedu.coursework.exercise.numbers import literals, substituted
from suspedu.files import write_whole
from suspedu.units import InputError

RANGES = ("name", "practice", "from", "to", "step", "values", "comment")


def take_table(path: Path, cell: str, table: Sequence[Sequence[str]]) -> str:
    """Write a table into a numbers cell of a solution; what was taken, in words.

    Parameters: path of the solution; cell, its id; table, rows of text, the head first: either the columns name,
    practice, from, to, step, values, comment (a line for each number), or the names, then a line for each set of
    numbers, the practice set first.
    Raises: InputError naming the line; then nothing is written.
    """
    book = loading.notebook(path)
    found = {c["id"]: c for c in book["cells"] if loading.role(c) == "numbers"}
    if cell not in found:
        raise InputError(f"'{path.name}' has no numbers cell '{cell}'; it has: {', '.join(found) or 'none'}")
    head, *lines = [[text.strip() for text in row] for row in table] or [[]]
    if not lines:
        raise InputError("the table has a head and no lines, or nothing at all")
    taken = _ranges if "name" in map(str.casefold, head) else _rows
    source, facts = taken([name.casefold() for name in head] if taken is _ranges else head, lines,
                          "".join(found[cell]["source"]))
    kept = {key: value for key, value in found[cell]["metadata"]["suspedu"].items() if key not in ("drawn", "rows")}
    found[cell]["metadata"]["suspedu"] = kept | facts
    found[cell] |= {"source": source}
    write_whole(path, hygiene.written(hygiene.tidy(book)))
    return f"{_counted(facts['names'], 'number')}, {'drawn' if 'drawn' in facts else _counted(lines, 'row')}"


def _counted(things: Sequence, name: str) -> str:
    return f"{len(things)} {name}{'s' * (len(things) != 1)}"


def _ranges(head: list[str], lines: list[list[str]], _: str) -> tuple[str, dict]:
    """Source and facts of a cell whose numbers are drawn."""
    if odd := [name for name in head if name not in RANGES]:
        raise InputError(f"the table has a column {odd[0]!r}; known: {', '.join(RANGES)}")
    source, drawn = [], {}
    for number, line in enumerate(lines, 2):
        told = dict(zip(head, line, strict=False))
        name = told.get("name", "")
        if not name.isidentifier():
            raise InputError(f"line {number}: the name is {name!r}; letters, digits and _ only")
        several = told.get("values", "").split()
        drawn[name] = ({"of": [_number(text, number) for text in several]} if several else
                       [_number(told.get(key, ""), number) for key in ("from", "to", "step")])
        comment = f"  # {told['comment']}" if told.get("comment") else ""
        source.append(f"{name} = {_number(told.get('practice', ''), number)}{comment}")
    return "\n".join(source), {"names": list(drawn), "drawn": drawn}


def _rows(names: list[str], lines: list[list[str]], source: str) -> tuple[str, dict]:
    """Source and facts of a cell with a table of rows; the first is for practice."""
    rows = [[_number(text, number) for text in line] for number, line in enumerate(lines, 2)]
    if short := [number for number, row in enumerate(rows, 2) if len(row) != len(names)]:
        raise InputError(f"line {short[0]} has {len(rows[short[0] - 2])} numbers; the head names {len(names)}")
    if missing := [name for name in names if name not in literals(source)]:
        raise InputError(f"the numbers cell does not assign {', '.join(missing)}; write lines 'name = value  # unit'")
    return substituted(source, dict(zip(names, rows[0], strict=True))), {"names": names, "rows": rows}


def _number(text: str, line: int) -> float:
    """A number as typed, with a comma or a point; a whole one stays whole."""
    try:
        plain = text.replace(",", ".")
        return int(plain) if plain.lstrip("-+").isdigit() else float(plain)
    except ValueError:
        raise InputError(f"line {line}: {text!r} is no number") from None
