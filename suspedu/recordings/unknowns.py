"""What can be looked for in a test: one row each, where it stands in the rig, its unit, range, how it is searched."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.parts.restrictions import clicks_for_area, needle_area
from suspedu.parts.shim_stacks.lift import STEEL
from suspedu.recordings.rig import Rig
from suspedu.units import InputError, nearest


@dataclass(frozen=True)
class Unknown:
    """A quantity that a search may change: how it is read in a rig and put there, SI."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    read: Callable[[Rig], float]
    put: Callable[[Rig, float], Rig]
    place: str  # in the damper, where there must be something; empty where it is no part of it
    ratio: bool = True  # searched by its logarithm: a share of it counts, not a difference

    def coordinate(self, value):
        """Where the search stands for a value [any shape, SI]; returns ln of it, or itself [-]."""
        return np.log(value) if self.ratio else np.asarray(value, dtype=float) / self.step

    def value(self, coordinate):
        """The value [SI] for where the search stands, a coordinate [any shape, -]."""
        return np.exp(coordinate) if self.ratio else np.asarray(coordinate, dtype=float) * self.step

    @property
    def step(self) -> float:
        """A difference that is worth a tenth of a logarithm, or so [SI]."""
        return (self.high - self.low) / 10.0


def _of_damper(place: str) -> tuple[Callable[[Rig], float], Callable[[Rig, float], Rig], str]:
    return (lambda rig: float(value_at(rig.damper, place)),
            lambda rig, value: replace(rig, damper=changed(rig.damper, place, value)), place)


def _needle(place: str) -> tuple[Callable[[Rig], float], Callable[[Rig, float], Rig], str]:
    """Free area of a needle at its click: its pitch is changed, so that the clicks stay those that were counted."""

    def read(rig: Rig) -> float:
        return float(value_at(rig.damper, place).area(0.0))

    def put(rig: Rig, area: float) -> Rig:
        needle = value_at(rig.damper, place)
        lift = clicks_for_area(min(area, most(needle)), 1.0, needle.seat_diameter, needle.cone_angle)
        pitch = min(max(float(lift) / max(needle.clicks, 1), LEAST_PITCH), MOST_PITCH)
        return replace(rig, damper=changed(rig.damper, place, replace(needle, pitch=pitch)))

    def most(needle) -> float:
        return float(needle_area(0.49 * needle.seat_diameter, needle.seat_diameter, needle.cone_angle))

    return read, put, place


def _stiffness(place: str) -> tuple[Callable[[Rig], float], Callable[[Rig, float], Rig], str]:
    """Stiffness of a stack over that of its steel as listed, told as a modulus: exact for bending and stretching."""
    return (lambda rig: float(value_at(rig.damper, place)) / STEEL,
            lambda rig, share: replace(rig, damper=changed(rig.damper, place, share * STEEL)), place)


def _of_seals(name: str) -> tuple[Callable[[Rig], float], Callable[[Rig, float], Rig], str]:
    return (lambda rig: float(getattr(rig.seals, name)),
            lambda rig, value: replace(rig, seals=replace(rig.seals, **{name: value})), "")


MM2, MM, BAR = 1e-6, 1e-3, 1e5
LEAST_PITCH, MOST_PITCH = 0.006 * MM, 0.29 * MM  # m a click: just within what a needle may have
UNKNOWNS = {each.name: each for each in (
    Unknown("compression bleed", "free area of the compression needle", "mm^2", 0.05 * MM2, 5 * MM2,
            *_needle("base.needle")),
    Unknown("rebound bleed", "free area of the rebound needle", "mm^2", 0.05 * MM2, 8 * MM2,
            *_needle("rebound.needle")),
    Unknown("compression land", "seat land of the base valve", "mm", 0.1 * MM, 0.8 * MM,
            *_of_damper("base.ports.land")),
    Unknown("rebound land", "seat land of the rebound valve", "mm", 0.1 * MM, 0.8 * MM,
            *_of_damper("rebound.ports.land")),
    Unknown("compression stiffness", "stiffness of the base shims, as listed = 1", "", 0.3, 1.9,
            *_stiffness("base.ports.stack.young")),
    Unknown("rebound stiffness", "stiffness of the rebound shims, as listed = 1", "", 0.3, 1.9,
            *_stiffness("rebound.ports.stack.young")),
    Unknown("compression crack", "crack pressure of the base shims", "bar", 0.0, 5 * BAR,
            *_of_damper("base.ports.1.crack"), ratio=False),
    Unknown("rebound crack", "crack pressure of the rebound shims", "bar", 0.0, 5 * BAR,
            *_of_damper("rebound.ports.1.crack"), ratio=False),
    Unknown("friction", "friction of the seals", "N", 0.5, 150.0, *_of_seals("sliding")),
    Unknown("gas pressure", "charge of the gas, gauge", "bar", 0.0, 8 * BAR,
            *_of_damper("pressuriser.charge"), ratio=False),
    Unknown("entrained air", "air in the oil, share of its volume", "percent", 1e-4, 0.25, *_of_damper("air_fraction")),
)}
USUAL = ("compression bleed", "rebound bleed", "compression stiffness", "rebound stiffness", "friction", "gas pressure",
         "entrained air")


def unknowns(names, rig: Rig) -> list[Unknown]:
    """Rows of the table by their names, each of which the rig's damper must have.

    Parameters: names, of unknowns [-]; rig.
    Raises: InputError for a name that is not in the table, one given twice, or a part that is not fitted.

    >>> from suspedu.damper import stock_damper
    >>> rod = Rig(stock_damper("damping rod"))
    >>> unknowns(["rebound bleed"], rod)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: rebound bleed: this damper has no such part
    """
    for name in names:
        if name not in UNKNOWNS:
            raise InputError(f"'{name}' is nothing that a test is searched for{nearest(name, UNKNOWNS)}; there are: "
                             + ", ".join(UNKNOWNS))
        if not _fitted_with(rig, UNKNOWNS[name].place):
            raise InputError(f"{name}: this damper has no such part")
    if len(set(names)) < len(names) or not names:
        raise InputError("name each unknown once, and one at least")
    return [UNKNOWNS[name] for name in names]


def _fitted_with(rig: Rig, place: str) -> bool:
    return not place or leads_somewhere(rig.damper, place)


def searchable(rig: Rig, names=USUAL) -> tuple[str, ...]:
    """Those of some unknowns that a rig's damper has.

    Parameters: rig; names, of unknowns [-].

    >>> from suspedu.damper import stock_damper
    >>> searchable(Rig(stock_damper("damping rod")))
    ('friction', 'entrained air')
    """
    return tuple(name for name in names if _fitted_with(rig, UNKNOWNS[name].place))
