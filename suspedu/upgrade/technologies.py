"""Three dampers for one fork, and what may be changed in each: clicks, shims and holes, oils that are sold."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from suspedu.changes import changed
from suspedu.machine import Machine, adjuster, change, refitted, setting
from suspedu.numerics import remembered
from suspedu.parts.oil import Oil
from suspedu.parts.shim_stacks import Stack
from suspedu.school.legs import face_count, with_face
from suspedu.school.machines import school_machine
from suspedu.school.oils import oil_of_index
from suspedu.spelling import readable
from suspedu.units import InputError, nearest, to_si

Setting = dict[str, float]
OILS_SOLD = (7.0, 10.0, 15.0, 22.0, 32.0)  # mm2/s at 40 degC; index 150 (guess of the course)
INDEX = 150.0
HEIGHTS = (90, 110, 130, 150)  # mm, over the range of the table of adjusters
UNIT = "legs.damper.unit."


@dataclass(frozen=True)
class Freedom:
    """One thing that may be changed in a damper: the values that it can take, in a workshop unit, and how."""

    name: str
    label: str
    unit: str  # "" for what is counted
    values: tuple[float, ...]
    built: float
    fit: Callable[[Machine, float], Machine]
    turned: bool = True  # whether a rider changes it with what is on the machine; else a workshop fits parts

    @property
    def last(self) -> int:
        """Number of the last value, counted from 0."""
        return len(self.values) - 1

    def reading(self, value: float) -> str:
        """A value [in its unit] in words."""
        return f"{value:g} out" if self.unit == "clicks" else readable(f"{value:g}", self.unit)


@dataclass(frozen=True)
class Technology:
    """A damper of the school's stock and its freedoms."""

    name: str
    words: str
    stock: str
    freedoms: tuple[Freedom, ...]

    @property
    def count(self) -> int:
        """How many settings it has."""
        return math.prod(each.last + 1 for each in self.freedoms)

    @property
    def as_built(self) -> Setting:
        """The setting as it came."""
        return {each.name: each.built for each in self.freedoms}

    def setting(self, steps: Sequence[int]) -> Setting:
        """The setting at some steps of its freedoms, each counted from 0."""
        return {each.name: each.values[step] for each, step in zip(self.freedoms, steps, strict=True)}

    def steps(self, setting: Setting) -> tuple[int, ...]:
        """The steps of a setting, the inverse of `setting`.

        Raises: InputError for a value that this damper cannot have.
        """
        for each in self.freedoms:
            if setting.get(each.name) not in each.values:
                allowed = ", ".join(each.reading(value) for value in each.values)
                raise InputError(f"{each.label} of the {self.words} is {setting.get(each.name)}; there are: {allowed}")
        return tuple(each.values.index(setting[each.name]) for each in self.freedoms)

    def fitted(self, setting: Setting, machine: Machine | None = None) -> Machine:
        """A machine with this damper at a setting; the school's enduro if none is given."""
        fitted = _refitted(self.stock) if machine is None else refitted(machine, self.stock)
        for each in self.freedoms:
            fitted = each.fit(fitted, setting[each.name])
        return fitted

    def in_words(self, setting: Setting) -> list[tuple[str, str]]:
        """A setting as rows of label and value with unit."""
        return [(each.label, each.reading(setting[each.name])) for each in self.freedoms]


@remembered
def _refitted(stock: str) -> Machine:
    return refitted(school_machine(), stock)


def _turned(name: str, values: Sequence[int], built: float) -> Freedom:
    """A row of the table of adjusters, in its workshop unit."""
    row = adjuster(name)
    return Freedom(name, row.label, row.unit or "", tuple(float(value) for value in values), built,
                   lambda machine, value: change(machine, name, int(value) if row.kind == "clicks" else row.si(value)))


def _face(name: str, label: str, counts: Sequence[int], built: float) -> Freedom:
    """The number of face shims of a stack of the table of adjusters."""
    return Freedom(name, label, "", tuple(float(count) for count in counts), built,
                   lambda machine, count: change(machine, name, faced(setting(machine, name), int(count))), False)


@remembered
def faced(stack: Stack, count: int) -> Stack:
    """A stack with a count of face shims, kept so that all who ask get the same steel.

    >>> from suspedu.damper import stock_damper
    >>> face_count(faced(stock_damper("open cartridge").rebound.ports[0].stack, 4))
    4
    """
    return with_face(stack, count)


def _at_place(name: str, label: str, unit: str, values: Sequence[float], built: float, place: str) -> Freedom:
    """A quantity at a place in a machine."""
    return Freedom(name, label, unit, tuple(values), built,
                   lambda machine, value: changed(machine, place, to_si(value, unit)), False)


def sold_oil(viscosity: float) -> Oil:
    """An oil of the shelf by its viscosity at 40 degC [mm2/s].

    >>> from suspedu.parts.oil import iso_grade
    >>> iso_grade(sold_oil(22.0).viscosity_40)
    'ISO VG 22'
    """
    return oil_of_index(float(to_si(viscosity, "mm**2/s")), INDEX)


