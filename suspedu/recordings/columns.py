"""Columns and units of a CSV from a test bench: what a header says, and what it leaves open and so is asked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from suspedu.spelling import readable_unit
from suspedu.units import InputError, nearest, to_si

NEEDED, POSSIBLE = ("time", "stroke", "force"), ("temperature",)
UNITS = {  # as they are written in headers, and as `units` knows them
    "time": {"s": "s", "sec": "s", "ms": "ms", "min": "min"},
    "stroke": {"mm": "mm", "cm": "cm", "m": "m", "in": "inch", "inch": "inch", "inches": "inch"},
    "force": {"N": "N", "kN": "kN", "lbf": "force_pound", "kgf": "force_kilogram"},
    "temperature": {"degC": "degC", "°C": "degC", "C": "degC", "degF": "degF", "°F": "degF", "F": "degF", "K": "K"},
}
FOREIGN = {"inch", "force_pound", "force_kilogram", "degF"}  # taken, and said aloud
DOUBTFUL = {"lb": "a pound is a mass or a force: write lbf where it is the force",
            "lbs": "a pound is a mass or a force: write lbf where it is the force",
            "kg": "a kilogram is a mass: write kgf, or better N", "\"": "write in for inches",
            "\"\"": "write in for inches", "'": "write in for inches"}
WITH_UNIT = re.compile(r"^(?P<name>.*?)\s*[\[(](?P<unit>[^\])]*)[\])]\s*$")


@dataclass(frozen=True)
class Column:
    """One column that is read: what it is, its place in the row, its name in the header and its unit for `units`."""

    quantity: str
    place: int
    name: str
    unit: str
    written: str  # the unit as the header has it

    @property
    def note(self) -> str:
        """A sentence that says what was taken for what."""
        aloud = ", changed into SI" if self.unit in FOREIGN else ""
        return f"{self.quantity} is column {self.place + 1}, '{self.name}', in {readable_unit(self.written)}{aloud}."

    def in_si(self, values):
        """Values of this column in SI.

        Parameters: values [n, in its own unit]. Returns: values [n, SI].
        """
        return to_si(values, self.unit)


def columns_of(header: list[str], mapping: Mapping[str, str] | None = None) -> list[Column]:
    """Which column of a header is what, and in which unit.

    A header says both, as in "stroke [mm]" or "force (N)"; where names are others, the mapping says which is which.

    Parameters: header, cells of the first row; mapping, quantity -> name in the header, perhaps with the unit that the
    header lacks: {"stroke": "Weg [mm]"}.
    Returns: a `Column` each for time, stroke, force and, where there is one, temperature.
    Raises: InputError for a quantity without a column, a unit that is missing, unknown or doubtful.

    >>> [column.note for column in columns_of(["t [s]", "stroke (mm)", "force [N]"], {"time": "t"})][0]
    "time is column 1, 't', in s."
    """
    split = [_split(cell) for cell in header]
    given = dict(mapping or {})
    for quantity in given:
        if quantity not in NEEDED + POSSIBLE:
            raise InputError(f"'{quantity}' is no quantity of a test{nearest(quantity, NEEDED + POSSIBLE)}; there are: "
                             + ", ".join(NEEDED + POSSIBLE))
    found = [_column(quantity, given.get(quantity, quantity), split, quantity in given or quantity in NEEDED)
             for quantity in NEEDED + POSSIBLE]
    return _each_once([column for column in found if column is not None])


def _split(cell: str) -> tuple[str, str]:
    """Name and unit of a header cell; an empty unit where it has none."""
    found = WITH_UNIT.match(cell.strip())
    return (found["name"].strip(), found["unit"].strip()) if found else (cell.strip(), "")


def _column(quantity: str, wanted: str, header: list[tuple[str, str]], needed: bool) -> Column | None:
    name, unit_given = _split(wanted)
    exact = [place for place, (known, _) in enumerate(header) if known == name]
    places = exact or [place for place, (known, _) in enumerate(header) if known.casefold() == name.casefold()]
    if not places and not needed:
        return None
    if len(places) != 1:
        names = ", ".join(f"'{known}'" for known, _ in header)
        what = "is not there" if not places else f"stands there {len(places)} times"
        raise InputError(f"column '{name}' for the {quantity} {what}; the header has {names}; say which is which, "
                         f"as in columns={{'{quantity}': 'name in the header [unit]'}}")
    written = header[places[0]][1]
    if unit_given and written and unit_given != written:
        raise InputError(f"the header says that '{name}' is in {written}, the mapping {unit_given}: which is true?")
    return _with_unit(quantity, places[0], name, written or unit_given)


def _with_unit(quantity: str, place: int, name: str, written: str) -> Column:
    known = UNITS[quantity]
    example = f"as in '{name} [{next(iter(known))}]'"
    if not written:
        raise InputError(f"column '{name}' has no unit; write it in the header, {example}, or into the mapping")
    if written in DOUBTFUL:
        raise InputError(f"column '{name}' is in '{written}'; {DOUBTFUL[written]}")
    if written not in known:
        raise InputError(f"column '{name}' is in '{written}', which is no unit of {quantity} that is read here; known: "
                         + ", ".join(known))
    return Column(quantity, place, name, known[written], written)


def _each_once(columns: list[Column]) -> list[Column]:
    for one in columns:
        for other in columns:
            if one is not other and one.place == other.place:
                raise InputError(f"column '{one.name}' would be both {one.quantity} and {other.quantity}")
    return columns
