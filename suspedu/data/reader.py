"""TOML files to parts: every number is written with its unit, and every slip gets one sentence.

The reader knows no particular part. It looks at a dataclass's own fields (made
with `units.quantity`) and asks the file for exactly these, so a new part needs
no new reading code:

* a quantity is text with a unit (`travel = "300 mm"`), a bare ratio or a count is a number;
* a nested table is a nested part, an array of tables a tuple of parts;
* where a part may be one of several kinds, the table says which: `kind = "open cartridge"`. Kinds are listed in
  the field's own annotation (`a: One | Other`), or join a family from wherever they are made (`one_kind_of`);
* a part that stands otherwise in a file than in a hand says so: `in_file()` is the dataclass to read in its place, and
  `from_file(**values)` makes the part of what was read.
"""

from __future__ import annotations

import dataclasses
import re
import tomllib
import types
import typing
from pathlib import Path

from suspedu.units import InputError, from_si, nearest, parse, require

_FAMILIES: dict[type, dict[str, type]] = {}


def one_kind_of(family: type):
    """Decorator of a part: a field annotated with the family may then be a part of this kind too.

    Parameters: family, a class or protocol, whose kinds need not be known where it is made.

    >>> class Wheel: ...
    >>> @one_kind_of(Wheel)
    ... @dataclasses.dataclass(frozen=True)
    ... class SpokedWheel:
    ...     spokes: int
    >>> car = dataclasses.make_dataclass("Car", [("wheel", Wheel)])
    >>> part_from_table({"wheel": {"kind": "spoked wheel", "spokes": 36}}, car).wheel
    SpokedWheel(spokes=36)
    """
    def joined(part: type) -> type:
        _FAMILIES.setdefault(family, {})[_kind(part)] = part
        return part

    return joined


def read_part(path, part: type):
    """Part of the given dataclass, read from a TOML file.

    Parameters: path to the file; part, a dataclass made with `units.quantity` fields.
    Raises: InputError, one sentence with the file's name and the path of the key.
    """
    try:
        return part_from_text(file_text(Path(path)), part)
    except InputError as fault:
        raise InputError(f"{Path(path).name}: {fault}") from None


def part_from_text(text: str, part: type):
    """Part of the given dataclass, from the text of a TOML file.

    Raises: InputError, one sentence with the path of the key.

    >>> from suspedu.parts.stops import TopOutSpring
    >>> part_from_text('rate = "40 N/mm"\\nlength = "5 mm"', TopOutSpring).length
    0.005
    """
    return part_from_table(table_from_text(text), part)


def file_text(path: Path) -> str:
    """Text of a TOML file.

    Raises: InputError, one sentence, for a file that cannot be read or is not text.
    """
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise InputError("the file is not text in UTF-8; is it really a TOML file?") from None
    except OSError as fault:
        raise InputError(f"the file cannot be read ({fault.strerror or fault})") from None


