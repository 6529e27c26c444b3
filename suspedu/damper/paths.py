"""The ways through a valve: clearance, plain holes, needle, shim-covered port. Each knows its free area at a pressure.

Every path has the same words: `kind`, `area(pressure_drop)` and `widest` [m2], `resistance` [1/m3], `discharge` [-],
`perimeter` [m] (wetted, for the Reynolds number) and `lift(pressure_drop)` [m].
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from suspedu.parts.restrictions import bore_area, bore_resistance, clearance_resistance, needle_area, needle_lift
from suspedu.parts.shim_stacks import Port, Stack, lift_curve
from suspedu.units import InputError, check_fields, part, quantity


def _count(name: str, value, low: int, high: int, slip: str = "") -> None:
    if value != int(value):
        raise InputError(f"{name} is {value}; only whole numbers can be counted")
    if not low <= value <= high:
        raise InputError(f"{name} is {value}; allowed: {low} to {high}" + (f" ({slip})" if slip else ""))


class _Fixed:
    """A path whose opening no pressure changes."""

    area: Callable[..., float]  # each path has its own

    def lift(self, pressure_drop):
        """No lift [m] at any pressure_drop [Pa]: nothing moves here."""
        return np.zeros_like(pressure_drop, dtype=float)

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

    @property
    def resistance(self):
        """Laminar resistance [1/m3]."""
        return clearance_resistance(self.diameter, self.gap, self.length, self.eccentricity)

    def area(self, pressure_drop):
        """Free area [m2], the same at any pressure_drop [Pa]."""
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
        _count("number of holes", self.count, 1, 40)

    @property
    def perimeter(self):
        """Wetted perimeter [m], all holes."""
        return self.count * np.pi * self.diameter

    @property
    def resistance(self):
        """Laminar resistance [1/m3]."""
        return bore_resistance(self.diameter, self.length, self.count)

    def area(self, pressure_drop):
        """Free area [m2], the same at any pressure_drop [Pa]."""
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
        _count("last click", self.last_click, 1, 60)
        needle_area(self.needle_lift, self.seat_diameter, self.cone_angle)

    @property
    def needle_lift(self):
        """Lift of the needle off its seat at the present click [m]."""
        return needle_lift(self.clicks, self.pitch, self.last_click)

    @property
    def perimeter(self):
        """Wetted perimeter [m], needle and seat."""
        return 2.0 * np.pi * self.seat_diameter

    @property
    def resistance(self):
        """Laminar resistance of the cone gap [1/m3]; none when shut, since nothing flows then."""
        gap = self.needle_lift * np.sin(self.cone_angle / 2.0)
        return 12.0 * self.land / (np.pi * self.seat_diameter * gap**3) if gap > 0.0 else 0.0

    def area(self, pressure_drop):
        """Free area [m2] at the present click, the same at any pressure_drop [Pa]."""
        return needle_area(self.needle_lift, self.seat_diameter, self.cone_angle)


@part
class Float:
    """Free play of a stack, or of a check plate, against a light spring."""

    gap: float = quantity("mm", 0.01, 3, "float")
    rate: float = quantity("N/mm", 0.01, 50, "float spring rate")
    preload: float = quantity("N", 0, 50, "float spring preload")


@part
class PreloadAdjuster:
    """A coil spring that holds a stack shut: the high-speed adjuster. Clicks out take preload away: more = softer."""

    rate: float = quantity("N/mm", 1, 500, "adjuster spring rate")
    base_preload: float = quantity("mm", 0, 10, "adjuster preload when fully out")
    pitch: float = quantity("mm", 0.005, 0.5, "adjuster preload per click")
    last_click: int = 20
    clicks: int = 10

    def __post_init__(self):
        check_fields(self)
        _count("last click", self.last_click, 1, 60)
        needle_lift(self.clicks, self.pitch, self.last_click)  # refuses clicks past the end

    @property
    def force(self):
        """Force of the spring on the shut stack [N]."""
        return self.rate * (self.base_preload + (self.last_click - self.clicks) * self.pitch)


@part
class ShimPort:
    """Port holes, closed by a shim stack (or by a plain plate with float: a check valve).

    Assumes: the stack feels the whole pressure drop; the adjuster spring is soft against the stack, so that its
    force stays that of the shut stack.
    """

    name: str
    holes: Hole
    seat: Port
    stack: Stack | None = None
    crack: float = quantity("bar", 0, 60, "crack pressure of the shims", default=0.0)
    floating: Float | None = None
    adjuster: PreloadAdjuster | None = None
    kind = "port"

    def __post_init__(self):
        check_fields(self)
        if self.stack is None and self.floating is None:
            raise InputError(f"port '{self.name}' has neither a stack nor a float: nothing could open it")

    @property
    def face_area(self):
        """Area of the stack that the port's pressure acts on [m2]."""
        return np.pi / 4.0 * (self.seat.outer_diameter**2 - self.seat.inner_diameter**2)

    @property
    def opening(self):
        """Pressure drop at which the float, or the stack, first leaves its seat [Pa]."""
        held = self.adjuster.force if self.adjuster else 0.0
        return (held + self.floating.preload) / self.face_area if self.floating else self.bending

    @property
    def bending(self):
        """Pressure drop at which the float is used up and the stack's own preload overcome: it begins to bend [Pa]."""
        return self._loaded + (lift_curve(self.stack, self.seat).crack_pressure if self.stack else 0.0)

    @property
    def _loaded(self):
        """Pressure drop above which the stack's lift curve begins to count [Pa]."""
        held = self.adjuster.force if self.adjuster else 0.0
        floated = self.floating.preload + self.floating.rate * self.floating.gap if self.floating else 0.0
        return self.crack + (held + floated) / self.face_area

    def lift(self, pressure_drop):
        """Lift of the shims' rim off the seat [m] at a pressure_drop [Pa]: float first, then bending."""
        bent = lift_curve(self.stack, self.seat)(pressure_drop - self._loaded) if self.stack else 0.0
        if self.floating is None:
            return bent
        afloat = (pressure_drop - self.opening) * self.face_area / self.floating.rate
        return np.clip(afloat, 0.0, self.floating.gap) + bent

    widest = property(lambda self: self.holes.widest, doc="Area it can never exceed [m2]: that of its holes.")
    discharge = property(lambda self: self.holes.discharge, doc="Coefficient of the jet [-].")
    resistance = property(lambda self: self.holes.resistance, doc="Laminar resistance of the port holes [1/m3].")

    @property
    def perimeter(self):
        """Wetted perimeter [m] of the curtain under the rim, both walls."""
        return 2.0 * np.pi * self.seat.outer_diameter

    def area(self, pressure_drop):
        """Port holes and curtain in series [m2] at a pressure_drop [Pa]: 1/A^2 = 1/A_port^2 + 1/A_curtain^2."""
        curtain, port = np.pi * self.seat.outer_diameter * self.lift(pressure_drop), self.holes.area(pressure_drop)
        return port * curtain / np.sqrt(port**2 + curtain**2)


Path = Clearance | Hole | Needle | ShimPort
