"""A learner's own check: their saved notebook, marked with the practice numbers."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.exercise import expected, loading, marking, merge, places, reader, verdicts
from suspedu.coursework.running.limits import Limits
from suspedu.units import InputError

STALE = 120.0  # s after which a saved file may not hold what is on the screen


@dataclass(frozen=True)
class Checked:
    """What a self-check found: the rows, notes on the file, and its age in seconds."""

    exercise: str
    rows: tuple[verdicts.Row, ...]
    notes: tuple[str, ...]
    age: float

    @property
    def earned(self) -> int:
        """Points earned."""
        return sum(row.earned for row in self.rows)

    @property
    def possible(self) -> int:
        """Points that a machine can give: those marked by hand are left out."""
        return sum(row.possible for row in self.rows if not row.by_hand)


def check_file(file: Path | str, on_record: Callable[[dict], None] | None = None,
             limits: Limits | None = None) -> Checked:
    """Mark a saved exercise with the practice numbers.

    Parameters: file, the learner's notebook; on_record, called as cells are done; limits of the kernel.
    Raises: InputError for a file that is not one of the course's exercises.
    """
    path = Path(file)
    returned = reader.read_sheet(path)
    age = time.time() - path.stat().st_mtime
    pristine = pristine_of(returned.name or path.stem)
    merged = merge.merge(pristine, returned)
    task = marking.Task(pristine.name, pristine, merged.sheet, expected.sealed(pristine))
    rows = marking.mark([task], limits=limits, on_record=on_record)[pristine.name].rows
    return Checked(pristine.name, rows, merged.notes, max(age, 0.0))


def pristine_of(name: str):
    """The course's own copy of an exercise, by its number or name."""
    return loading.exercise(places.notebook_of(places.exercises_folder(), name))


def own_file(number: str, folder: Path | None = None) -> Path:
    """The learner's notebook of an exercise: the one that asks, or one in the working folder.

    Raises: InputError naming where it was looked for.
    """
    folder = Path(folder or Path.cwd())
    asking = Path(os.environ.get("JPY_SESSION_NAME", ""))  # Jupyter tells a kernel which notebook it belongs to
    near = [path for place in (folder, folder / "exercises", folder.parent / "exercises")
            for path in sorted(place.glob("*.ipynb"))]
    for path in [folder / asking.name, *near]:
        named = path.suffix == ".ipynb" and path.is_file() and path.name.startswith(f"{number}_")
        if named and reader.read_sheet(path).name.startswith(f"{number}_"):
            return path
    raise InputError(f"exercise '{number}' is not in '{folder}'; save it there, or give the file's path")


def age_words(seconds: float) -> str:
    """How old a saved file is, in words.

    >>> age_words(200)
    'saved 3 minutes ago'
    """
    for size, unit in ((86400, "day"), (3600, "hour"), (60, "minute")):
        if seconds >= size:
            count = round(seconds / size)
            return f"saved {count} {unit}{'s' if count > 1 else ''} ago"
    return "just saved" if seconds < 10 else f"saved {round(seconds)} seconds ago"


def advice(result: Checked) -> list[str]:
    """Sentences under the table: the sum, whether the file is old, what was odd about it."""
    total = f"{result.earned} of {result.possible} points with the practice numbers; file {age_words(result.age)}."
    late = "Is this what is on your screen? Save the notebook (Ctrl+S, on a Mac Cmd+S) and check again."
    return [total, *([late] if result.age > STALE else []), *(f"Note: {note}." for note in result.notes)]


def verdict_table(result: Checked) -> str:
    """The result as text: a line per question, then what there is to say about the file."""
    lines = [("question", "points", "verdict", "hint")]
    lines += [(f"{r.question} {r.title}", f"{r.earned}/{r.possible}", r.verdict, r.hint) for r in result.rows]
    wide = [max(len(line[column]) for line in lines) for column in range(3)]
    text = ["  ".join([*(cell.ljust(width) for cell, width in zip(line[:3], wide, strict=True)), line[3]]).rstrip()
            for line in lines]
    text.insert(1, "-" * max(map(len, text)))
    return "\n".join([f"Exercise {result.exercise}", *text, "", *advice(result)])


def code_cells(file: Path) -> int:
    """How many code cells a check of this file runs, for its progress."""
    pristine = pristine_of(reader.read_sheet(file).name or file.stem)
    return sum(cell.kind == "code" and cell.role != "tool" for cell in pristine.cells)
