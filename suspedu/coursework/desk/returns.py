"""What was handed in: files in folders and ZIPs, told apart by student and exercise, nothing unpacked to disk.

A ZIP's members are read into memory one at a time, each bounded, so that no path can
climb and no bomb can grow.  Whose a file is comes from the names of its folders (which
the instructor or the platform made), then its own name, then the number inside it.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.desk import archive
from suspedu.coursework.exercise import reader
from suspedu.units import InputError

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


@dataclass(frozen=True)
class HandedIn:
    """The file that counts for one student and exercise; `fault` says why it cannot be marked, `notes` what to know."""

    student: str
    exercise: str
    origin: str
    when: float
    digest: str
    read: Callable[[], bytes]
    fault: str = ""
    notes: tuple[str, ...] = ()


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
    shut: list[OSError] = []
    for path, folders, names in os.walk(place, onerror=shut.append):
        inside = Path(path).relative_to(place).parts
        for name in [f for f in folders if Path(path, f).is_symlink()]:
            yield f"'{printable('/'.join((*inside, name)))}' is a link to a folder; hand in the files themselves"
        folders[:] = sorted(f for f in folders if f not in SKIPPED)
        for name in sorted(names):
            yield from _one(Path(path, name), inside)
    for fault in shut:  # nobody's return may vanish without a word
        yield f"folder '{printable(fault.filename)}' cannot be looked into: {fault.strerror}"


def _one(path: Path, inside: tuple[str, ...]) -> Iterator[Found | str]:
    parts = (*inside, path.name)
    try:
        when = path.lstat().st_mtime
    except OSError:
        yield f"'{printable('/'.join(parts))}' vanished while it was looked at"
        return
    if NOTEBOOK.search(path.name):
        yield Found(parts, when, lambda: reader.read_bytes(path))
    elif path.suffix.lower() == ".zip":
        for member in archive.members(path):
            yield member if isinstance(member, str) else Found((*parts, *member.parts), member.when, member.read)
    elif not path.name.startswith("."):
        yield f"'{printable('/'.join(parts))}' is not a notebook and was left aside"


def collect(place: Path, students: list[str], exercises: list[str]) -> tuple[list[HandedIn], list[str]]:
    """The returns that count, newest valid first choice, and sentences about files that count for nobody.

    Parameters: place of the returns; students, the numbers of the class; exercises, the full names asked for.
    """
    piles: dict[tuple[str, str], list[HandedIn]] = {}
    aside: list[str] = []
    for found in files_below(Path(place)):
        taken = found if isinstance(found, str) else _take(found, students, exercises)
        if isinstance(taken, str):
            aside.append(taken)
        else:
            piles.setdefault((taken.student, taken.exercise), []).append(taken)
    return [_newest(piles[key]) for key in sorted(piles)], aside


def _take(found: Found, students: list[str], exercises: list[str]) -> HandedIn | str:
    """A return with its owner and exercise, or the sentence why it belongs to nobody."""
    try:
        data = found.read()
        digest, fault = hashlib.sha256(data).hexdigest(), ""
        named, inside = _inside(data, found.parts[-1])
    except InputError as refusal:
        digest, fault, named, inside = "", str(refusal), "", ""
    because = f" ({fault})" if fault else ""
    owners = owners_by_name(found.parts, students, exercises) or ([inside] if inside in students else [])
    if len(owners) != 1:
        why = f"its name fits {' and '.join(owners[:3])}" if owners else "no student's number is in its path or content"
        return f"'{found.origin}' belongs to nobody: {why}" + because
    only = exercises[0] if len(exercises) == 1 else ""
    exercise = named or exercise_by_name(found.parts, exercises) or only
    if exercise not in exercises:
        which = f"is of exercise '{printable(exercise, 40)}', which is not being marked"
        return f"'{found.origin}' {which if exercise else 'does not say of which exercise it is'}" + because
    differs = inside and inside != owners[0]
    notes = (f"the file was handed out to student {printable(inside, 32)}",) if differs else ()
    return HandedIn(owners[0], exercise, found.origin, found.when, digest, found.read, fault, notes)


def _inside(data: bytes, name: str) -> tuple[str, str]:
    """Exercise and student number that a notebook says of itself; it is only believed where nothing else speaks."""
    sheet = reader.sheet_of(data, name)
    facts = json.loads(data.decode("utf-8-sig")).get("metadata")
    own = facts.get("suspedu") if isinstance(facts, dict) else None
    student = own.get("student") if isinstance(own, dict) else ""
    return sheet.name, student if isinstance(student, str) else ""


def owners_by_name(parts: tuple[str, ...], students: list[str], exercises: list[str]) -> list[str]:
    """Students whose number stands in the outermost part of a path that holds any.

    >>> owners_by_name(("1003 (late)", "01_springs_1004.ipynb"), ["1003", "1004"], ["01_springs"])
    ['1003']
    """
    known = {number.casefold(): number for number in students}
    for part in parts:
        rest = part.casefold()
        for exercise in exercises:
            rest = rest.replace(exercise.casefold(), " ")
        rest = NOTEBOOK.sub(" ", rest)
        whole = [known[rest.strip()]] if rest.strip() in known else []
        words = re.split(r"[^a-z0-9.-]+", rest) + re.split(r"[^a-z0-9]+", rest)
        found = whole or sorted({known[word] for word in words if word in known})
        if found:
            return found
    return []


def exercise_by_name(parts: tuple[str, ...], exercises: list[str]) -> str:
    """The exercise whose name stands in a file's own name, or in a folder's; nothing where none does."""
    for part in reversed(parts):
        found = [e for e in exercises if e.casefold() in part.casefold()]
        if found:
            return max(found, key=len)
    return ""


def _newest(pile: list[HandedIn]) -> HandedIn:
    """The newest valid one of a student's files; the newest of all where none is valid."""
    valid = [r for r in pile if not r.fault] or pile
    best = max(valid, key=lambda r: (r.when, r.origin))
    if len(pile) == 1:
        return best
    when = time.strftime("%Y-%m-%d %H:%M", time.localtime(best.when))
    note = f"{len(pile)} files were handed in; the newest that can be read counts: '{best.origin}', saved {when}"
    return HandedIn(best.student, best.exercise, best.origin, best.when, best.digest, best.read, best.fault,
                  (*best.notes, note))
