"""Dated copies of the record, made before each run that may change it, and the way back to one."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from contextlib import closing
from pathlib import Path

from suspedu.coursework.desk import row_hashes
from suspedu.files import write_whole
from suspedu.units import InputError, nearest

KEPT = 30  # newest copies that stay, whenever they were made
KEPT_DAYS = 60  # latest days with copies of which the first stays: the record as the day before had left it
DATED = len("record 2026-11-20")  # characters of a copy's name that tell the day
Lines = list[tuple[str, str]]  # of a trail: hour and sentence


def back_up(record: Path, folder: Path) -> Path | None:
    """Copy the record into a folder under the hour; nothing where there is none yet, or the latest copy is the same.

    Raises: InputError where it cannot be read or written, or is damaged.
    """
    if not is_there(record):
        return None
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    content, before = _content(record), copies(folder)
    if before and before[-1].read_bytes() == content:
        return None
    path = folder / time.strftime("record %Y-%m-%d %H.%M.%S.sqlite")
    write_whole(path, content, private=True)
    for old in _outlived(copies(folder)):
        old.unlink(missing_ok=True)
    return path


def _outlived(there: list[Path]) -> list[Path]:
    """Of the copies that there are, oldest first, those that go."""
    first = {path.stem[:DATED]: path for path in reversed(there)}  # by the day
    days = sorted(first)[-KEPT_DAYS:]
    return sorted({*there[:-KEPT]} - {first[day] for day in days})


def is_there(record: Path) -> bool:
    """Whether there is a record; an empty file is none."""
    return record.exists() and record.stat().st_size > 0


def _content(record: Path) -> bytes:
    """The record as one file, whatever other runs are writing into it.

    Raises: InputError where it cannot be read, or where what is in it does not hold together.
    """
    try:
        with closing(sqlite3.connect(record, timeout=60)) as base, closing(sqlite3.connect(":memory:")) as copy:
            base.backup(copy)
            if copy.execute("PRAGMA integrity_check").fetchone()[0] != "ok":
                raise sqlite3.DatabaseError("malformed")
            row_hashes.require_whole(copy)
            return copy.serialize()
    except sqlite3.Error as fault:
        raise InputError(f"record '{record}' {why(fault, record)}") from None


def copies(folder: Path) -> list[Path]:
    """The copies that there are, oldest first."""
    return sorted(folder.glob("record *.sqlite"))


def restore(record: Path, folder: Path, name: str) -> tuple[Path, Lines | None]:
    """Put a copy in the place of the record, which is kept beside it under another name.

    Returns: where that is, and the lines of its trail that the copy has not, or None where they cannot be read.
    Raises: InputError for a copy that there is not, or that is damaged itself.
    """
    known = {path.stem.removeprefix("record "): path for path in copies(folder)}
    if name not in known:
        raise InputError(f"there is no copy '{name}'{nearest(name, known)}; there are: {', '.join(known) or 'none'}")
    data = known[name].read_bytes()
    _require_sound(known[name])
    later = _later_lines(record, known[name])
    aside = record.with_name(time.strftime("record before %Y-%m-%d %H.%M.%S.sqlite"))
    for end in ("", "-wal", "-shm"):
        part = record.with_name(record.name + end)
        if part.exists():
            part.replace(aside.with_name(aside.name + end))
    write_whole(record, data, private=True)
    return aside, later


def _later_lines(record: Path, copy: Path) -> Lines | None:
    """Lines of a record's trail from the first on that is not in the copy's too."""
    lines, kept = _trail(record), _trail(copy) or []
    if lines is None:
        return None
    same = next((k for k, (one, other) in enumerate(zip(lines, kept, strict=False)) if one != other),
                min(len(lines), len(kept)))
    return lines[same:]


def _trail(record: Path) -> Lines | None:
    """Hour and sentence of each line of the trail; None where it cannot be read."""
    try:
        with closing(sqlite3.connect(f"{record.resolve().as_uri()}?mode=ro", uri=True)) as base:
            return base.execute("SELECT at, said FROM trail ORDER BY place").fetchall()
    except sqlite3.Error:
        return None


def _require_sound(copy: Path) -> None:
    try:
        with closing(sqlite3.connect(f"{copy.resolve().as_uri()}?mode=ro", uri=True)) as base:
            sound = base.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            row_hashes.require_whole(base)
    except sqlite3.Error:
        sound = False
    if not sound:
        raise InputError(f"the copy '{copy.name}' is damaged itself; take an earlier one")


LEAST_ROOM = 256 << 10  # bytes that a record needs beside itself while it is open


def _is_full(record: Path) -> bool:
    """Whether hardly any room is left where a record lies, on a disk that could be written to."""
    try:
        left = shutil.disk_usage(record.parent).free
        return left < LEAST_ROOM and not _is_read_only(record.parent)
    except OSError:
        return False


def _is_read_only(folder: Path) -> bool:
    """Whether a folder lies on a disk that can only be read."""
    return bool(hasattr(os, "statvfs") and os.statvfs(folder).f_flag & os.ST_RDONLY)


def why(fault: sqlite3.Error, record: Path | None = None) -> str:
    """What is wrong with a record, and what to do about it, as the end of a sentence.

    Parameters: fault; record, where it lies: a full disk is told from a broken one by the room that is left on it.

    >>> why(sqlite3.OperationalError("database or disk is full"))
    'cannot be written: the disk is full; make room, then give the same command again (nothing that was kept is lost)'
    """
    said = str(fault)
    if "full" in said or (record and "malformed" not in said and _is_full(record)):
        return ("cannot be written: the disk is full; make room, then give the same command again (nothing that was "
                "kept is lost)")
    if "readonly" in said or "unable to open" in said:
        return "cannot be written: its folder or disk can only be read; copy the desk to a place that you may write to"
    if "malformed" in said or "not a database" in said or "disk image" in said:
        where = said.partition("malformed: ")[2]
        return (f"is damaged{f' ({where})' if where else ''}; see the copies with 'suspedu pen copies' and go back to "
                "one with 'suspedu pen restore'")
    if "locked" in said:
        return "is held by another run for more than a minute; wait until that one has ended"
    return f"cannot be used: {said}; keep a copy of the desk, then try again"
