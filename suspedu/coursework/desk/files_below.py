"""Files below a place: what is there, how old it is and how to read it; nothing is unpacked, no link followed."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.desk import archive
from suspedu.coursework.exercise import reader
from suspedu.units import InputError

DEEPEST = 40  # folders in each other; a platform's export has five or six
SKIPPED = {".ipynb_checkpoints", "__MACOSX", ".git"}
NOTEBOOK = re.compile(r"\.ipynb(\.txt|\.json)?( ?\(\d+\))?$", re.IGNORECASE)  # as browsers and mail rename them


@dataclass(frozen=True)
class Found:
    """One file that was handed in, not yet read: its place (folders, name, members), its age, and how to read it."""

    parts: tuple[str, ...]
    when: float  # s since 1970
    read: Callable[[], bytes]

    @property
    def origin(self) -> str:
        """Its place for a person, harmless to print."""
        return printable("/".join(self.parts))


def printable(text: str, longest: int = 160) -> str:
    """Text without line breaks, escapes or other signs that act on a terminal, shortened.

    >>> printable("a\\x1b[31m\\nb")
    'a?[31m?b'
    """
    safe = "".join(sign if sign.isprintable() else "?" for sign in text[: 4 * longest])
    return safe if len(safe) <= longest else safe[: longest - 3] + "..."


def files_below(place: Path) -> Iterator[Found | str]:
    """All files below a place, as `Found` or as the sentence why one is refused.

    Parameters: place, a folder, a ZIP or one notebook.
    Raises: InputError where there is nothing at all.
    """
    if not place.exists():
        raise InputError(f"returns '{place}' do not exist; give the folder, ZIP or file that holds them")
    if not place.is_dir():
        yield from _one(place, ())
        return
    yield from _walked(place, ())


def _walked(place: Path, inside: tuple[str, ...]) -> Iterator[Found | str]:
    """What lies in a folder and, no deeper than `DEEPEST`, in the folders inside it: files first, both by name."""
    try:
        with os.scandir(place) as entries:
            entries = sorted(entries, key=lambda entry: entry.name)
    except (OSError, ValueError) as fault:  # nobody's return may vanish without a word
        yield f"folder '{printable(str(place))}' cannot be looked into: {_why(fault)}"
        return
    folders = [entry.name for entry in entries if entry.is_dir(follow_symlinks=False) and entry.name not in SKIPPED]
    for entry in entries:
        if entry.is_symlink() and _is_folder(entry):
            yield f"'{printable('/'.join((*inside, entry.name)))}' is a link to a folder; hand in the files themselves"
        elif not _is_folder(entry):
            yield from _one(place / entry.name, inside)
    if len(inside) >= DEEPEST and folders:
        yield f"folders in '{printable('/'.join(inside))}' lie more than {DEEPEST} deep and were not looked into"
        return
    for name in folders:
        yield from _walked(place / name, (*inside, name))


def _is_folder(entry: os.DirEntry) -> bool:
    """Whether an entry is a folder or leads to one; a link that leads round to itself is none."""
    try:
        return entry.is_dir()
    except OSError:
        return False


def _why(fault: Exception) -> str:
    return getattr(fault, "strerror", None) or type(fault).__name__


def _one(path: Path, inside: tuple[str, ...]) -> Iterator[Found | str]:
    parts = (*inside, path.name)
    try:
        facts = path.lstat()
    except OSError:
        yield f"'{printable('/'.join(parts))}' vanished while it was looked at"
        return
    if NOTEBOOK.search(path.name):
        yield Found(parts, facts.st_mtime, lambda: reader.read_bytes(path))
    elif path.suffix.lower() == ".zip" and not stat.S_ISREG(facts.st_mode):
        yield f"'{printable('/'.join(parts))}' is a link, a pipe or a device, not a ZIP, and was not opened"
    elif path.suffix.lower() == ".zip":
        for member in archive.members(path, "/".join(parts)):
            yield member if isinstance(member, str) else Found((*parts, *member.parts), member.when, member.read)
    elif not path.name.startswith("."):
        yield f"'{printable('/'.join(parts))}' is not a notebook and was left aside"
