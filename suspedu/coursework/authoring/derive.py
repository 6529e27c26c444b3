"""Derives exercises from solutions, byte for byte the same each time."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from suspedu.coursework.authoring import wording
from suspedu.coursework.exercise import expected, hygiene, places, sheet
from suspedu.coursework.exercise.loading import notebook, role, solution
from suspedu.coursework.exercise.sealed import seal, seal_design
from suspedu.files import write_whole

HIDDEN = ("blank", "slips", "rows", "drawn", "where", "between", "rubric", "minutes")  # facts that stay with it
FIXED = ("numbers", "verdict", "tool")  # roles of cells that a learner should leave alone


def solution_files(numbers: Sequence[str] = (), folder: Path | None = None) -> list[Path]:
    """The solutions of some numbers; all of the folder, where none are given.

    Raises: InputError naming a number that is not there.
    """
    folder = Path(folder) if folder else places.solutions_folder()
    return [places.notebook_of(folder, number) for number in numbers] or sorted(folder.glob("[0-9][0-9]_*.ipynb"))


def exercise_file(path: Path) -> Path:
    """Where the exercise of a solution lies: in the folder `exercises` beside that of the solutions."""
    return path.parents[1] / "exercises" / path.name


def is_derived(path: Path, data: bytes) -> bool:
    """Whether the exercise of a solution holds these bytes."""
    target = exercise_file(path)
    return target.exists() and target.read_bytes() == data


def derive(path: Path) -> bool:
    """Write the exercise of a solution; whether it was not there already as derived.

    Raises: InputError for a solution that does not make an exercise.
    """
    data = derived(path)
    if is_derived(path, data):
        return False
    write_whole(exercise_file(path), data)
    return True


def derived(path: Path, prints: dict[str, expected.Expected] | None = None) -> bytes:
    """Bytes of the exercise that a solution makes.

    Parameters: path of the solution; prints of the practice numbers by question, computed by running it if left out.
    """
    prints = prints or expected.of_rows(solution(path), [0])[0]
    book = notebook(path)
    told = wording.reworded(solution(path))
    cells = [_derived_cell(cell | {"source": told.get(cell["id"], "".join(cell["source"]))}, prints, path.stem)
             for cell in book["cells"] if role(cell) != "solution"]
    return hygiene.written(hygiene.tidy(book | {"cells": cells}, exercise=path.stem))


def _sealed(facts: dict, practice: expected.Expected, name: str) -> str:
    if facts.get("property"):
        return seal_design(practice)
    return seal(practice, f"{name} {facts['question']}" if facts.get("choice") else "")


def _derived_cell(cell: dict, prints: dict[str, expected.Expected], name: str) -> dict:
    """One cell of the exercise: blanks for answers, no rows, no slips, the practice print under seal."""
    cell = hygiene.cleared(cell)
    facts = dict(cell["metadata"].get("suspedu", {}))
    metadata = {key: value for key, value in cell["metadata"].items() if key != "suspedu"}
    if not facts:
        return cell | {"metadata": metadata}
    if role(cell) in sheet.ASSESSED:
        cell = cell | {"source": facts.get("blank", wording.WORDS).rstrip("\n")}
    if role(cell) == "verdict":
        facts["sealed"] = _sealed(facts, prints[facts["question"]], name)
    kept = {key: value for key, value in facts.items() if key not in HIDDEN} | {"cell": cell["id"]}
    lock = {"deletable": False} | ({"editable": False} if role(cell) in FIXED else {})
    return cell | {"metadata": metadata | lock | {"suspedu": kept}}
