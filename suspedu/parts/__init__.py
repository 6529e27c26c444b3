"""The parts of a leg, one law each, blind to each other; and the one face that its elastic elements share.

Coil, air, gas of a cartridge, bumper and top-out spring: each room of theirs has laws `<element>_force`,
`<element>_rate` and `<element>_energy` of the stroke, and `<element>_element(...)`, which binds the three to the
part at hand. Whoever sums over a leg (`machine.forces`) needs no more than that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Elastic:
    """An elastic element as fitted: force [N], rate [N/m] and energy [J], each a function of the stroke [m, any shape].

    The rate is the slope of the force, and the energy its integral, counted from where the element holds nothing.

    >>> from suspedu.parts.springs import CoilSpring, coil_element
    >>> spring = coil_element(CoilSpring(preload=0.005, rate=4200.0))
    >>> round(float(spring.force(0.1)), 9), float(spring.rate(0.1)), round(float(spring.energy(0.3)), 2)
    (441.0, 4200.0, 195.35)
    """

    force: Callable
    rate: Callable
    energy: Callable
