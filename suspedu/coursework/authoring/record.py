"""Records the outputs of lessons and solutions with nbval's own engine, in the one form that git keeps."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from pathlib import Path

from suspedu.coursework.exercise import hygiene
from suspedu.coursework.exercise.expected import words
from suspedu.coursework.exercise.loading import notebook, role
from suspedu.coursework.running.runner import ROOMY, CellOutcome, Job, Step, run_batch, trusted_launcher
from suspedu.files import write_whole
from suspedu.units import InputError


def record(paths: Sequence[Path | str]) -> int:
    """Record the notebooks anew, each in its own kernel; nothing is written unless its notebook runs without fault.

    Returns: how many files changed.
    Raises: InputError naming the notebook, the cell and its fault.
    """
    books = {str(path): notebook(Path(path)) for path in paths}
    found = run_batch([job(name, book) for name, book in books.items()], trusted_launcher(), ROOMY, record=True)
    changed = 0
    for name, book in books.items():
        data = hygiene.written(recorded(book, found[name], Path(name).name))
        if data != Path(name).read_bytes():
            write_whole(name, data)
            changed += 1
    return changed


def job(name: str, book: dict, compare: bool = False) -> Job:
    """The code cells of a notebook to run; with `compare`, nbval compares them with the recorded outputs."""
    cells = [cell for cell in book["cells"] if cell["cell_type"] == "code" and role(cell) != "tool"]
    return Job(name, tuple(Step(cell["id"], "".join(cell["source"]), cell["outputs"] if compare else None)
                           for cell in cells))


def recorded(book: dict, outcomes: dict[str, CellOutcome], name: str) -> dict:
    """The notebook with the outputs of a run; cells that are only a tool stay without."""
    cells, count = [], 0
    for cell in book["cells"]:
        if cell["cell_type"] != "code" or role(cell) == "tool":
            cells.append(hygiene.cleared(cell))
            continue
        count += 1
        where = f"'{name}', cell '{cell['id']}'"
        outcome = outcomes.get(cell["id"])
        if outcome is None or not outcome.passed:
            raise InputError(f"{where} fails: {words(outcome)}")
        cells.append(cell | {"execution_count": count, "outputs": hygiene.tidy_outputs(outcome.outputs, where, count)})
    return hygiene.tidy(book | {"cells": cells})


def differences(paths: Sequence[Path | str]) -> list[str]:
    """Cells whose text output no longer is what the notebook has recorded, as nbval finds; empty where all agree."""
    books = {str(path): notebook(Path(path)) for path in paths}
    found = run_batch([job(name, book, compare=True) for name, book in books.items()], trusted_launcher(), ROOMY,
                      record=True)
    faults = []
    for name, book in books.items():
        for step in job(name, book, compare=True).steps:
            outcome = found[name].get(step.key)
            if outcome is None or not outcome.passed:
                said = words(outcome) + _first_difference(step, outcome)
                faults.append(f"{Path(name).name}, cell '{step.key}': {said}")
    return faults


def _first_difference(step: Step, outcome: CellOutcome | None) -> str:
    """The first line of a cell's print that is another than recorded, with what stands there now."""
    if outcome is None or outcome.fault != "differs":
        return ""
    was = "".join("".join(out["text"]) for out in step.expected or [] if out.get("name") == "stdout").splitlines()
    pairs = zip_longest(was, outcome.printed.splitlines(), fillvalue="")
    return next((f": {now!r} in place of {before!r}" for before, now in pairs if before != now), " that is no print")
