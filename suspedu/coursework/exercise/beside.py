"""What a learner wrote beside an answer cell: code split over two cells, words below, imports in the set-up."""

from __future__ import annotations

import ast

from suspedu.coursework.exercise.names import UNREADABLE
from suspedu.coursework.exercise.sheet import Cell, Sheet, is_blank

WORDS = ("markdown", "raw")


def with_neighbours(pristine: Sheet, cell: Cell, returned: Sheet, place: int) -> tuple[str, list[int]]:
    """An answer with the cells of the learner's own that stand next to it, and the places of those.

    Parameters: pristine, the exercise; cell, the answer cell of it; returned; place of the answer in it.
    Returns: source, in the order of the page, without a blank; places of the cells that were added to it.
    """
    if len(returned.cells) <= len(pristine.cells):  # none was added; where ids were lost, neighbours are answers
        return returned.cells[place].source, []
    around = [*reversed(_own(pristine, returned, range(place - 1, -1, -1))),
              place, *_own(pristine, returned, range(place + 1, len(returned.cells)))]
    kinds = ("code",) if cell.kind == "code" else WORDS
    mine = [k for k in around if k == place or (returned.cells[k].kind in kinds and returned.cells[k].source.strip())]
    if len(mine) == 1:
        return returned.cells[place].source, []
    written = [returned.cells[k].source for k in mine]
    written = [source for source in written if not is_blank(source, cell.source)]
    return ("\n" if cell.kind == "code" else "\n\n").join(written), [k for k in mine if k != place]


def _own(pristine: Sheet, returned: Sheet, places: range) -> list[int]:
    """Places of cells that the exercise does not have, up to the first that it has."""
    found = []
    for k in places:
        if is_known(pristine, returned.cells[k]):
            break
        found.append(k)
    return found


def is_known(pristine: Sheet, cell: Cell) -> bool:
    """Whether a cell is one of the exercise's, by its id, by our metadata or by its text."""
    return any(cell.id == ours.id or cell.facts.get("cell") == ours.id
               or (cell.source.strip() and is_blank(cell.source, ours.source)) for ours in pristine.cells)


def added_imports(pristine: Sheet, returned: Sheet) -> dict[str, str]:
    """Sources of set-up cells (code that nobody is asked to change) with the imports that were added, by cell id."""
    found = {}
    for cell in (cell for cell in pristine.cells if cell.kind == "code" and not cell.role):
        theirs = next((other for other in returned.cells if other.id == cell.id and other.kind == "code"), None)
        new = [line for line in _imports(theirs.source) if line not in _imports(cell.source)] if theirs else []
        if new:
            found[cell.id] = "\n".join([cell.source, *new])
    return found


def _imports(source: str) -> list[str]:
    """The import statements of a source that stand outside of everything else, one a line."""
    try:
        return [ast.unparse(node) for node in ast.parse(source).body if isinstance(node, ast.Import | ast.ImportFrom)]
    except UNREADABLE:
        return []