HEIGHT = _turned("oil_height", HEIGHTS, 110.0)
LOW, REBOUND = _turned("compression_low", range(0, 25, 3), 12.0), _turned("rebound", range(0, 25, 3), 12.0)
HIGH = _turned("compression_high", (0, 4, 7, 10, 13, 16, 20), 10.0)
OIL_SOLD = Freedom("oil", "Oil at 40 °C", "mm**2/s", OILS_SOLD, 15.0,
                   lambda machine, value: change(machine, "oil", sold_oil(value)), False)
SHIMS = (_face("compression_low_stack", "Face shims, low-speed stack", range(1, 7), 3.0),
         _face("compression_high_stack", "Face shims, high-speed stack", range(1, 5), 1.0),
         _face("mid_stack", "Face shims, mid-valve", (5, 7, 9, 11, 13), 11.0),
         _at_place("mid_float", "Float of the mid-valve", "mm", (0.25, 0.35, 0.45), 0.35,
                   UNIT + "mid.ports.floating.gap"),
         _face("rebound_stack", "Face shims, rebound stack", range(1, 6), 2.0))
RING = _at_place("ring", "Hold of the ring shim, high-speed stack", "bar", (4.6, 14.6, 24.6, 34.6), 24.6,
                 UNIT + "base.ports.high-speed.crack")
COMPRESSION_HOLES = _at_place("compression_holes", "Compression holes", "mm",
                              (1.8, 2.1, 2.4, 2.8, 3.2, 3.7, 4.2), 2.4,
                              UNIT + "compression_holes.diameter")
REBOUND_HOLES = _at_place("rebound_holes", "Rebound holes", "mm", (1.7, 2.1, 2.5, 2.9, 3.3), 2.5,
                          UNIT + "rebound_holes.diameter")

TECHNOLOGIES = {each.name: each for each in (
    Technology("rod", "damping rod", "damping rod", (COMPRESSION_HOLES, REBOUND_HOLES, OIL_SOLD, HEIGHT)),
    Technology("turned", "open cartridge, turned", "open cartridge", (LOW, REBOUND, HEIGHT)),
    Technology("open", "open cartridge, re-shimmed", "open cartridge", (LOW, REBOUND, HEIGHT, *SHIMS, RING)),
    Technology("closed", "closed cartridge", "closed cartridge", (LOW, HIGH, REBOUND, HEIGHT, *SHIMS)),
)}  # fmt: skip


def technology(name: str) -> Technology:
    """A technology by its name.

    Raises: InputError for one that is none.

    >>> len(technology("rod").freedoms), technology("open").as_built["rebound"]
    (4, 12.0)
    """
    if name not in TECHNOLOGIES:
        known = ", ".join(TECHNOLOGIES)
        raise InputError(f"'{name}' is no technology{nearest(name, TECHNOLOGIES)}; there are: {known}")
    return TECHNOLOGIES[name]


def built_face_counts(stock: str) -> dict[str, float]:
    """Face shims of each stack as a damper of the stock was built, by adjuster.

    >>> built_face_counts("open cartridge")["mid_stack"]
    11.0
    """
    machine = _refitted(stock)
    return {each.name: float(face_count(setting(machine, each.name))) for each in SHIMS if each.name.endswith("stack")}


BETTER_SEALS, BETTER_BUSHINGS, LIGHTER = 5.0, 0.02, 0.8  # N; friction [-]; kg off the wheel's end (guess of the course)


def better_leg(machine: Machine, *, friction: bool = True, weight: bool = True) -> Machine:
    """The machine with the parts of a better leg: seals and coatings that rub less, lighter tubes and axle.

    Parameters: machine; friction, weight: which of the two.

    >>> better_leg(school_machine()).chassis.unsprung_mass, better_leg(school_machine()).legs[0].friction.sliding
    (14.2, 5.0)
    """
    if friction:
        machine = changed(machine, "legs.friction.sliding", BETTER_SEALS)
        if machine.legs[0].bushings is not None:
            machine = changed(machine, "legs.bushings.friction", BETTER_BUSHINGS)
    if not weight:
        return machine
    was = machine.chassis
    mass, unsprung = float(was.mass) - LIGHTER, round(float(was.unsprung_mass) - LIGHTER, 6)
    share = (float(was.mass) * float(was.front_share) - LIGHTER) / mass  # what the springs carry stays as it is
    return replace(machine, chassis=replace(was, mass=mass, unsprung_mass=unsprung, front_share=share))


def turned_only(of: Technology) -> list[tuple[int, ...]]:
    """The steps of all settings that a rider reaches by turning alone, parts as they came.

    Parameters: of, the technology.

    >>> len(turned_only(technology("open")))  # 9 x 9 clicks x 4 oil heights
    324
    """
    each = [range(free.last + 1) if free.turned else (free.values.index(free.built),) for free in of.freedoms]
    grids = np.meshgrid(*(np.array(values) for values in each), indexing="ij")
    return [tuple(int(k) for k in row) for row in np.stack([grid.ravel() for grid in grids], axis=1)]
