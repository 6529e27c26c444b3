"""Our own notebooks read from disk: a solution or an exercise as a sheet, any notebook as JSON."""

from __future__ import annotations

import json
from pathlib import Path

from suspedu.coursework.exercise import draws, numbers, reader, sheet
from suspedu.files import reason_of
from suspedu.units import InputError


def solution(path: Path) -> sheet.Sheet:
    """The sheet of a solution, checked.

    Raises: InputError naming what does not make an exercise.
    """
    found = sheet.Sheet(path.stem, reader.read_sheet(path).cells)
    sheet.check_solution(found)
    numbers.row_count(found)
    draws.is_drawn(found)
    return found


def exercise(path: Path) -> sheet.Sheet:
    """The sheet of a derived exercise.

    Raises: InputError where it was not derived.
    """
    found = reader.read_sheet(path)
    if not found.name:
        raise InputError(f"'{path}' is no derived exercise; run 'suspedu derive' on its solution")
    return found


def notebook(path: Path) -> dict:
    """A notebook of our own, as JSON.

    Raises: InputError where the file cannot be read, is not JSON or has no cells.
    """
    try:
        book = json.loads(path.read_text(encoding="utf-8"))
        return book | {"cells": book["cells"], "metadata": book["metadata"]}
    except OSError as fault:
        raise InputError(f"'{path}' cannot be read: {reason_of(fault)}") from None
    except (ValueError, KeyError, TypeError) as fault:
        raise InputError(f"'{path}' is not a readable notebook: {fault}") from None


def role(cell: dict) -> str:
    """Our role of a cell as it stands in the notebook's JSON."""
    return cell["metadata"].get("suspedu", {}).get("role", "")