def table_from_text(text: str) -> dict:
    """Table that the text of a TOML file holds.

    Raises: InputError, one sentence, for text that is not TOML.

    >>> table_from_text('rate = "40 N/mm"')
    {'rate': '40 N/mm'}
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise InputError(f"the file is broken or cut off and is not valid TOML: {fault}") from None
    except RecursionError:
        raise InputError("the file nests tables or lists far deeper than any machine") from None


def part_from_table(table: dict, part: type, path: str = ""):
    """Part of the given dataclass, built from a table of texts and numbers.

    Parameters: table, as TOML gives it; part, the dataclass; path of the table inside the file, for messages.
    Raises: InputError naming the key that is missing, misspelt, of the wrong unit or out of range.

    >>> from suspedu.parts.stops import TopOutSpring
    >>> part_from_table({"rate": "40 N/mm", "length": "5 mm"}, TopOutSpring)
    TopOutSpring(rate=40000.0, length=0.005)
    """
    form = part.in_file() if hasattr(part, "in_file") else part
    fields = {field.name: field for field in dataclasses.fields(form)}
    _refuse_unknown(table, fields, part, path)
    hints = typing.get_type_hints(form)
    values = {}
    for name, field in fields.items():
        if name in table:
            values[name] = _value(table[name], hints[name], field.metadata, _join(path, name))
        elif field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING:
            raise InputError(f"{_join(path, name)} is missing; write it as {name} = {_example(hints[name], field)}")
    try:
        return getattr(part, "from_file", part)(**values)
    except InputError as fault:  # guards between several fields of the part
        raise InputError(f"{path}: {fault}" if path else str(fault)) from None


def _refuse_unknown(table, fields, part, path) -> None:
    for key in table:
        if key not in fields:
            raise InputError(f"{_join(path, key)} is not a key of {_words(part)}{nearest(key, fields)}; "
                             f"known: {', '.join(fields)}")


def _value(raw, hint, facts, path):
    kinds = [kind for kind in _members(hint) if kind is not type(None)]
    if "unit" in facts:
        return _number(raw, facts, kinds, path)
    if typing.get_origin(kinds[0]) is tuple:
        return _several(raw, typing.get_args(kinds[0])[0], path)
    if kinds[0] in _FAMILIES:
        return _chosen(raw, _FAMILIES[kinds[0]], path)
    if any(dataclasses.is_dataclass(kind) for kind in kinds):
        return _nested(raw, kinds, path)
    if kinds[0] in (int, str, bool) and type(raw) is kinds[0]:
        return raw
    raise InputError(f"{path} is {raw!r}: expected {_plain(kinds[0])}")


def _number(raw, facts, kinds, path):
    bare = isinstance(raw, int | float) and not isinstance(raw, bool)
    if int in kinds and type(raw) is not int:
        raise InputError(f"{path} is {raw!r}: expected a whole number without quotes or unit")
    if facts["unit"] and bare:
        raise InputError(f"{path} is {raw}: the unit is missing; write it as text, as in \"{raw} {facts['unit']}\"")
    if not facts["unit"] and not bare:
        raise InputError(f"{path} is {raw!r}: expected a number without quotes or unit")
    value = raw if bare else _parsed(raw, facts["unit"], path)
    return require(path, value, facts["low"], facts["high"], facts["unit"], facts["slip"])


def _parsed(raw, unit, path) -> float:
    try:
        return parse(raw, unit, path)
    except InputError as fault:  # an unknown unit does not yet say where it stands
        raise InputError(str(fault) if str(fault).startswith(path) else f"{path} is {raw!r}: {fault}") from None


def _several(raw, kind, path) -> tuple:
    if not isinstance(raw, list) or not raw:
        raise InputError(f"{path} is not a list; start each of its entries with [[{path}]]")
    return tuple(_value(entry, kind, {}, f"{path}[{count}]") for count, entry in enumerate(raw, start=1))


def _nested(raw, kinds, path):
    if len(kinds) > 1:
        return _chosen(raw, {_kind(kind): kind for kind in kinds}, path)
    return part_from_table(_as_table(raw, path), kinds[0], path)


def _chosen(raw, names: dict[str, type], path):
    raw = _as_table(raw, path)
    given = raw.get("kind")
    if given not in names:
        raise InputError(f"{path}.kind is {given!r}; known: {', '.join(names)}{nearest(str(given), names)}")
    return part_from_table({key: raw[key] for key in raw if key != "kind"}, names[given], path)


def _as_table(raw, path) -> dict:
    if not isinstance(raw, dict):
        raise InputError(f"{path} is {raw!r}: expected a table, begun by [{path}]")
    return raw


def _members(hint) -> tuple:
    return typing.get_args(hint) if typing.get_origin(hint) in (typing.Union, types.UnionType) else (hint,)


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _words(part: type) -> str:
    """A class name in words: CoilSpring -> 'a coil spring'."""
    words = re.sub(r"(?<!^)(?=[A-Z])", " ", part.__name__).lower()
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def _kind(part: type) -> str:
    return _words(part).partition(" ")[2]


def _plain(kind) -> str:
    names = {int: "a whole number without quotes", str: "text in quotes", bool: "true or false"}
    return names.get(kind, "a table of its own kind")


def _example(hint, field) -> str:
    facts = field.metadata
    if "unit" not in facts:
        return f"{_plain(_members(hint)[0])}"
    low, high = (f"{from_si(facts[end], facts['unit']):.4g}" for end in ("low", "high"))
    example = f'"... {facts["unit"]}"' if facts["unit"] else "..."
    return f"{example} (allowed: {low} to {high} {facts['unit']})".replace(" )", ")")
