"""What was handed in: files in folders and ZIPs, told apart by student and exercise, nothing unpacked to disk.

A ZIP's members are read into memory one at a time, each bounded, so that no path can
climb and no bomb can grow.  Whose a file is comes from the names of its folders (which
the instructor or the platform made), then its own name, then the number inside it.
"""

from __future__ import annotations

import hashlib
import json
import re
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.desk.files_below import NOTEBOOK, Found, files_below, printable
from suspedu.coursework.exercise import reader
from suspedu.units import InputError

MOST_FILES = 200  # notebooks of one student; a class that hands in by mail sends four or five
MOST_SECONDS = 30.0  # s to read all files of one student; a notebook takes some milliseconds


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


def collect(place: Path, students: list[str], exercises: list[str]) -> tuple[list[HandedIn], list[str]]:
    """The returns that count, newest valid first choice, and sentences about files that count for nobody.

    Parameters: place of the returns; students, the numbers of the class; exercises, the full names asked for.
    """
    piles: dict[tuple[str, str], list[HandedIn]] = {}
    aside: list[str] = []
    turn = _Turns()
    for found in files_below(Path(place)):
        taken = found if isinstance(found, str) else turn.take(found, students, exercises)
        if isinstance(taken, str):
            aside.append(taken)
        elif taken:
            piles.setdefault((taken.student, taken.exercise), []).append(taken)
    return [_newest(piles[key]) for key in sorted(piles)], [*aside, *turn.over()]


class _Turns:
    """Gives each student so many files and so much time, so that no return keeps the others waiting."""

    def __init__(self):
        self.files, self.seconds, self.passed_over = Counter(), Counter(), Counter()

    def take(self, found: Found, students: list[str], exercises: list[str]) -> HandedIn | str | None:
        """A return, or the sentence why it belongs to nobody; nothing for one that came after its student's turn."""
        whose = " and ".join(owners_by_name(found.parts, students, exercises))
        if self.files[whose] >= MOST_FILES or self.seconds[whose] >= MOST_SECONDS:
            self.passed_over[whose] += 1
            return None
        began = time.monotonic()
        self.files[whose] += bool(whose)  # files without a number in their path may be the whole class's
        taken = _take(found, students, exercises)
        self.seconds[whose] += (time.monotonic() - began) * bool(whose)
        return taken

    def over(self) -> list[str]:
        """A sentence for each student whose files were too many."""
        most = f"allowed: {MOST_FILES} notebooks that are read in {MOST_SECONDS:.0f} s"
        return [f"student {whose} handed in more files than are looked at ({most}): {count} were passed over"
                for whose, count in self.passed_over.items()]


def _take(found: Found, students: list[str], exercises: list[str]) -> HandedIn | str:
    """A return with its owner and exercise, or the sentence why it belongs to nobody."""
    digest, fault, named, inside = _read(found)
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


def _read(found: Found) -> tuple[str, str, str, str]:
    """Digest of a file, why it cannot be marked, and the exercise and student that it names; a wall round each file."""
    digest = ""
    try:
        data = found.read()
        digest = hashlib.sha256(data).hexdigest()
        return digest, "", *_inside(data, found.parts[-1])
    except InputError as refusal:
        return digest, str(refusal), "", ""
    except Exception as fault:  # whatever a crafted file makes the reader do, it is this file's fault alone
        return digest, f"'{found.origin}' cannot be read as a notebook ({type(fault).__name__})", "", ""


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
