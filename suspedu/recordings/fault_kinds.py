"""Faults that a test may show: one row each, how bad it is in one number, and how it is put into a healthy rig."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.damper import Hole
from suspedu.recordings.rig import Rig
from suspedu.units import InputError, nearest, require

MM2, CM3 = 1e-6, 1e-6
EDGE = 0.2e-3  # m: length of the way past a shim that stands open, a sharp edge
HEALTHY = "healthy"


@dataclass(frozen=True)
class FaultKind:
    """A fault: its name, where it sits, what its one number is, from where on it counts, how bad it is looked for."""

    name: str
    place: str  # in words
    measure: str
    unit: str
    least: float
    most: float
    spoil: Callable[[Rig, float], Rig]
    fits: Callable[[Rig], bool]
    look_first: str  # what a mechanic looks at before anything is opened

    def coordinate(self, size):
        """Where a search stands for a size [any shape, SI]; returns its logarithm [-]."""
        return np.log(size)

    def value(self, coordinate):
        """The size [SI] for where the search stands, a coordinate [any shape, -]."""
        return np.exp(coordinate)


def _worn(rig: Rig, times: float) -> Rig:
    """A piston ring with a gap so many times as wide: oil passes it both ways."""
    damper = rig.damper
    for place in ("mid.leak.gap", "rebound.leak.gap"):
        damper = changed(damper, place, times * value_at(damper, place))
    return replace(rig, damper=damper)


def _standing_open(valve: str) -> Callable[[Rig, float], Rig]:
    """A face shim that does not lie on its seat all round: an opening that nothing shuts."""

    def spoil(rig: Rig, area: float) -> Rig:
        hole = Hole(diameter=float(np.sqrt(4.0 * area / np.pi)), length=EDGE)
        return replace(rig, damper=changed(rig.damper, f"{valve}.holes", hole))

    return spoil


def _shims_alone(valve: str) -> Callable[[Rig], bool]:
    return lambda rig: bool(getattr(rig.damper, valve).ports) and getattr(rig.damper, valve).holes is None


def _leaked(rig: Rig, share: float) -> Rig:
    charge = value_at(rig.damper, "pressuriser.charge")
    return replace(rig, damper=changed(rig.damper, "pressuriser.charge", share * charge))


def _foamed(rig: Rig, air: float) -> Rig:
    return replace(rig, damper=changed(rig.damper, "air_fraction", air))


def _pocketed(rig: Rig, volume: float) -> Rig:
    return replace(rig, moving=replace(rig.moving, pocket=volume))


CLICKS = "count the clicks, and look for dirt under the shims"
FAULT_KINDS = (
    FaultKind("worn seal", "on the piston", "gap of the piston ring over that of a new one", "", 1.8, 8.0, _worn,
              lambda rig: True, "look whether the oil is grey, and whether the rod is scored"),
    FaultKind("bent shim", "in the rebound valve", "opening that does not shut", "mm^2", 0.3 * MM2, 5.0 * MM2,
              _standing_open("rebound"), _shims_alone("rebound"), CLICKS),
    FaultKind("bent shim", "in the base valve", "opening that does not shut", "mm^2", 0.3 * MM2, 5.0 * MM2,
              _standing_open("base"), _shims_alone("base"), CLICKS),
    FaultKind("low oil", "above the piston", "air that stands where oil is missing", "cm**3", 1.0 * CM3, 30.0 * CM3,
              _pocketed, lambda rig: True, "look for oil outside, and for a stroke that begins without force"),
    FaultKind("entrained air", "in all the oil", "air in the oil, share of its volume", "percent", 0.015, 0.2, _foamed,
              lambda rig: True, "let it stand overnight and test it again"),
    FaultKind("lost gas", "behind the bladder", "charge that is left, share of the listed one", "percent", 0.02, 0.55,
              _leaked, lambda rig: leads_somewhere(rig.damper, "pressuriser.charge"),
              "have the charge checked by a workshop that has the gauge for it"),
)


def fault_kinds(rig: Rig) -> tuple[FaultKind, ...]:
    """The faults that a rig's damper can have.

    Parameters: rig.

    >>> from suspedu.damper import stock_damper
    >>> [kind.name for kind in fault_kinds(Rig(stock_damper("damping rod")))]
    ['worn seal', 'low oil', 'entrained air']
    """
    return tuple(kind for kind in FAULT_KINDS if kind.fits(rig))


def spoilt(rig: Rig, name: str, size, place: str = "") -> Rig:
    """A rig with a fault in it.

    Parameters: rig; name of the fault; size, its one number [SI]; place, where several have the name.
    Raises: InputError for a fault that nobody knows, that the damper cannot have, or of a size that is none.

    >>> from suspedu.damper import stock_damper
    >>> spoilt(Rig(stock_damper("closed cartridge")), "entrained air", 0.05).damper.air_fraction
    0.05
    """
    named = [kind for kind in FAULT_KINDS if kind.name == name and place in kind.place]
    if not named:
        raise InputError(f"there is no fault '{name}'{nearest(name, {kind.name for kind in FAULT_KINDS})}")
    if not named[0].fits(rig):
        raise InputError(f"this damper cannot have the fault '{name}': it has no such part")
    kind = named[0]
    return kind.spoil(rig, float(require(kind.measure, size, kind.least, kind.most, kind.unit)))
