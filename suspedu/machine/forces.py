"""What the fork pushes back with at a stroke: coil, air, cartridge gas, top-out and bumper, of both legs together.

The exponent says how fast the air is squeezed: 1 (`ISOTHERMAL`) for settling on
the sag, None for each leg's own riding value, up to 1.4 (`ADIABATIC`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper.gas import gas_element
from suspedu.machine.model import Leg, Machine
from suspedu.parts import Elastic
from suspedu.parts.air_spring import ISOTHERMAL, air_element
from suspedu.parts.springs import coil_element
from suspedu.parts.stops import bumper_element, top_out_element

PARTS = ("coil", "air", "top_out", "bumper", "gas")  # fields of a `Split`


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
        return Split(**{name: getattr(self, name) + getattr(other, name) for name in PARTS})


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


def force_split(machine: Machine, stroke, exponent=ISOTHERMAL, settled=0.0) -> Split:
    """Force of the fork, by the part it comes from, without friction or damping.

    F(x) = sum over both legs of coil + air + top-out + bumper + cartridge gas

    Parameters: machine; stroke x [m], any shape; exponent of the air [1]; settled, the stroke [m] about which the air
    works, having had time there.
    Returns: `Split` of forces [N], each of the stroke's shape.

    >>> from suspedu.machine import load
    >>> split = force_split(load("enduro"), 0.15)
    >>> round(float(split.coil)), round(float(split.air)), round(float(split.gas))
    (1232, 259, 60)
    """
    return _of_both(machine, stroke, "force", exponent, settled)


def fork_force(machine: Machine, stroke, exponent=ISOTHERMAL):
    """Force of the fork's springs and air [N], both legs, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> fork_force(load("enduro"), [0.1, 0.2]).round().tolist()
    [1027.0, 2147.0]
    """
    return force_split(machine, stroke, exponent).total


def rate_split(machine: Machine, stroke, exponent=ISOTHERMAL) -> Split:
    """Slope of `force_split` [N/m] at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> round(float(rate_split(load("enduro"), 0.1).coil))  # both springs side by side
    8000
    """
    return _of_both(machine, stroke, "rate", exponent)


def fork_rate(machine: Machine, stroke, exponent=ISOTHERMAL):
    """Rate of the fork, dF/dx [N/m], both legs, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> fork_rate(load("enduro"), [0.1, 0.29]).round().tolist()  # at the end air and bumper take over
    [10036.0, 77171.0]
    """
    return rate_split(machine, stroke, exponent).total


def energy_split(machine: Machine, stroke, exponent=ISOTHERMAL) -> Split:
    """Energy held by the fork [J], preload's included, at a stroke [m] of any shape; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> round(float(energy_split(load("enduro"), 0.296).coil), 9)  # 2 x 4000 N/m x (0.3 m)^2 / 2
    360.0
    """
    return _of_both(machine, stroke, "energy", exponent)


def stored_work(machine: Machine, stroke, exponent=ISOTHERMAL):
    """Work that takes the fork from full extension to a stroke, W(x) = E(x) - E(0).

    Parameters: machine; stroke x [m], any shape; exponent of the air [1]. Returns: work [J].

    >>> from suspedu.machine import load
    >>> round(float(stored_work(load("enduro"), 0.3)))
    517
    """
    return energy_split(machine, stroke, exponent).total - energy_split(machine, 0.0, exponent).total


def bottom_out_force(machine: Machine, exponent=ISOTHERMAL):
    """Force that holds the fork at the very end of its travel [N], both legs; exponent of the air [1].

    >>> from suspedu.machine import load
    >>> round(float(bottom_out_force(load("enduro"))))
    6831
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


def leg_elements(leg: Leg, exponent=ISOTHERMAL, settled=0.0) -> dict[str, Elastic]:
    """The elastic elements of a leg as fitted, by their names in a `Split`; those that it has.

    Parameters: leg; exponent of the air [1]; settled [m], about which it works.

    >>> from suspedu.machine import load
    >>> list(leg_elements(load("enduro").legs[0]))
    ['coil', 'air', 'top_out', 'bumper', 'gas']
    """
    found = {"coil": coil_element(leg.spring), "air": air_element(leg.travel, leg.air, exponent, settled)}
    if leg.top_out is not None:
        found["top_out"] = top_out_element(leg.top_out)
    if leg.bumper is not None:
        found["bumper"] = bumper_element(leg.travel, leg.bumper)
    if leg.damper is not None:
        found["gas"] = gas_element(leg.damper.unit, leg.damper.oil_temperature)
    return found


def leg_split(leg: Leg, stroke, of: str = "force", exponent=ISOTHERMAL, settled=0.0) -> Split:
    """Force, rate or energy of one leg, by the part it comes from.

    Parameters: leg; stroke [m], any shape; of, "force" [N], "rate" [N/m] or "energy" [J], preload's included;
    exponent of the air [1]; settled [m], about which it works.

    >>> from suspedu.machine import load
    >>> left, right = load("trail").legs  # the right spring is the stiffer
    >>> [round(float(leg_split(leg, 0.1, "rate").coil)) for leg in (left, right)]
    [3840, 4000]
    """
    x = np.asarray(stroke, dtype=float)
    none, elements = np.zeros_like(x), leg_elements(leg, exponent, settled)
    return Split(**{name: getattr(elements[name], of)(x) + none if name in elements else none for name in PARTS})


def _of_both(machine: Machine, stroke, of: str, exponent, settled=0.0) -> Split:
    first, second = machine.both_legs
    one = leg_split(first, stroke, of, exponent, settled)
    return one + (one if second is first else leg_split(second, stroke, of, exponent, settled))
