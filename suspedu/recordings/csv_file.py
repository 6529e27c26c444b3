"""A CSV from a test bench into a `Recording`: comma, semicolon or tab, decimal point or comma, with or without a BOM.

Nothing is guessed in silence: what was taken for what stands in the recording's notes, what is doubtful is refused.
"""

from __future__ import annotations

import codecs
import io
import re
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from suspedu.recordings.columns import Column, columns_of
from suspedu.recordings.recording import Recording
from suspedu.recordings.soundness import sound
from suspedu.units import InputError, require

SEPARATORS = {";": "semicolons", "\t": "tabs", ",": "commas"}
LARGEST = 2_000_000_000  # bytes
NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
NO_NUMBER = {"nan", "inf", "-inf", "+inf", "-nan"}


def read_recording(path: Path | str, columns: Mapping[str, str] | None = None, *, mounted_at=0.0) -> Recording:
    """A test of a damper from a CSV file, its columns found by the header and checked for what goes wrong on benches.

    Parameters: path; columns, quantity -> name in the header where that is not "time", "stroke", "force" and
    "temperature"; mounted_at, stroke of the fork at which the bench reads zero [m].
    Returns: a `Recording` in SI, with notes that say what was taken for what.
    Raises: InputError, one sentence: a column or unit that is missing or doubtful, a row that is no row of numbers,
    and all that `sound` refuses.

    >>> read_recording("nowhere.csv")
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: 'nowhere.csv' cannot be read: No such file or directory
    """
    require("stroke at which the bench reads zero", mounted_at, -1.0, 1.0, "mm")
    try:
        if Path(path).stat().st_size > LARGEST:
            raise InputError(f"'{path}' is larger than {LARGEST / 1e9:.0f} GB; cut the test into pieces")
        content = Path(path).read_bytes()
    except OSError as fault:
        raise InputError(f"'{path}' cannot be read: {fault.strerror}") from fault
    return recording_from(content, columns, mounted_at=mounted_at)


def recording_from(content: bytes, columns: Mapping[str, str] | None = None, *, mounted_at=0.0) -> Recording:
    """A test of a damper from the bytes of a CSV file: see `read_recording`.

    Parameters: content; columns; mounted_at [m]. Returns: a `Recording`. Raises: InputError.

    >>> recording_from(b"time [s],stroke [mm]")
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: column 'force' for the force is not there; the header has 'time', 'stroke'; say which \
is which, as in columns={'force': 'name in the header [unit]'}
    """
    remarks, header, body = _taken_apart(content)
    separator = next((mark for mark in SEPARATORS if mark in header), ",")
    found = columns_of(header.split(separator), columns)
    comma = separator != "," and b"," in body
    rows = _numbers(body.replace(b",", b".") if comma else body, separator, len(header.split(separator)), found)
    values = {column.quantity: column.in_si(row) for column, row in zip(found, rows, strict=True)}
    values["stroke"] = values["stroke"] + mounted_at
    notes = (*remarks, f"Columns are parted by {SEPARATORS[separator]}, decimals by a {'comma' if comma else 'point'}.",
             *(column.note for column in found))
    return sound(Recording(**values, notes=notes))


def _taken_apart(content: bytes) -> tuple[list[str], str, bytes]:
    """Remarks (lines that begin with #), the header line and the bytes below it."""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise InputError("the file is UTF-16; save it as CSV in UTF-8")
    rest, remarks = content.removeprefix(codecs.BOM_UTF8), []
    while True:
        line, _, rest = rest.partition(b"\n")
        text = _text(line).strip()
        if text.startswith("#"):
            remarks.append(text.lstrip("# "))
        elif text or not rest:
            break
    if not text or all(NUMBER.fullmatch(cell.strip()) for cell in re.split("[;,\t]", text)):
        raise InputError("the file has no header; its first row should name columns and units, as in 'time [s]'")
    return remarks, text, rest


def _text(line: bytes) -> str:
    try:
        return line.decode()
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")  # what older spreadsheets write; only ° is not plain text here


def _numbers(body: bytes, separator: str, width: int, found: list[Column]) -> list[np.ndarray]:
    """The columns that are wanted, by the library's quick reader; where it stumbles, a sentence that names the row."""
    try:
        table = np.loadtxt(io.BytesIO(body), delimiter=separator, ndmin=2, comments=None) if body.strip() else np.empty(
            (0, width))
    except ValueError as fault:
        raise InputError(_stumbled(body, separator, width)) from fault
    if table.shape[1] != width:
        raise InputError(_stumbled(body, separator, width))
    return [np.ascontiguousarray(table[:, column.place]) for column in found]


def _stumbled(body: bytes, separator: str, width: int) -> str:
    """What is wrong with the first bad row, in a sentence; rows are counted from the one below the header."""
    for count, line in enumerate(body.splitlines(), start=1):
        cells = _text(line).split(separator) if line.strip() else []
        if cells and len(cells) != width:
            hint = "; do commas part both columns and decimals? Save it with semicolons" if separator == "," else ""
            return f"row {count} has {len(cells)} values, the header {width} columns{hint}"
        for cell in map(str.strip, cells):
            if not cell:
                return f"row {count} has an empty cell; cut the test there, or export it whole"
            if not NUMBER.fullmatch(cell) and cell.casefold() not in NO_NUMBER:
                digits = cell.replace(".", "").replace(",", "").isdigit()
                slip = " (thousands are not marked off, here)" if digits else ""
                return f"row {count} holds '{cell[:30]}', which is no number{slip}"
    return "the rows below the header are no table of numbers"
