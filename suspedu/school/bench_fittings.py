"""What the bench turns beside the table of adjusters: forks in their clamps, numbers of shims, charge, end stop.

A fitting is read from a machine and fitted to it like an adjuster, in the unit that stands on a setting sheet.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.machine import Machine
from suspedu.machine.changing import change, has, setting
from suspedu.school.legs import face_count, with_face
from suspedu.units import from_si, to_si

UNIT = "legs.damper.unit."  # the way to what is inside a damper


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """One thing that is fitted: its words, unit, range and step in that unit, and how it is read and fitted."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    more: str  # what a larger value does
    read: Callable[[Machine], float]  # in its unit
    fit: Callable[[Machine, float], Machine]
    there: Callable[[Machine], bool] = lambda machine: True


def raised(machine: Machine, height: float) -> Machine:
    """The machine with its fork tubes pushed up through the clamps.

    a = h cos(r)/w; rake r - a, front share s + a hc/w: the machine turns about the rear wheel's contact

    Parameters: machine; height h [m], further up than it stands.
    Returns: the machine with a steeper rake and a little more weight in front.
    Assumes: small angles; the rider's share moves as the machine's (computed by derivation).

    >>> from suspedu.school.machines import school_machine
    >>> up = raised(school_machine(), 0.010).chassis
    >>> round(float(np.degrees(up.rake)), 2), round(100 * up.front_share, 2)
    (26.15, 48.38)
    """
    chassis, rider = machine.chassis, machine.rider
    angle = height * np.cos(chassis.rake) / chassis.wheelbase
    more = float(angle * chassis.centre_height / chassis.wheelbase)
    frame = dataclasses.replace(chassis, rake=float(chassis.rake - angle), front_share=chassis.front_share + more)
    body = dataclasses.replace(rider, front_share=rider.front_share + more)
    return dataclasses.replace(machine, chassis=frame, rider=body)


def _inside(name, label, place, unit, low, high, step, more) -> Fitting:
    """A quantity inside the damper, by the way to it."""
    way = UNIT + place
    return Fitting(name=name, label=label, unit=unit, low=low, high=high, step=step, more=more,
                   there=lambda machine: leads_somewhere(machine, way),
                   read=lambda machine: round(from_si(float(value_at(machine, way)), unit), 9),
                   fit=lambda machine, value: changed(machine, way, to_si(value, unit)))


def _shims(name, label, stack, low, high, more="more = stiffer") -> Fitting:
    """The number of face shims of a stack that the table of adjusters exchanges whole."""
    return Fitting(name=name, label=label, unit="shims", low=low, high=high, step=1, more=more,
                   there=lambda machine: has(machine, stack),
                   read=lambda machine: face_count(setting(machine, stack)),
                   fit=lambda machine, value: change(machine, stack, with_face(setting(machine, stack), int(value))))


def _face_thickness(machine: Machine, stack: str) -> float:
    return round(from_si(float(setting(machine, stack).shims[0].thickness), "mm"), 9)


def _thickened(machine: Machine, stack: str, thickness: float) -> Machine:
    built = setting(machine, stack)
    return change(machine, stack, with_face(built, face_count(built), thickness))


_ALL = (
    Fitting(name="fork_height", label="Tubes above the clamp", unit="mm", low=0, high=20, step=1,
            more="more = steeper, and more weight in front", read=lambda machine: 0.0,
            fit=lambda machine, value: raised(machine, to_si(value, "mm"))),
    _shims("low_shims", "Low-speed face shims", "compression_low_stack", 1, 7),
    _shims("high_shims", "High-speed face shims", "compression_high_stack", 1, 5),
    _shims("mid_shims", "Mid-valve face shims", "mid_stack", 7, 15),
    _shims("rebound_shims", "Rebound face shims", "rebound_stack", 1, 6, "more = slower"),
    Fitting(name="rebound_thick", label="Rebound shim thickness", unit="mm", low=0.1, high=0.3, step=0.05,
            more="more = slower, where the shims move", there=lambda machine: has(machine, "rebound_stack"),
            read=lambda machine: _face_thickness(machine, "rebound_stack"),
            fit=lambda machine, value: _thickened(machine, "rebound_stack", to_si(value, "mm"))),
    _inside("charge", "Charge of the cartridge", "pressuriser.charge", "bar", 0, 4, 0.2, "gauge; more = later to tear"),
    _inside("stop_gap", "Gap of the end stop", "end_stop.valve.leak.gap", "mm", 0.04, 0.2, 0.01,
            "more = softer stop"),
    _inside("stop_zone", "Length of the end stop", "end_stop.zone", "mm", 30, 60, 5, "more = begins earlier"),
)  # fmt: skip

FITTINGS: dict[str, Fitting] = {each.name: each for each in _ALL}
