"""A learner's own check: their saved notebook, marked with the practice numbers."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.exercise import marking, merge, reader, verdicts
from suspedu.coursework.exercise.carried import pristine_of
from suspedu.coursework.exercise.sealed import sealed, with_own_choices
from suspedu.coursework.running.limits import Limits
from suspedu.units import InputError

STALE = 120.0  # s after which a saved file may not hold what is on the screen


@dataclass(frozen=True)
class Checked:
    """What a self-check found: the rows, notes on the file, its age in seconds, and its name."""

    exercise: str
    rows: tuple[verdicts.Row, ...]
    notes: tuple[str, ...]
    age: float
    file: str = ""

    @property
    def earned(self) -> int:
        """Points earned."""
        return sum(row.earned for row in self.rows)

    @property
    def possible(self) -> int:
        """Points that a machine can give: those marked by hand are left out."""
        return sum(row.possible for row in self.rows if not row.by_hand)

    @property
    def words(self) -> str:
        """What a machine's points leave out, those for words: which wait for the instructor, which are not written."""
        written = sum(row.possible for row in self.rows if row.verdict == verdicts.BY_HAND)
        missing = sum(row.possible for row in self.rows if row.by_hand and row.verdict != verdicts.BY_HAND)
        counts = (written, "words that wait for the instructor"), (missing, "words not written yet")
        return "; ".join(f"{points} point{'s' * (points != 1)}: {what}" for points, what in counts if points)


def check_file(file: Path | str, on_record: Callable[[dict], None] | None = None,
             limits: Limits | None = None) -> Checked:
    """Mark a saved exercise with the practice numbers.

    Parameters: file, the learner's notebook; on_record, called as cells are done; limits of the kernel.
    Raises: InputError for a file that is not one of the course's exercises.
    """
    path = Path(file)
    age = time.time() - path.stat().st_mtime
    task, notes = task_of(path)
    rows = marking.mark([task], limits=limits, on_record=on_record)[task.name].rows
    return Checked(task.name, rows, notes, max(age, 0.0), path.name)


def task_of(path: Path) -> tuple[marking.Task, tuple[str, ...]]:
    """A saved exercise with the practice numbers as a task to mark, and notes on what was odd about the file.

    Raises: InputError for a file that is not one of the course's exercises.
    """
    returned = reader.read_sheet(path)
    pristine = pristine_of(path, returned)
    merged = merge.merge(pristine, returned, own_numbers=True)
    wanted = with_own_choices(sealed(pristine), returned)
    return marking.Task(pristine.name, pristine, merged.sheet, wanted, returned), merged.notes


def own_file(number: str, folder: Path | None = None, asking: str = "") -> Path:
    """The learner's notebook of an exercise, known by its content and not by its name.

    Parameters: number; folder, the working folder; asking, path of the notebook that asks, where the page told it.
    Raises: InputError for a notebook that asks for another exercise than its own, and where several could be meant.
    """
    folder = Path(folder or Path.cwd())
    told = Path(asking.replace("\\", "/") or os.environ.get("JPY_SESSION_NAME", "")).name
    if told and (folder / told).is_file():
        return _asked_for(number, folder / told)
    if asking:
        raise InputError(f"'{told}', the notebook that asks, is not in '{folder}'; save it there and ask again")
    found = [path for place in dict.fromkeys((folder, folder / "exercises", folder.parent / "exercises"))
             for path in sorted(place.glob("*.ipynb")) if _exercise_in(path).startswith(f"{number}_")]
    if not found:
        raise InputError(f"exercise '{number}' is not in '{folder}'; save it there, or give the file's path")
    if len(found) > 1:
        names = ", ".join(f"'{path.name}'" for path in found)
        raise InputError(f"{len(found)} files hold exercise '{number}': {names}; say which: suspedu selfmark FILE")
    return found[0]


def _asked_for(number: str, path: Path) -> Path:
    name = reader.read_sheet(path).name
    if not name.startswith(f"{number}_"):
        held = f"holds exercise '{name}'" if name else "is no exercise of the course"
        raise InputError(f"'{path.name}' {held}, and exercise '{number}' was asked for: nothing was marked")
    return path


def _exercise_in(path: Path) -> str:
    """The exercise that a file holds by its own account; "" for any other file."""
    try:
        return reader.read_sheet(path).name
    except InputError:
        return ""


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
    points = f"{result.earned} of {result.possible} points with the practice numbers"
    total = f"{'; '.join(filter(None, (points, result.words)))}. Marked: '{result.file}', {age_words(result.age)}."
    late = "Is this what is on your screen? Save the notebook (Ctrl+S, on a Mac Cmd+S) and check again."
    return [total, *([late] if result.age > STALE else []), *(f"Note: {note}." for note in result.notes)]


def verdict_table(result: Checked) -> str:
    """The result as text: a line per question, then what there is to say about the file."""
    lines = [("question", "points", "verdict", "hint")]
    lines += [(f"{r.question} {r.title}", f"up to {r.possible}" if r.by_hand else f"{r.earned}/{r.possible}",
               r.verdict, r.hint) for r in result.rows]
    wide = [max(len(line[column]) for line in lines) for column in range(3)]
    text = ["  ".join([*(cell.ljust(width) for cell, width in zip(line[:3], wide, strict=True)), line[3]]).rstrip()
            for line in lines]
    text.insert(1, "-" * max(map(len, text)))
    return "\n".join([f"Exercise {result.exercise}", *text, "", *advice(result)])


def code_cells(file: Path) -> int:
    """How many code cells a check of this file runs, for its progress."""
    pristine = pristine_of(file, reader.read_sheet(file))
    return sum(cell.kind == "code" and cell.role != "tool" for cell in pristine.cells)
