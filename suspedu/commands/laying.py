"""Putting the course into a learner's folder, and never over what the learner has changed.

A record of what was laid (one fingerprint a file) tells an untouched file, which
a newer course may replace, from one that the learner has worked on, which stays.
A notebook's fingerprint covers its sources, not its outputs: running is not changing.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from suspedu.coursework.exercise.places import exercises_folder, lessons_folder
from suspedu.files import NotWrittenError, write_whole
from suspedu.units import InputError

RECORD = Path(".suspedu") / "laid.json"


@dataclass
class Laid:
    """What laying did, as paths below the learner's folder."""

    new: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    current: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)

    def sentences(self) -> str:
        """A plain account for the learner."""
        counts = [f"{len(files)} {word}" for word, files in (("new", self.new), ("updated", self.updated)) if files]
        files = len(self.new + self.updated + self.current + self.kept)
        text = f"{files} files of the course are in place ({', '.join(counts) or 'nothing to update'})."
        if self.kept:
            text += "\nKept, because you have changed them: " + ", ".join(self.kept)
            text += "\n  (for a fresh copy, rename yours and open the course again)"
        return text


def course_files() -> Iterator[tuple[str, Path]]:
    """The files of the course: their place in the learner's folder, and where they come from."""
    for room in (lessons_folder(), exercises_folder()):
        for source in sorted(room.rglob("*")):
            hidden = any(part.startswith(".") for part in source.relative_to(room).parts)
            if source.is_file() and not hidden:
                yield f"{room.name}/{source.relative_to(room).as_posix()}", source


def fingerprint(content: bytes) -> str:
    """Fingerprint of a file: of its bytes, or of its cells' sources where it is a notebook.

    >>> run, fresh = b'{"cells": [{"source": "1", "outputs": ["1"]}]}', b'{"cells": [{"source": ["1"], "outputs": []}]}'
    >>> fingerprint(run) == fingerprint(fresh), fingerprint(b"a") == fingerprint(b"b")
    (True, False)
    """
    try:
        cells = json.loads(content)["cells"]
        content = json.dumps([_kept_facts(cell) for cell in cells], sort_keys=True).encode()
    except (ValueError, KeyError, TypeError, AttributeError):
        pass  # not a notebook, or broken beyond reading: its bytes speak
    return hashlib.sha256(content).hexdigest()


def _kept_facts(cell: dict) -> list:
    return [cell.get("id"), cell.get("cell_type"), "".join(cell["source"]), cell.get("attachments") or {}]


def lay_course(folder: Path) -> Laid:
    """Put the course into a folder, updating what is untouched and keeping what was changed.

    Parameters: folder, made when missing.
    Returns: what was new, updated, current and kept.
    Raises: InputError where the folder cannot hold the course.
    """
    if (folder / "lessons").resolve() == lessons_folder().resolve():
        raise InputError(f"{folder} is where the course itself is kept; give another folder, such as suspedu-course")
    record, laid = _read_record(folder), Laid()
    try:
        for place, source in course_files():
            _lay_file(folder / place, place, source.read_bytes(), record, laid)
        write_whole(folder / RECORD, json.dumps(record, indent=1, sort_keys=True))
    except NotWrittenError as fault:
        raise InputError(f"cannot write the course into {folder}: {fault.why}") from fault
    except OSError as fault:
        raise InputError(f"cannot write the course into {folder}: {fault.strerror or fault}") from fault
    return laid


def _lay_file(target: Path, place: str, content: bytes, record: dict, laid: Laid) -> None:
    fresh = fingerprint(content)
    present = fingerprint(target.read_bytes()) if target.exists() else None
    if present == fresh:
        laid.current.append(place)
    elif present in (None, record.get(place)):
        write_whole(target, content)
        (laid.new if present is None else laid.updated).append(place)
    else:
        laid.kept.append(place)
        return  # the record keeps what was laid last, so that undoing the change counts as untouched
    record[place] = fresh


def _read_record(folder: Path) -> dict:
    """What was laid last; nothing where there is no record or it cannot be read (then everything differing is kept)."""
    try:
        record = json.loads((folder / RECORD).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return record if isinstance(record, dict) else {}
