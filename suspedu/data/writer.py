"""Tables to TOML files that a person can read and mend: the reader's other way round."""

from __future__ import annotations

import json

from suspedu.units import InputError

WIDE = 100  # signs of a list above which each entry gets a line


def toml_text(table: dict, remarks: dict[str, str] | None = None) -> str:
    """Text of a TOML file that reads back as the table.

    Parameters: table of texts, whole numbers, numbers, truths, tables and lists of these; remarks, by the path of a
    key, that stand behind its line.
    Raises: InputError for a value that TOML does not know.

    >>> print(toml_text({"name": "hack", "tyre": {"pressure": "0.9 bar"}}, {"tyre.pressure": "by gauge"}), end="")
    name = "hack"
    <BLANKLINE>
    [tyre]
    pressure = "0.9 bar"  # by gauge
    """
    return "\n".join(_lines(table, "", remarks or {})).strip() + "\n"


def _lines(table: dict, path: str, remarks: dict[str, str]) -> list[str]:
    """Plain keys first, as TOML wants it, then tables and lists of tables, each under its head."""
    nested = {key: value for key, value in table.items() if _is_table(value)}
    lines = [f"{_key(key)} = {_value(value)}{_remark(remarks, _join(path, key))}"
             for key, value in table.items() if key not in nested and value is not None]
    for key, value in nested.items():
        place, many = _join(path, _key(key)), isinstance(value, list)
        for entry in value if many else [value]:
            lines += ["", f"[[{place}]]" if many else f"[{place}]", *_lines(entry, place, remarks)]
    return lines


def _is_table(value) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and bool(value) and isinstance(value[0], dict))


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _remark(remarks: dict[str, str], place: str) -> str:
    return f"  # {remarks[place]}" if place in remarks else ""


def _key(key: str) -> str:
    plain = key and all(sign.isascii() and (sign.isalnum() or sign in "-_") for sign in key)
    return key if plain else _text(key)


def _text(words: str) -> str:
    return json.dumps(words, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, list | tuple):
        entries = [_value(entry) for entry in value]
        line = "[" + ", ".join(entries) + "]"
        return line if len(line) < WIDE else "[\n" + "".join(f"    {entry},\n" for entry in entries) + "]"
    raise InputError(f"{value!r} cannot stand in a TOML file")
