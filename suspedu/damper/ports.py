"""Ports under shims: holes, a pocket, the seat land that the shims lift off, and what holds them shut.

Oil drops pressure in the holes first; what is left in the pocket, and the jet that turns there, lift the shims.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from suspedu.damper.fluid import Fluid
from suspedu.damper.holding import Float, PreloadAdjuster
from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.numerics import bracketed_root, remembered
from suspedu.parts.restrictions import orifice_drop
from suspedu.parts.shim_stacks import LiftCurve, Port, Stack, lift_curve
from suspedu.units import InputError, check_fields, part, quantity

PRESSURES = np.geomspace(1e-8, 1e12, 321)  # Pa on the shims, between which the root for a pressure drop is looked for
LAND = 0.4e-3  # m; nobody prints it: 0.2 to 0.5 mm is what lapped seats look like (guess of the course)


@dataclass(frozen=True)
class March:
    """A port at given pressures on its shims: arrays of one shape."""

    on_shims: np.ndarray  # Pa: the pocket's pressure and what the turning jet adds
    flow: np.ndarray  # m3/s
    pocket: np.ndarray  # Pa
    drop: np.ndarray  # Pa, holes included


@part
class ShimPort:
    """Port holes, a pocket, and a seat land closed by a shim stack (or by a plain plate with float: a check valve).

    Assumes: pressure falls evenly over the seat land, so that half of it counts as pocket; the lift is that over the
    middle of the land; the adjuster spring is soft against the stack, so that its force stays that of the shut stack.
    """

    name: str
    holes: Hole
    seat: Port
    stack: Stack | None = None
    crack: float = quantity("bar", 0, 60, "crack pressure of the shims", default=0.0)
    floating: Float | None = None
    adjuster: PreloadAdjuster | None = None
    land: float = quantity("mm", 0, 2, "width of the seat land", default=LAND)
    kind = "port"

    def __post_init__(self):
        check_fields(self)
        if self.stack is None and self.floating is None:
            raise InputError(f"port '{self.name}' has neither a stack nor a float: nothing could open it")

    @property
    def covered_land(self):
        """Width of the land that the shims really cover [m]: less than the land under a face shim that is short."""
        if self.stack is None:
            return self.land
        return min(self.land, max((self.stack.shims[0].diameter - self.seat.outer_diameter) / 2.0, 0.0))

    @property
    def pressed(self) -> Port:
        """The annulus that pressure works on: the pocket and half of the covered land. Lifts are read at its rim."""
        return Port(self.seat.inner_diameter, self.seat.outer_diameter + self.covered_land)

    @cached_property
    def curve(self) -> LiftCurve | None:
        """Lift of the stack over the pressure on it, or nothing without a stack; kept, since every law asks for it."""
        return lift_curve(self.stack, self.pressed) if self.stack else None

    @cached_property
    def face_area(self):
        """Area of the stack that the port's pressure acts on [m2]."""
        return np.pi / 4.0 * (self.pressed.outer_diameter**2 - self.pressed.inner_diameter**2)

    @cached_property
    def opening(self):
        """Pressure drop at which the float, or the stack, first leaves its seat [Pa]; until then no oil flows."""
        held = self.adjuster.force if self.adjuster else 0.0
        return (held + self.floating.preload) / self.face_area if self.floating else self.bending

    @cached_property
    def bending(self):
        """Pressure on the shims at which float and the stack's own preload are used up and it begins to bend [Pa]."""
        return self._loaded + (self.curve.crack_pressure if self.curve else 0.0)

    @cached_property
    def _loaded(self):
        """Pressure on the shims above which the stack's lift curve begins to count [Pa]."""
        held = self.adjuster.force if self.adjuster else 0.0
        floated = self.floating.preload + self.floating.rate * self.floating.gap if self.floating else 0.0
        return self.crack + (held + floated) / self.face_area

    @property
    def kinks(self) -> list[float]:
        """Pressures on the shims at which the lift turns a corner [Pa]."""
        bends = [] if self.curve is None else list(self._loaded + self.curve.pressure)
        return [self.opening, self.bending, self._loaded, *bends]

    def lift(self, pressure):
        """Lift of the shims over the middle of the land [m] at a pressure on them [Pa]: float first, then bending."""
        return self.bent(pressure) + self._afloat(pressure)

    def bent(self, pressure):
        """Part of the lift [m] that is bending, at a pressure on the shims [Pa]."""
        return self.curve(pressure - self._loaded) if self.curve else np.zeros_like(pressure, dtype=float)

    def bending_pressure(self, pressure):
        """What bends the stack [Pa] of a pressure on the shims [Pa]: less what the float, the adjuster or a crack hold.
        """
        return np.maximum(pressure - self._loaded, 0.0)

    def _afloat(self, pressure):
        if self.floating is None:
            return 0.0
        risen = (pressure - self.opening) * self.face_area / self.floating.rate
        return np.clip(risen, 0.0, self.floating.gap)

    widest = property(lambda self: self.holes.widest, doc="Area it can never exceed [m2]: that of its holes.")
    discharge = property(lambda self: self.holes.discharge, doc="Coefficient of the jet [-].")
    resistance = property(lambda self: self.holes.resistance, doc="Laminar resistance of the port holes [1/m3].")

    @property
    def perimeter(self):
        """Wetted perimeter [m] of the curtain under the rim, both walls."""
        return 2.0 * np.pi * self.seat.outer_diameter

    def area(self, pressure):
        """Port holes and curtain in series [m2] at a pressure on the shims [Pa]: 1/A^2 = 1/A_holes^2 + 1/A_curtain^2.
        """
        curtain, port = np.pi * self.seat.outer_diameter * self.lift(pressure), self.holes.area(pressure)
        return port * curtain / np.sqrt(port**2 + curtain**2)

    def flow(self, pressure_drop, fluid: Fluid):
        """Flow [same shape, m3/s] at a pressure_drop [any shape, Pa] of a fluid, holes included."""
        return self.march(pressure_drop, fluid).flow

    def march(self, pressure_drop, fluid: Fluid) -> March:
        """All that happens in the port at a pressure_drop [any shape, Pa]: the root of `marched` along the shims' own.

        Raises: nothing; a shut port carries its drop to the shims whole.
        """
        drop = np.asarray(pressure_drop, dtype=float)
        on_shims, moving = np.array(drop), drop > max(self.opening, PRESSURES[0])
        if moving.any():
            on_shims[moving] = _on_shims(drop[moving], self, fluid)
        found = marched(on_shims, self, fluid)
        return March(on_shims, found.flow, found.pocket, drop)


