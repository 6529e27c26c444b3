"""A learner's answers, taken out of the file they returned and put into a clean copy of the exercise."""

from __future__ import annotations

from dataclasses import dataclass

from suspedu.coursework.exercise.beside import with_neighbours
from suspedu.coursework.exercise.given_cells import given_cells
from suspedu.coursework.exercise.sheet import ASSESSED, Cell, Sheet
from suspedu.units import InputError


@dataclass(frozen=True)
class Merged:
    """The clean copy with the answers in it, and notes on what was odd about the file."""

    sheet: Sheet
    notes: tuple[str, ...]


def merge(pristine: Sheet, returned: Sheet, own_numbers: bool = False) -> Merged:
    """Put the answers of a returned notebook into the pristine exercise.

    Parameters: pristine, the exercise with the numbers to be marked with; returned, as the strict reader gave it;
    own_numbers, whether it may have other numbers, as a student's copy in their own check.
    Raises: InputError where the file is another exercise, or none.
    """
    _refuse_another(pristine, returned)
    sources, put_back = given_cells(pristine, returned, own_numbers)
    used, notes = set(), []
    for place, cell in enumerate(pristine.cells):
        if cell.role in ASSESSED and (found := _find(pristine, place, returned, notes)):
            sources[cell.id], own = with_neighbours(pristine, cell, returned, found[-1])
            used.update(found, own)
            notes += [f"the answer to {cell.question} holds {len(own)} cell(s) of your own beside it"] if own else []
    notes += [*put_back, *_extra(pristine, returned, used)]
    filled = pristine.with_sources(sources)
    return Merged(Sheet(filled.name, tuple(c for c in filled.cells if c.role != "tool")), tuple(notes))


def _refuse_another(pristine: Sheet, returned: Sheet) -> None:
    if returned.name and returned.name != pristine.name:
        raise InputError(f"this file is exercise '{_short(returned.name)}', not '{pristine.name}'; hand in that one")
    ours = {cell.id for cell in pristine.cells if cell.role}
    if any(cell.id in ours or cell.facts.get("cell") in ours for cell in returned.cells):
        return
    verdicts = [place for place, cell in enumerate(pristine.cells) if cell.role == "verdict"]
    if not any(_same_place(pristine, place, returned) for place in verdicts):
        raise InputError(f"this file holds no cell of exercise '{pristine.name}'; is it the right file?")


def _same_place(pristine: Sheet, place: int, returned: Sheet) -> bool:
    """Whether the cell at this place, counted from the top, is still the one of the exercise."""
    cell = pristine.cells[place]
    return place < len(returned.cells) and returned.cells[place].source.split() == cell.source.split()


def _find(pristine: Sheet, place: int, returned: Sheet, notes: list[str]) -> list[int]:
    """Places in the returned file that claim to be this answer, the one that counts last.

    Words are text in whatever kind of cell they stand, and are never run; code is read from code cells only.
    """
    cell = pristine.cells[place]
    name = f"the answer to {cell.question}"
    claims = [_by_id(cell, returned), _by_facts(cell, returned), _by_order(pristine, place, returned)]
    for claim in claims:
        fitting = [k for k in claim if (returned.cells[k].kind == "code") == (cell.kind == "code")]
        if len(fitting) > 1:
            notes.append(f"{name} is there {len(fitting)} times: the last one counts")
        if fitting:
            return fitting
    other = next(filter(None, claims), [])
    notes.append(_oddity(name, cell, returned.cells[other[-1]].kind if other else ""))
    return other if cell.role == "explain" else []


def _oddity(name: str, cell: Cell, kind: str) -> str:
    """What to say of an answer that is in a cell of another kind, or in none."""
    if not kind:
        return f"{name} is missing: it counts as blank"
    if cell.role == "explain":
        return f"{name} is in a code cell: it was read as words and not run"
    return f"{name} is in a cell of the wrong kind ({kind}): it was not read and counts as blank"


def _by_id(cell: Cell, returned: Sheet) -> list[int]:
    return [k for k, other in enumerate(returned.cells) if other.id == cell.id]


def _by_facts(cell: Cell, returned: Sheet) -> list[int]:
    return [k for k, other in enumerate(returned.cells) if other.facts.get("cell") == cell.id]


def _by_order(pristine: Sheet, place: int, returned: Sheet) -> list[int]:
    """The cell between the same neighbours, where ids were lost and no cell was added or removed."""
    inside = [k for k in (place - 1, place + 1) if 0 <= k < len(pristine.cells)]
    near = [k for k in inside if pristine.cells[k].role not in ASSESSED]
    if len(returned.cells) != len(pristine.cells) or not all(_same_place(pristine, k, returned) for k in near):
        return []
    stranger = not any(returned.cells[place].id == cell.id for cell in pristine.cells)
    return [place] if near and stranger else []


def _extra(pristine: Sheet, returned: Sheet, used: set[int]) -> list[str]:
    """A note on code cells that the exercise does not have; they are not run."""
    ours = {cell.id for cell in pristine.cells}
    known = {tuple(cell.source.split()) for cell in pristine.cells}
    extra = [cell for k, cell in enumerate(returned.cells) if k not in used and cell.kind == "code"
             and cell.id not in ours and cell.source.strip() and tuple(cell.source.split()) not in known]
    words = (f"{len(extra)} code cell(s) of your own were not run: an answer cell, or one beside it, must hold all "
             "that it needs")
    return [words] if extra else []


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."
