"""What a learner wrote beside an answer cell: code split over two cells, words below."""

from __future__ import annotations

import ast
from collections import defaultdict

from suspedu.coursework.exercise.magic_lines import without_magics
from suspedu.coursework.exercise.names import ANY, UNREADABLE, names_changed, names_used
from suspedu.coursework.exercise.sheet import Cell, Sheet, is_blank

WORDS = ("markdown", "raw")


def with_neighbours(pristine: Sheet, cell: Cell, returned: Sheet, place: int) -> tuple[str, list[int]]:
    """An answer with the cells of the learner's own next to it that belong to it, and the places of those.

    Words belong to it all; code does where it gives a name that the answer, its blank, its verdict or another cell that
    belongs to it speaks of, without its magic lines. What was only tried out there is not run: it can cost nothing.

    Parameters: pristine, the exercise; cell, the answer cell of it; returned; place of the answer in it.
    Returns: source, in the order of the page, without a blank; places of the cells that were added to it.
    """
    if len(returned.cells) <= len(pristine.cells):  # none was added; where ids were lost, neighbours are answers
        return returned.cells[place].source, []
    around = [*reversed(_own(pristine, returned, range(place - 1, -1, -1))),
              place, *_own(pristine, returned, range(place + 1, len(returned.cells)))]
    own = {k: _kept(returned.cells[k], k == place) for k in around}
    spoken = _spoken_of(pristine, cell, own[place])
    others = {k: returned.cells[k].kind for k in around if k != place}
    added = _words(others, own) if cell.kind != "code" else _needed(others, own, spoken)
    if not added:
        return own[place], []
    written = [source for k, source in own.items() if k in {place, *added} and not is_blank(source, cell.source)]
    return ("\n" if cell.kind == "code" else "\n\n").join(written), added


def _words(kinds: dict[int, str], own: dict[int, str]) -> list[int]:
    """Places of cells that hold words."""
    return [k for k, kind in kinds.items() if kind in WORDS and own[k].strip()]


def _needed(kinds: dict[int, str], own: dict[int, str], spoken: set[str]) -> list[int]:
    """Places of code cells that give names which are spoken of, by the answer or by another one of them."""
    givers = defaultdict(list)
    for k in (k for k, kind in kinds.items() if kind == "code" and _is_python(own[k])):
        for name in names_changed(own[k]):
            givers[name].append(k)
    found, names = set(), [ANY, *spoken]
    for name in names:  # grows by what each cell that is found speaks of
        for k in givers.pop(name, ()):
            names += () if k in found else names_used(own[k])
            found.add(k)
    return [k for k in kinds if k in found]


def _is_python(source: str) -> bool:
    try:
        ast.parse(source)
    except UNREADABLE:
        return False
    return True


def _kept(cell: Cell, is_answer: bool) -> str:
    return cell.source if is_answer or cell.kind in WORDS else without_magics(cell.source)


def _spoken_of(pristine: Sheet, cell: Cell, source: str) -> set[str]:
    """Names that an answer needs or is to give: in its source, in its blank, in the verdict of its question."""
    verdicts = [other.source for other in pristine.with_role("verdict") if other.question == cell.question]
    return set().union(*map(names_used, (source, cell.source, *verdicts)), names_changed(cell.source))


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