def marched(on_shims, port: ShimPort, fluid: Fluid) -> March:
    """Flow and pressures of a port, step by step from the pressure that lifts its shims: all explicit, all rising.

    p_e = p_pocket + c Q^2, c = rho/(A_holes A_pocket), lifts the shims by y. Under them p_pocket = R mu Q + b Q^2,
    R = 12 L g/(P y^3) + 32/(pi y^2 P), b = rho/2/(Cd P y)^2, so Q is the root of a quadratic.
    Then p = p_pocket + holes(Q)

    Parameters: on_shims p_e [any shape, Pa]; port; fluid.
    Returns: `March`.
    Assumes: the jet of the holes hits the shims and leaves sideways; the land's gap opens evenly outwards with the
    slope of the face shim, g = (y^2/(y_inner y_outer))^2; creeping loss of the slit's ends adds to that of its walls.

    >>> from suspedu.damper import stock_damper
    >>> port, oil = stock_damper("closed cartridge").base.ports[0], Fluid(850.0, 0.012)
    >>> at = marched(np.array([1e5, 10e5]), port, oil)
    >>> (at.drop / 1e5).round(2).tolist(), (at.flow * 1e6).round(2).tolist()  # bar, cm3/s
    ([1.0, 36.1], [0.01, 113.97])

    Source: merritt, section 3-1 to 3-4; dagan-1982, walls and ends in series (printed, from memory)
    """
    on_shims = np.array(on_shims, dtype=float)  # the answer's own, not the caller's
    round_, conductance = np.pi * port.seat.outer_diameter, port.discharge * port.widest
    bent = port.bent(on_shims)
    lift = bent + port._afloat(on_shims)
    turned = _turned_jet(port, fluid)
    # R, b and c times lift cubed, squared twice: a shut port then divides nothing by nothing
    walls = fluid.viscosity / round_ * (12.0 * port.covered_land * _opens_outwards(bent, lift, port)
                                        + 32.0 / np.pi * lift)
    jets = lift**4 * fluid.density / 2.0 / (port.discharge * round_) ** 2 + turned * lift**6
    below = walls + np.sqrt(walls**2 + 4.0 * jets * np.maximum(on_shims, 0.0))
    flow = 2.0 * on_shims * lift**3 / np.where(below > 0.0, below, 1.0)
    pocket = on_shims - turned * flow**2
    holes = orifice_drop(flow, 1.0, fluid.density, viscosity=fluid.viscosity, resistance=port.resistance,
                         discharge=conductance)
    return March(on_shims, flow, pocket, pocket + holes)


def _turned_jet(port: ShimPort, fluid: Fluid) -> float:
    """Coefficient c [Pa s2/m6] of the push that the turning jet gives: no more than the holes took for its speed."""
    holes = port.widest
    return fluid.density / (holes * max(port.face_area, holes, 2.0 * port.discharge**2 * holes))


def _opens_outwards(bent, lift, port: ShimPort):
    """How the land's wall resistance differs from that of an even gap as high as in its middle [-]: about 1.01.

    g = 1/L int (y/y(r))^3 dr of a gap that opens in a straight line
    """
    if port.curve is None:
        return np.ones_like(lift)
    rise = np.abs(port.curve.rim_slope(bent)) * port.covered_land / 2.0
    share = np.minimum(rise / np.where(lift > 0.0, lift, 1.0), 0.5)  # a dished shim that just parts is no wedge
    return 1.0 / (1.0 - share**2) ** 2


def _on_shims(drop, port: ShimPort, fluid: Fluid):
    """Root of p(p_e) = drop, within a bracket of a remembered march."""
    marks = _march_marks(port, fluid)
    right = np.clip(np.searchsorted(marks.drop, drop), 1, len(marks.drop) - 1)
    left = right - 1

    def excess(log_pressure):
        return np.log(marched(np.exp(log_pressure), port, fluid).drop / drop)

    return np.exp(bracketed_root(excess, np.log(marks.on_shims[left]), np.log(marks.on_shims[right]),
                                 ends=(np.log(marks.drop[left] / drop), np.log(marks.drop[right] / drop))))


@remembered(size=512)
def _march_marks(port: ShimPort, fluid: Fluid) -> March:
    """The port on a grid of pressures on its shims that holds every kink."""
    inside = [kink for kink in port.kinks if PRESSURES[0] < kink < PRESSURES[-1]]
    found = marched(np.unique(np.concatenate([PRESSURES, inside])), port, fluid)
    return March(found.on_shims, found.flow, found.pocket, np.maximum.accumulate(found.drop))


Path = Clearance | Hole | Needle | ShimPort
