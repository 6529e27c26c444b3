"""A TOML file with other values in it: comments, order and blank lines of whoever wrote it stay where they are."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

from suspedu.data.writer import _is_table, _key, _lines, _value, toml_text
from suspedu.units import InputError


@dataclass(frozen=True)
class Entry:
    """Lines of a file that belong together: a comment, a table's head, or a key with its value and what follows it."""

    lines: str
    table: tuple[str, ...]  # in which it stands
    key: str = ""
    value: object = None
    comment: str = ""


def rewritten(text: str, table: dict, remarked: set[str] | frozenset[str] = frozenset(), remark: str = "") -> str:
    """Text of a file that reads back as the table, made from an older text of it.

    Parameters: text, the file as it stood; table, as `toml_text` takes it; remark, behind the lines of the keys whose
    paths are `remarked`, and behind no other.
    Returns: the old text where nothing changed; a file whose tables stand in one line or twice is written anew.

    >>> print(rewritten('# by tape\\nsag = "31 mm"  # twice\\n', {"sag": "33 mm"}), end="")
    # by tape
    sag = "33 mm"  # twice
    """
    remarks = dict.fromkeys(remarked, remark)
    try:
        made = "\n".join(_kept(list(_entries(text)), table, remarks, remark)).rstrip() + "\n"
        return made if tomllib.loads(made) == _without_gaps(table) else toml_text(table, remarks)
    except (InputError, tomllib.TOMLDecodeError):  # a value that stands in one line with its table
        return toml_text(table, remarks)


def _kept(entries: list[Entry], table: dict, remarks: dict[str, str], remark: str) -> Iterator[str]:
    seen = {(*each.table, each.key) for each in entries if each.key}
    tables = list(dict.fromkeys(each.table for each in entries))
    for place in tables:
        values = _found(table, place)
        if not isinstance(values, dict):
            continue  # the table is gone, and what was said of it
        yield from (line for each in entries if each.table == place for line in _line(each, values, remarks, remark))
        added = {key: value for key, value in values.items() if (*place, key) not in seen and not _is_table(value)}
        yield from _lines(added, ".".join(place), remarks)
    new = {key: value for key, value in table.items() if _is_table(value) and (key,) not in tables}
    yield from _lines(new, "", remarks)


def _line(entry: Entry, values: dict, remarks: dict[str, str], remark: str) -> Iterator[str]:
    """An entry as it is written now: as it was, with another value or remark, or not at all."""
    if not entry.key:
        yield entry.lines
        return
    value = values.get(entry.key)
    if value is None:
        return
    before = entry.comment.removeprefix("#").strip()
    theirs = before.removesuffix(remark).rstrip("; ") if remark else before
    told = "; ".join(filter(None, [theirs, remarks.get(".".join((*entry.table, entry.key)))]))
    same = value == entry.value and told == before
    yield entry.lines if same else f"{_key(entry.key)} = {_value(value)}{f'  # {told}' if told else ''}"


def _entries(text: str) -> Iterator[Entry]:
    table: tuple[str, ...] = ()
    lines = iter(text.split("\n"))
    for line in lines:
        bare = line.strip()
        if bare.startswith("["):
            table = tuple(part.strip() for part in bare.partition("#")[0].strip().strip("[]").split("."))
        yield _assignment(line, lines, table) if bare and bare[0] not in "#[" else Entry(line, table)


def _assignment(line: str, following: Iterator[str], table: tuple[str, ...]) -> Entry:
    """A key with its value, which may go on over the following lines."""
    while (end := _end_of_value(line)) is None:
        line = f"{line}\n{next(following)}"
    (key, value), *_ = tomllib.loads(line[:end]).items()
    return Entry(line, table, key, value, line[end:].strip())


def _end_of_value(line: str) -> int | None:
    """Where the value ends and a comment begins; None where the value goes on in the next line."""
    for end in (*(place for place, sign in enumerate(line) if sign == "#"), len(line)):
        try:
            tomllib.loads(line[:end])
        except tomllib.TOMLDecodeError:
            continue
        return end
    return None


def _found(table: dict, place: tuple[str, ...]):
    """What stands at a place, through lists of one table."""
    found: object = table
    for part in place:
        found = found.get(part) if isinstance(found, dict) else None
        found = found[0] if isinstance(found, list) and len(found) == 1 else found
    return found


def _without_gaps(value):
    """A table as a file holds it: without what is None."""
    if isinstance(value, dict):
        return {key: _without_gaps(each) for key, each in value.items() if each is not None}
    return [_without_gaps(each) for each in value] if isinstance(value, list | tuple) else value
