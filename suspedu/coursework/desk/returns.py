"""What was handed in: files in folders and ZIPs, told apart by student and exercise, nothing unpacked to disk.

A ZIP's members are read into memory one at a time, each bounded, so that no path can
climb and no bomb can grow.  Whose a file is, its seal says; see `owners`.
"""

from __future__ import annotations

import hashlib
import json
import time
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

from suspedu.coursework.desk.files_below import Found, files_below, printable
from suspedu.coursework.desk.owners import Inside, Owners
from suspedu.coursework.desk.which_counts import HandedIn, Untouched, is_untouched, of_several
from suspedu.coursework.exercise import reader
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.units import InputError

MOST_FILES = 200  # notebooks of one student; a class that hands in by mail sends four or five
MOST_SECONDS = 30.0  # s of computing to read all files of one student; a notebook takes some milliseconds


def collect(place: Path, owners: Owners,
            pristine: Mapping[str, Sheet] | None = None) -> tuple[list[HandedIn], list[str]]:
    """The returns that count, newest valid first choice, and sentences about files that count for nobody.

    Parameters: place of the returns; owners, the class as files name it; pristine, the exercises as they are handed
    out, by name: of files with the same date one that is no longer so goes first.
    """
    untouched = untouched_by(pristine or {})
    piles: dict[tuple[str, str], list[HandedIn]] = {}
    aside: list[str] = []
    turn = _Turns()
    for found in files_below(Path(place)):
        taken = found if isinstance(found, str) else turn.take(found, owners)
        if isinstance(taken, str):
            aside.append(taken)
        elif taken:
            piles.setdefault((taken.student, taken.exercise), []).append(taken)
    return [of_several(piles[key], untouched) for key in sorted(piles)], [*aside, *turn.over()]


def untouched_by(pristine: Mapping[str, Sheet]) -> Untouched:
    """Tells of a file whether it is still as it was handed out; of an exercise that is not known, none is."""
    return lambda item: item.exercise in pristine and is_untouched(pristine[item.exercise], item)


class _Turns:
    """Gives each student so many files and so much time, so that no return keeps the others waiting."""

    def __init__(self):
        self.files, self.seconds, self.passed_over = Counter(), Counter(), Counter()
        self._ended: set[str] = set()  # whose turn is over, as paths name them

    def take(self, found: Found, owners: Owners) -> HandedIn | str | None:
        """A return, or the sentence why it belongs to nobody; nothing for one that came after its student's turn."""
        whose = " and ".join(owners.by_path(found.parts))
        if whose in self._ended:
            self.passed_over[whose] += 1
            return None
        began = time.process_time()
        taken = _take(found, owners)
        if whose:  # files without a number in their path may be the whole class's
            self._count(whose, taken, time.process_time() - began)
        return taken

    def _count(self, whose: str, taken: HandedIn | str, seconds: float) -> None:
        """Count a file: for whom the path names, or with a seal for its owner below that path.

        A folder 'winter 2026' holds the whole class's, whatever number it seems to be; no seal can be made up.
        """
        key = whose, taken.student if isinstance(taken, HandedIn) else whose
        self.files[key] += 1
        self.seconds[key] += seconds
        if self.files[key] >= MOST_FILES or self.seconds[key] >= MOST_SECONDS:
            self._ended.add(whose)

    def over(self) -> list[str]:
        """A sentence for each student whose files were too many."""
        most = f"allowed: {MOST_FILES} notebooks that are read in {MOST_SECONDS:.0f} s"
        return [f"student {whose} handed in more files than are looked at ({most}): {count} were passed over"
                for whose, count in self.passed_over.items()]


def _take(found: Found, owners: Owners) -> HandedIn | str:
    """A return with its owner and exercise, or the sentence why it belongs to nobody."""
    digest, fault, inside = _read(found)
    because = f" ({fault})" if fault else ""
    try:
        owner, notes = owners.owner(found.parts, None if fault else inside)
    except InputError as why:
        return f"'{found.origin}' was set aside: {why}" + because
    only = owners.exercises[0] if len(owners.exercises) == 1 else ""
    exercise = inside.exercise or owners.exercise_by_path(found.parts) or only
    if exercise not in owners.exercises:
        which = f"is of exercise '{printable(exercise, 40)}', which is not being marked"
        return f"'{found.origin}' {which if exercise else 'does not say of which exercise it is'}" + because
    return HandedIn(owner, exercise, found.origin, found.when, digest, found.read, fault, notes)


def _read(found: Found) -> tuple[str, str, Inside]:
    """Digest of a file, why it cannot be marked, and what it says of itself; a wall round each file."""
    digest = ""
    try:
        data = found.read()
        digest = hashlib.sha256(data).hexdigest()
        return digest, "", _inside(data, found.parts[-1])
    except InputError as refusal:
        return digest, str(refusal), Inside()
    except Exception as fault:  # whatever a crafted file makes the reader do, it is this file's fault alone
        return digest, f"'{found.origin}' cannot be read as a notebook ({type(fault).__name__})", Inside()


def _inside(data: bytes, name: str) -> Inside:
    """What a notebook says of itself."""
    sheet = reader.sheet_of(data, name)
    facts = json.loads(data.decode("utf-8-sig")).get("metadata")
    own = facts.get("suspedu") if isinstance(facts, dict) else None
    told = [own.get(key) if isinstance(own, dict) else "" for key in ("student", "seal")]
    return Inside(sheet.name, *(each if isinstance(each, str) else "" for each in told))
