"""An exercise that the installed course does not have: a student's copy carries it, for the self-check, as handed out.

It holds practice numbers, blanks and what is sealed, like any exercise; the student's own results are not in it.
"""

from __future__ import annotations

import base64
import json
from pathlib import Path

from suspedu.coursework.exercise import loading, places, reader
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.units import InputError


def to_carry(path: Path) -> dict[str, str]:
    """What copies of an exercise carry in their metadata: nothing, where the installed course has the same file."""
    course = places.exercises_folder() / path.name
    return {} if course.exists() and course.read_bytes() == path.read_bytes() else {"pristine": carried_text(path)}


def carried_text(path: Path) -> str:
    """An exercise as text for metadata: what the strict reader keeps of it."""
    sheet = loading.exercise(path)
    cells = [{"id": cell.id, "cell_type": cell.kind, "source": cell.source, "metadata": {"suspedu": cell.facts}}
             for cell in sheet.cells]
    book = {"cells": cells, "metadata": {"suspedu": {"exercise": sheet.name}}}
    return base64.b64encode(json.dumps(book, ensure_ascii=False, sort_keys=True).encode()).decode()


def pristine_of(path: Path, returned: Sheet) -> Sheet:
    """The exercise of a saved copy with the practice numbers: as the copy carries it, else the course's own.

    Raises: InputError for a file that is no exercise, and for one that carries something else.
    """
    text = reader.own_facts(path).get("pristine")
    if text is None:
        return loading.exercise(places.notebook_of(places.exercises_folder(), returned.name or path.stem))
    try:
        return _whole(reader.sheet_of(base64.b64decode(text, validate=True), path.name), returned.name)
    except (InputError, ValueError, TypeError):
        raise InputError(f"'{path.name}' is damaged where it carries its exercise for the check; put your answers into "
                         "a fresh copy (what you hand in is marked all the same)") from None


def _whole(sheet: Sheet, name: str) -> Sheet:
    """A carried exercise that is the one asked for, with all that a check needs."""
    if sheet.name != name or not all(isinstance(cell.facts.get("sealed"), str) for cell in sheet.with_role("verdict")):
        raise InputError("another exercise, or a part of one")
    return sheet
