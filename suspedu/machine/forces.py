"""What the fork pushes back with at a stroke: coil, air, cartridge gas, top-out and bumper, of both legs together.

The exponent says how fast the air is squeezed: 1 (`ISOTHERMAL`) for settling on
the sag, None for each leg's own riding value, up to 1.4 (`ADIABATIC`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper import gas
from suspedu.machine.model import Leg, Machine
from suspedu.parts import air_spring, springs, stops
from suspedu.parts.air_spring import ISOTHERMAL


@dataclass(frozen=True)
class Split:
    """A force [N], rate [N/m] or energy [J] by the part it comes from; arrays of one shape."""

    coil: np.ndarray
    air: np.ndarray
    top_out: np.ndarray
    bumper: np.ndarray
    gas: np.ndarray  # of closed cartridges: it pushes the rods out, at rest too

    @property
    def total(self) -> np.ndarray:
        """All parts together [N, N/m or J, as the parts are]."""
        return self.coil + self.air + self.top_out + self.bumper + self.gas

    def __add__(self, other: Split) -> Split:
        return Split(self.coil + other.coil, self.air + other.air, self.top_out + other.top_out,
                     self.bumper + other.bumper, self.gas + other.gas)


@dataclass(frozen=True)
class ForceCurve:
    """The whole stroke of a fork, ready to draw: arrays over the stroke, both legs together."""

    stroke: np.ndarray  # m
    coil: np.ndarray  # N
    air: np.ndarray  # N
    top_out: np.ndarray  # N
    bumper: np.ndarray  # N
    gas: np.ndarray  # N
    total: np.ndarray  # N
    rate: np.ndarray  # N/m
    work: np.ndarray  # J, from full extension


def leg_force(leg: Leg, stroke, exponent=ISOTHERMAL) -> Split:
    """Force of one leg [N], split, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> left, right = load("trail").legs
    >>> bool(leg_force(right, 0.2).coil > leg_force(left, 0.2).coil)  # the stiffer spring
    True
    """
    stroke = np.asarray(stroke, dtype=float)
    none = np.zeros_like(stroke)
    return Split(
        springs.coil_force(stroke, leg.spring),
        air_spring.air_force(stroke, leg.travel, leg.air, exponent),
        none if leg.top_out is None else stops.top_out_force(stroke, leg.top_out),
        none if leg.bumper is None else stops.bumper_force(stroke, leg.travel, leg.bumper),
        none if leg.damper is None else gas.gas_force(stroke, leg.damper.unit, leg.damper.oil_temperature) + none,
    )


def leg_rate(leg: Leg, stroke, exponent=ISOTHERMAL) -> Split:
    """Rate of one leg [N/m], split: the slope of `leg_force` at a stroke [m] of any shape; exponent [1].

    >>> from suspedu.machine import load
    >>> round(float(leg_rate(load("enduro").legs[0], 0.1).coil))
    4000
    """
    stroke = np.asarray(stroke, dtype=float)
    none = np.zeros_like(stroke)
    return Split(
        springs.spring_rate(leg.spring) + none,
        air_spring.air_rate(stroke, leg.travel, leg.air, exponent),
        none if leg.top_out is None else stops.top_out_rate(stroke, leg.top_out),
        none if leg.bumper is None else stops.bumper_rate(stroke, leg.travel, leg.bumper),
        none if leg.damper is None else gas.gas_rate(stroke, leg.damper.unit, leg.damper.oil_temperature) + none,
    )


def leg_energy(leg: Leg, stroke, exponent=ISOTHERMAL) -> Split:
    """Energy held by one leg [J], split, preload's included, at a stroke [m] of any shape; exponent [1].

    >>> from suspedu.machine import load
    >>> round(float(leg_energy(load("enduro").legs[0], 0.0).coil), 3)  # 4 mm of preload on 4 N/mm
    0.032
    """
    stroke = np.asarray(stroke, dtype=float)
    none = np.zeros_like(stroke)
    return Split(
        springs.coil_energy(stroke, leg.spring),
        air_spring.air_energy(stroke, leg.travel, leg.air, exponent),
        none if leg.top_out is None else stops.top_out_energy(stroke, leg.top_out),
        none if leg.bumper is None else stops.bumper_energy(stroke, leg.travel, leg.bumper),
        none if leg.damper is None else gas.gas_energy(stroke, leg.damper.unit, leg.damper.oil_temperature) + none,
    )


def force_split(machine: Machine, stroke, exponent=ISOTHERMAL) -> Split:
    """Force of the fork, by the part it comes from, without friction or damping.

    F(x) = sum over both legs of coil + air + top-out + bumper + cartridge gas

    Parameters: machine; stroke x [m], any shape; exponent of the air [1].
    Returns: `Split` of forces [N], each of the stroke's shape.

    >>> from suspedu.machine import load
    >>> split = force_split(load("enduro"), 0.15)
    >>> bool(split.coil > 3 * split.air > 0)
    True
    """
    first, second = machine.both_legs
    return leg_force(first, stroke, exponent) + leg_force(second, stroke, exponent)


def fork_force(machine: Machine, stroke, exponent=ISOTHERMAL):
    """Force of the fork's springs and air [N], both legs, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> bool(fork_force(load("enduro"), 0.2) > fork_force(load("enduro"), 0.1) > 0.0)
    True
    """
    return force_split(machine, stroke, exponent).total


def rate_split(machine: Machine, stroke, exponent=ISOTHERMAL) -> Split:
    """Slope of `force_split` [N/m] at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> round(float(rate_split(load("enduro"), 0.1).coil))  # both springs side by side
    8000
    """
    first, second = machine.both_legs
    return leg_rate(first, stroke, exponent) + leg_rate(second, stroke, exponent)


def fork_rate(machine: Machine, stroke, exponent=ISOTHERMAL):
    """Rate of the fork, dF/dx [N/m], both legs, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> bool(fork_rate(load("enduro"), 0.29) > 2 * fork_rate(load("enduro"), 0.1))  # air and bumper
    True
    """
    return rate_split(machine, stroke, exponent).total


def energy_split(machine: Machine, stroke, exponent=ISOTHERMAL) -> Split:
    """Energy held by the fork [J], preload's included, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> round(float(energy_split(load("enduro"), 0.296).coil), 9)  # 2 x 4000 N/m x (0.3 m)^2 / 2
    360.0
    """
    first, second = machine.both_legs
    return leg_energy(first, stroke, exponent) + leg_energy(second, stroke, exponent)


def stored_work(machine: Machine, stroke, exponent=ISOTHERMAL):
    """Work that takes the fork from full extension to a stroke, W(x) = E(x) - E(0).

    Parameters: machine; stroke x [m], any shape; exponent of the air [1]. Returns: work [J].

    >>> from suspedu.machine import load
    >>> float(stored_work(load("enduro"), 0.0))
    0.0
    """
    return energy_split(machine, stroke, exponent).total - energy_split(machine, 0.0, exponent).total


def bottom_out_force(machine: Machine, exponent=ISOTHERMAL):
    """Force that holds the fork at the very end of its travel [N], both legs; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> bool(bottom_out_force(bike) == fork_force(bike, bike.travel))
    True
    """
    return fork_force(machine, machine.travel, exponent)


def force_curve(machine: Machine, points: int = 241, exponent=ISOTHERMAL) -> ForceCurve:
    """Force by part, rate and work over the whole stroke, on evenly spaced points.

    Parameters: machine; points; exponent of the air [1]. Returns: `ForceCurve` of arrays (points,).

    >>> from suspedu.machine import load
    >>> force_curve(load("trail"), points=5).total.shape
    (5,)
    """
    stroke = np.linspace(0.0, machine.travel, points)
    split = force_split(machine, stroke, exponent)
    return ForceCurve(stroke, split.coil, split.air, split.top_out, split.bumper, split.gas, split.total,
                      fork_rate(machine, stroke, exponent), stored_work(machine, stroke, exponent))
