"""Strict reader of a notebook that somebody handed in: nothing but plain data comes through.

nbformat never sees such a file.  Only id, kind, source and our own metadata of each cell are
kept; kernel names, tags and outputs are dropped here.
"""

from __future__ import annotations

import codecs
import errno
import json
import os
import re
import stat
from pathlib import Path

from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.units import InputError

MOST_BYTES = 5 * 1024 * 1024
MOST_CELLS = 500
KINDS = ("code", "markdown", "raw")
CONFLICT = re.compile(r"^(<{7}|={7}|>{7})( |$)", re.MULTILINE)
PACKED = b"\x1f\x8b"  # the first two bytes that gzip writes
WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE, codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)


def read_sheet(path: Path | str) -> Sheet:
    """The notebook in a file, reduced to a sheet.

    Raises: InputError, one sentence naming the file and what is wrong with it.
    """
    path = Path(path)
    return sheet_of(read_bytes(path), path.name)


def read_bytes(path: Path) -> bytes:
    """Content of an ordinary file of bearable size: no link, pipe or device is followed, opened or waited for.

    Raises: InputError naming the file.
    """
    shown = repr(path.name)
    if path.is_symlink():
        raise InputError(f"{shown} is a link; hand in the file itself")
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
                         | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError) as fault:
        raise InputError(f"{shown} cannot be read: {_why(fault)}") from None
    facts = os.fstat(handle)
    if not stat.S_ISREG(facts.st_mode):
        os.close(handle)
        raise InputError(f"{shown} is not an ordinary file; hand in the notebook itself")
    with os.fdopen(handle, "rb") as file:
        check_size(facts.st_size, path.name)
        return file.read(MOST_BYTES + 1)


def _why(fault: Exception) -> str:
    code = getattr(fault, "errno", None)
    words = {errno.ENOENT: "there is no such file", errno.EACCES: "its permissions forbid it",
             errno.EISDIR: "it is a folder", errno.ELOOP: "it is a link", errno.ENXIO: "it is a pipe or device"}
    return words.get(code, "it is not an ordinary file")


def check_size(size: int, name: str) -> None:
    """Refuse a file that is larger than a notebook of this course can be."""
    if size > MOST_BYTES:
        raise InputError(f"{name!r} has {size / 1024**2:.3g} MB; allowed: up to {MOST_BYTES // 1024**2} MB "
                         "(clear its outputs and save it again)")


def sheet_of(data: bytes, name: str) -> Sheet:
    """The sheet in the bytes of a notebook.

    Parameters: data, the whole file; name, the file's name for the sentences.
    Raises: InputError, one sentence naming the file and what is wrong with it.
    """
    check_size(len(data), name)
    book = _json(_text(data, name), name)
    cells = _typed(book, "cells", list, name)
    if len(cells) > MOST_CELLS:
        raise InputError(f"{name!r} has {len(cells)} cells; allowed: up to {MOST_CELLS}")
    own = _ours(book.get("metadata"))
    read_cells = tuple(_cell(cell, f"{name!r}, cell {number}") for number, cell in enumerate(cells, 1))
    return Sheet(own["exercise"] if isinstance(own.get("exercise"), str) else "", read_cells)


def own_facts(path: Path) -> dict:
    """Our own part of a notebook's metadata, as it stands there.

    Raises: InputError for a file that is no notebook.
    """
    return _ours(_json(_text(read_bytes(path), path.name), path.name).get("metadata"))


def _text(data: bytes, name: str) -> str:
    if not data.strip():
        raise InputError(f"{name!r} is empty; save the notebook and hand it in again")
    if data.startswith(PACKED):
        raise InputError(f"{name!r} is packed (gzip); unpack it and hand in the notebook")
    if data.startswith(WIDE) or b"\0" in data[:4]:
        raise InputError(f"{name!r} is written in UTF-16 or UTF-32; save it as UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise InputError(f"{name!r} is not UTF-8 text (byte {fault.start}); save it again from JupyterLab") from None
    if CONFLICT.search(text):
        line = text[:CONFLICT.search(text).start()].count("\n") + 1
        raise InputError(f"{name!r} has merge-conflict marks (line {line}); settle the conflict and save it again")
    return text


def _json_fault(fault: ValueError) -> str:
    """What is wrong with a text that is no JSON."""
    if not isinstance(fault, json.JSONDecodeError):
        return "its JSON breaks off (is it cut short?)"
    if not fault.pos:
        return "it holds no JSON at all"
    if fault.msg == "Extra data":
        return f"more follows after its end, at line {fault.lineno}"
    return f"its JSON breaks off at line {fault.lineno} (is it cut short?)"


def _json(text: str, name: str) -> dict:
    try:
        book = json.loads(text)
    except RecursionError:
        raise InputError(f"{name!r} is nested too deeply to be a notebook") from None
    except ValueError as fault:
        raise InputError(f"{name!r} is not a notebook: {_json_fault(fault)}") from None
    if not isinstance(book, dict):
        raise InputError(f"{name!r} is not a notebook: it holds a {type(book).__name__}, not cells")
    if "worksheets" in book or book.get("nbformat") in (1, 2, 3):
        raise InputError(f"{name!r} is a notebook of an old format; open it in JupyterLab and save it again")
    return book


def _typed(table: dict, key: str, kind: type, where: str):
    if not isinstance(table.get(key), kind):
        raise InputError(f"{where}: '{key}' is missing or not a {kind.__name__}; is this a notebook?")
    return table[key]


def _cell(cell, where: str) -> Cell:
    if not isinstance(cell, dict):
        raise InputError(f"{where} is a {type(cell).__name__}, not a cell")
    kind = _typed(cell, "cell_type", str, where)
    if kind not in KINDS:
        raise InputError(f"{where} is of the unknown kind {kind[:20]!r}; kinds are {', '.join(KINDS)}")
    identity = cell.get("id", "")
    return Cell(identity if isinstance(identity, str) else "", kind, _source(cell, where), _ours(cell.get("metadata")))


def _source(cell: dict, where: str) -> str:
    source = cell.get("source")
    if isinstance(source, list) and all(isinstance(line, str) for line in source):
        source = "".join(source)
    if not isinstance(source, str):
        raise InputError(f"{where}: 'source' is missing or not text")
    return source.encode("utf-8", "replace").decode("utf-8")  # lone surrogates would break every later writing


def _ours(metadata) -> dict:
    """Our own part of some metadata, or nothing."""
    own = metadata.get("suspedu") if isinstance(metadata, dict) else None
    if not isinstance(own, dict):
        return {}
    texts = {key: value for key, value in own.items() if key in ("role", "question", "cell", "exercise", "title")}
    rest = {key: value for key, value in own.items() if key not in texts}
    return rest | {key: value for key, value in texts.items() if isinstance(value, str)}
