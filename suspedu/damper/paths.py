"""The ways through a valve that no pressure moves: clearance, plain holes, needle. Shim ports stand in `ports`.

Every path has the same words: `kind`, `flow(pressure_drop, fluid)` [m3/s], `area(pressure)` and `widest` [m2],
`resistance` [1/m3], `discharge` [-], `perimeter` [m] (wetted, for the Reynolds number) and `lift(pressure)` [m].

What makes the pressure drop of each passage, all in series (and nothing twice):

| passage | along its walls | at its sharp ends, creeping | jet |
|---|---|---|---|
| leak | ring channel, eccentric | none: a hundredth of its length | energy of a parabola |
| holes | round bore, 128 L | round orifice, 24/d^3 | Cd |
| needle | cone land, 12 L | sharp slit, 32/(pi b^2 P) | Cd |
| port: holes | round bore, 128 L | round orifice, 24/d^3 | Cd, and its momentum pushes the shim |
| port: curtain | seat land, 12 L | sharp slit, 32/(pi b^2 P) | Cd |

Walls know nothing of ends, so a short passage lets less thick oil through than its walls say: this is what a discharge
coefficient that falls at small Reynolds numbers stands for, and no passage has such a coefficient besides.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import numpy as np

from suspedu.damper.fluid import Fluid
from suspedu.parts.restrictions import (
    bore_area,
    bore_end_resistance,
    bore_resistance,
    clearance_resistance,
    needle_area,
    needle_lift,
    orifice_flow,
    slit_end_resistance,
)
from suspedu.units import InputError, check_fields, part, quantity


def counted(name: str, value, low: int, high: int, slip: str = "") -> None:
    """Refuse a value that is not a whole number from low to high.

    Parameters: name of the thing, value [-]; low, high, allowed [-]; slip, words for what was likely meant.

    >>> counted("number of holes", 0, 1, 40)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: number of holes is 0; allowed: 1 to 40
    """
    if value != int(value):
        raise InputError(f"{name} is {value}; only whole numbers can be counted")
    if not low <= value <= high:
        raise InputError(f"{name} is {value}; allowed: {low} to {high}" + (f" ({slip})" if slip else ""))


class _Fixed:
    """A path whose opening no pressure changes."""

    area: Callable[..., float]  # each path has its own
    resistance: float
    discharge: float

    def flow(self, pressure_drop, fluid: Fluid):
        """Flow [same shape, m3/s] at a pressure_drop [any shape, Pa] of a fluid: walls, ends and jet in series."""
        return orifice_flow(pressure_drop, self.area(pressure_drop), fluid.density, viscosity=fluid.viscosity,
                            resistance=self.resistance, discharge=self.discharge)

    def lift(self, pressure):
        """No lift [m] at any pressure [Pa]: nothing moves here."""
        return np.zeros_like(pressure, dtype=float)

    @property
    def widest(self):
        """Area that the path can never exceed [m2]: its own."""
        return self.area(0.0)


@part
class Clearance(_Fixed):
    """The ring gap that every piston leaves: it leaks at all pressures."""

    diameter: float = quantity("mm", 3, 60, "leak diameter")
    gap: float = quantity("mm", 0.001, 0.5, "radial clearance", "a negative or zero clearance would seize")
    length: float = quantity("mm", 0.2, 60, "leak length")
    eccentricity: float = quantity("", 0, 1, "eccentricity", default=0.0)

    # Kinetic energy of a parabolic profile is 54/35 of that at the mean speed: Cd = (35/54)^(1/2).
    discharge = 0.805
    kind = "leak"

    def __post_init__(self):
        check_fields(self)

    @property
    def perimeter(self):
        """Wetted perimeter [m], both walls of the gap."""
        return 2.0 * np.pi * self.diameter

    @cached_property
    def resistance(self):
        """Laminar resistance [1/m3]."""
        return clearance_resistance(self.diameter, self.gap, self.length, self.eccentricity)

    def area(self, pressure):
        """Free area [m2], the same at any pressure [Pa]."""
        return np.pi * self.diameter * self.gap


@part
class Hole(_Fixed):
    """Equal round holes side by side."""

    diameter: float = quantity("mm", 0.2, 20, "hole diameter")
    length: float = quantity("mm", 0.2, 30, "hole length")
    count: int = 1
    discharge: float = quantity("", 0.5, 1, "discharge coefficient", default=0.7)
    kind = "holes"

    def __post_init__(self):
        check_fields(self)
        counted("number of holes", self.count, 1, 40)

    @property
    def perimeter(self):
        """Wetted perimeter [m], all holes."""
        return self.count * np.pi * self.diameter

    @cached_property
    def resistance(self):
        """Laminar resistance [1/m3] of walls and ends."""
        ends = bore_end_resistance(self.diameter, self.count)
        return bore_resistance(self.diameter, self.length, self.count) + ends

    def area(self, pressure):
        """Free area [m2], the same at any pressure [Pa]."""
        return bore_area(self.diameter, self.count)


@part
class Needle(_Fixed):
    """A conical needle in its seat: the low-speed or rebound clicker. Clicks are counted out from gently closed.

    >>> Needle(2.2e-3, np.radians(30.0), 0.04e-3, 0.3e-3, last_click=24, clicks=30)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: clicks out is 30; allowed: 0 to 24 (clicks are counted out from gently closed; \
beyond the last click the screw comes out of its thread)
    """

    seat_diameter: float = quantity("mm", 0.5, 8, "needle seat")
    cone_angle: float = quantity("degree", 5, 120, "needle cone angle")
    pitch: float = quantity("mm", 0.005, 0.3, "needle lift per click")
    land: float = quantity("mm", 0.01, 5, "needle land")
    last_click: int = 24
    clicks: int = 12
    discharge: float = quantity("", 0.5, 1, "discharge coefficient", default=0.7)
    kind = "needle"

    def __post_init__(self):
        check_fields(self)
        counted("last click", self.last_click, 1, 60)
        needle_area(self.needle_lift, self.seat_diameter, self.cone_angle)

    @property
    def needle_lift(self):
        """Lift of the needle off its seat at the present click [m]."""
        return needle_lift(self.clicks, self.pitch, self.last_click)

    @property
    def perimeter(self):
        """Wetted perimeter [m], needle and seat."""
        return 2.0 * np.pi * self.seat_diameter

    @cached_property
    def resistance(self):
        """Laminar resistance of the cone gap and its ends [1/m3]; none when shut, since nothing flows then."""
        gap, round_ = self.needle_lift * np.sin(self.cone_angle / 2.0), np.pi * self.seat_diameter
        return 12.0 * self.land / (round_ * gap**3) + slit_end_resistance(gap, round_) if gap > 0.0 else 0.0

    def area(self, pressure):
        """Free area [m2] at the present click, the same at any pressure [Pa]."""
        return needle_area(self.needle_lift, self.seat_diameter, self.cone_angle)
