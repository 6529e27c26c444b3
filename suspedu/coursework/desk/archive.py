"""Members of a ZIP, read into memory one at a time and never unpacked to disk."""

from __future__ import annotations

import io
import lzma
import re
import stat
import time
import zipfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from suspedu.coursework.exercise import reader
from suspedu.units import InputError

MOST_MEMBERS = 20_000
MOST_ZIP = 2 << 30  # bytes of a class's ZIP
MOST_INNER_ZIP = 20 << 20  # bytes of a ZIP inside it
MOST_TOTAL = 4 << 30  # bytes that all its members say they unpack to
DEEPEST = 2
LONGEST_PLACE = 120  # characters of it in a sentence
FAULTS = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError, RuntimeError, ValueError, LookupError,
          TypeError, MemoryError)  # what a crafted ZIP raises
NEVER = (1980, 1, 1, 0, 0, 0)  # what stands in a ZIP whose maker wrote no dates
Box = Callable[[], zipfile.ZipFile]


@dataclass(frozen=True)
class Member:
    """A notebook in a ZIP: its path there, when it was saved, and how to read it."""

    parts: tuple[str, ...]
    when: float
    read: Callable[[], bytes]


def members(path: Path, place: str = "") -> Iterator[Member | str]:
    """The notebooks in a ZIP, and a sentence for each member or ZIP that is refused.

    Parameters: path of the ZIP, which stays open while its members are being read; place, what it is called in
    sentences, where that is not its name alone.
    """
    shown = repr(_end_of(place or path.name))
    try:
        if path.is_symlink() or path.stat().st_size > MOST_ZIP:
            yield f"{shown} is a link or larger than {MOST_ZIP >> 30} GB and was not opened"
            return
        box = zipfile.ZipFile(path)
    except FAULTS:
        yield f"{shown} is not a ZIP that can be opened (is it cut short?)"
        return
    yield from _listed(shown, lambda: box, 1)


def _end_of(place: str) -> str:
    """The end of a long place, which tells more than its beginning."""
    return place if len(place) <= LONGEST_PLACE else f"...{place[-LONGEST_PLACE:]}"


def _listed(shown: str, box: Box, depth: int) -> Iterator[Member | str]:
    entries = box().infolist()
    if len(entries) > MOST_MEMBERS or sum(e.file_size for e in entries) > MOST_TOTAL:
        yield f"{shown} was not opened: it holds {len(entries)} files or unpacks to more than {MOST_TOTAL >> 30} GB"
        return
    inner = lru_cache(maxsize=1)(lambda entry: _inner_box(shown, box, entry))
    for entry in entries:
        if not entry.is_dir() and not _is_clutter(entry.filename):
            yield from _member(f"{shown}, member {entry.filename[:120]!r}", box, entry, depth, inner)


def _is_clutter(name: str) -> bool:
    return bool(re.search(r"(^|/)(__MACOSX|\.ipynb_checkpoints|\.git)/|(^|/)\.[^/.][^/]*$", name))


def _member(shown: str, box: Box, entry: zipfile.ZipInfo, depth: int,
            inner: Callable[[zipfile.ZipInfo], zipfile.ZipFile]) -> Iterator[Member | str]:
    parts = tuple(part for part in re.split(r"[/\\]+", entry.filename) if part not in ("", "."))
    if refusal := _refusal(entry, parts):
        yield f"{shown} {refusal}"
    elif re.search(r"\.ipynb", parts[-1], re.IGNORECASE):
        yield Member(parts, _when(entry), lambda: _read(shown, box, entry, reader.MOST_BYTES))
    elif parts[-1].lower().endswith(".zip") and depth < DEEPEST:
        yield from _inner(shown, lambda: inner(entry), parts)
    else:
        yield f"{shown} is not a notebook and was left aside"


def _inner_box(shown: str, box: Box, entry: zipfile.ZipInfo) -> zipfile.ZipFile:
    """A ZIP in the ZIP, in memory."""
    return zipfile.ZipFile(io.BytesIO(_read(f"{shown}, member {entry.filename[:120]!r}", box, entry, MOST_INNER_ZIP)))


def _inner(shown: str, box: Box, parts: tuple[str, ...]) -> Iterator[Member | str]:
    """Members of a ZIP in the ZIP: only the last one that was asked for stays open, for all of its members in turn."""
    try:
        box()
    except InputError as fault:
        yield str(fault)
    except FAULTS:
        yield f"{shown} is not a ZIP that can be opened (is it cut short?)"
    else:
        for found in _listed(shown, box, DEEPEST):
            yield found if isinstance(found, str) else Member((*parts, *found.parts), found.when, found.read)


def _refusal(entry: zipfile.ZipInfo, parts: tuple[str, ...]) -> str:
    """Why a member is not even looked at."""
    if ".." in parts or entry.filename.startswith(("/", "\\")) or re.match(r"[A-Za-z]:", entry.filename):
        return "climbs out of its ZIP and was refused"
    if stat.S_ISLNK(entry.external_attr >> 16):
        return "is a link; hand in the file itself"
    if entry.flag_bits & 1:
        return "is locked with a password; hand it in without"
    return "has no name" if not parts else ""


def _when(entry: zipfile.ZipInfo) -> float:
    if entry.date_time == NEVER:
        return 0.0
    try:
        return time.mktime((*entry.date_time, 0, 0, -1))
    except (ValueError, OverflowError):
        return 0.0  # a date that is none, as crafted files have


def _read(shown: str, box: Box, entry: zipfile.ZipInfo, most: int) -> bytes:
    """Bytes of one member, never more than `most` of them, whatever the ZIP says of its size.

    Raises: InputError naming the member.
    """
    try:
        with box().open(entry) as member:
            data = member.read(most + 1)
    except FAULTS:
        raise InputError(f"{shown} is damaged or changed since") from None
    if len(data) > most:
        raise InputError(f"{shown} unpacks to more than {most >> 20} MB; a notebook of this course never does")
    return data
