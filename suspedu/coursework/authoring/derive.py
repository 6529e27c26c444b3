"""Derives exercises from solutions, byte for byte the same each time."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from suspedu.coursework.exercise import expected, hygiene, places, sheet
from suspedu.coursework.exercise.loading import notebook, role, solution
from suspedu.files import write_whole

WORDS = "*Your words here.*"
FIXED = ("numbers", "verdict", "tool")  # roles of cells that a learner should leave alone


def run(numbers_: Sequence[str] = (), check: bool = False, root: Path | None = None) -> int:
    """Derive the exercises of some numbers (all, if none are given), or only check that they are as derived.

    Returns: how many exercise files changed, or would (then the caller ends with a failure).
    Raises: InputError for a solution that does not make an exercise.
    """
    folder = Path(root) / "solutions" if root else places.solutions_folder()
    paths = [places.find(folder, n) for n in numbers_] or sorted(folder.glob("[0-9][0-9]_*.ipynb"))
    changed = 0
    for path in paths:
        target, data = folder.parent / "exercises" / path.name, derived(path)
        if target.exists() and target.read_bytes() == data:
            print(f"{path.stem}: as derived")
            continue
        changed += 1
        print(f"{path.stem}: {'differs from its solution' if check else 'written'}")
        if not check:
            write_whole(target, data)
    return changed


def derived(path: Path) -> bytes:
    """Bytes of the exercise that a solution makes; its practice prints are computed by running it."""
    prints = expected.of_rows(solution(path), [0])[0]
    book = notebook(path)
    cells = [_derived_cell(cell, prints) for cell in book["cells"] if role(cell) != "solution"]
    return hygiene.written(hygiene.tidy(book | {"cells": cells}, exercise=path.stem))


def _derived_cell(cell: dict, prints: dict[str, expected.Expected]) -> dict:
    """One cell of the exercise: blanks for answers, no rows, no slips, the practice print under seal."""
    cell = hygiene.cleared(cell)
    facts = dict(cell["metadata"].get("suspedu", {}))
    metadata = {key: value for key, value in cell["metadata"].items() if key != "suspedu"}
    if not facts:
        return cell | {"metadata": metadata}
    if role(cell) in sheet.ASSESSED:
        cell = cell | {"source": facts.get("blank", WORDS).rstrip("\n")}
    if role(cell) == "verdict":
        facts["sealed"] = expected.seal(prints[facts["question"]])
    kept = {key: value for key, value in facts.items() if key not in ("blank", "slips", "rows")} | {"cell": cell["id"]}
    lock = {"deletable": False} | ({"editable": False} if role(cell) in FIXED else {})
    return cell | {"metadata": metadata | lock | {"suspedu": kept}}
