"""Lift of a stack at the port's rim against the pressure under it: what a valve needs to know of its shims."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from suspedu.numerics import remembered
from suspedu.parts.shim_stacks.complementarity import broken_line, force_rates
from suspedu.parts.shim_stacks.conforming import conforming_lift
from suspedu.parts.shim_stacks.contact import ContactStack, balance, contact_stack, deflections
from suspedu.parts.shim_stacks.shims import Port, Stack, merged
from suspedu.parts.shim_stacks.stretch import stretch_coefficient
from suspedu.units import InputError, require

BATCHES = 768  # curves of a few points each: batches of stacks, each stack with its face shim alone
STEEL = 206e9  # Pa, at which every stack is solved
PLACES = (0.0, *(2e7 / 2.0**k for k in range(8, -1, -1)))  # Pa, up to 200 bar: between them kinks are looked for


@dataclass(frozen=True, eq=False)
class LiftCurve:
    """Lift at the rim over the pressure on the shims: pieces between the points, the last one going on for ever.

    Bending alone would make every piece straight; what the shims resist by stretching comes on top:
    p = p_bending(w) + kappa w^3
    """

    pressure: np.ndarray  # [n, Pa], rising from 0
    lift: np.ndarray  # [n, m], never falling
    stiffening: float = 0.0  # kappa [Pa/m3]
    tilt: np.ndarray | None = None  # [n, -] slope of the face shim at the rim; None: level

    def __call__(self, pressure_drop):
        """Lift [same shape, m] at a pressure [any shape, Pa]; none where the pressure does not open the port.

        w + kappa m w^3 = w_straight, of which w = 2/s sinh(asinh(3 s w_straight/2)/3), s^2 = 3 kappa m
        """
        drop = np.maximum(np.asarray(pressure_drop, dtype=float), 0.0)
        piece = np.minimum(np.searchsorted(self.pressure, drop, side="right"), len(self.pressure) - 1) - 1
        rate = self.rates[piece]
        straight = self.lift[piece] + rate * (drop - self.bending[piece])
        stiff = np.sqrt(3.0 * self.stiffening * rate)
        safe = np.where(stiff > 0.0, stiff, 1.0)
        stretched = 2.0 / safe * np.sinh(np.arcsinh(1.5 * safe * straight) / 3.0)
        return np.where(rate == 0.0, self.lift[piece], np.where(stiff > 0.0, stretched, straight))

    @cached_property
    def bending(self):
        """Pressure [n, Pa] at the points that bending alone would ask for."""
        return self.pressure - self.stiffening * self.lift**3

    @property
    def straight(self) -> LiftCurve:
        """The same stack if its shims could bend but not stretch."""
        return LiftCurve(self.bending, self.lift, 0.0, self.tilt)

    @cached_property
    def rates(self):
        """Lift per pressure [n-1, m/Pa] of each straight piece, stretching aside: a jump in it is a kink."""
        return np.diff(self.lift) / np.diff(self.bending)

    def bending_pressure(self, pressure_drop):
        """Part of a pressure_drop [any shape, Pa] that the shims hold by bending [Pa]; stretching holds the rest."""
        return np.maximum(pressure_drop, 0.0) - self.stiffening * self(pressure_drop) ** 3

    def rim_slope(self, lift):
        """Slope [same shape, -] of the face shim at the rim at a lift [any shape, m]: how it opens outwards."""
        if self.tilt is None:
            return np.zeros_like(lift, dtype=float)
        last = (self.tilt[-1] - self.tilt[-2]) / (self.lift[-1] - self.lift[-2])
        return np.interp(lift, self.lift, self.tilt) + np.maximum(lift - self.lift[-1], 0.0) * last

    @property
    def crack_pressure(self) -> float:
        """Pressure [Pa] at which the stack leaves its seat: nothing unless a ring preloads it."""
        return float(self.pressure[max(int(np.argmax(self.lift > 1e-12 * self.lift[-1])) - 1, 0)])


def lift_curve(stack: Stack, port: Port, pressures=None, *, conforming: bool = False,
               stretching: bool = True) -> LiftCurve:
    """Lift of a stack at its port's rim, as the pressure under it grows.

    Plates in unilateral contact: K_k w_k = loads + contact forces, straight between the kinks where contacts change;
    then p = p_bending(w) + kappa w^3 for what they resist by stretching

    Parameters: stack; port; pressures [n, Pa, rising from 0], None for exactly the kinks; conforming, True to take
        all shims bent to one curve (stiffer than contact for a taper, and refused where there are gaps);
    stretching, False for plates that only bend.
    Returns: LiftCurve, cached per stack and port.
    Raises: InputError for a stack that does not fit its port.
    Assumes: no friction between shims, full pressure under the whole port at any lift; shapes those of bending;
    stretching as `stretch_stiffening` has it.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> three = Stack((Shim(0.020, 0.2e-3),) * 3, clamp_diameter=0.010)
    >>> round(float(lift_curve(three, Port(0.012, 0.018))(5e5)) * 1e3, 3)  # mm at 5 bar
    0.037

    Source: timoshenko-plates; cottle, section 4.5, path of contacts (printed, from memory)
    """
    steel = replace(stack, young=STEEL)  # pressures go with the modulus, lifts stay: one solution serves all
    curve = _conforming_curve(steel, port) if conforming else _contact_curve(steel, port)
    curve = _stretched(curve, steel, port) if stretching else curve
    curve = curve if stack.young == STEEL else _of_modulus(curve, stack.young / STEEL)
    if pressures is None:
        return curve
    grid = np.asarray(pressures, dtype=float)
    require("pressure of a lift curve", grid, 0.0, 1e9, "bar")
    if grid.size < 2 or grid[0] != 0.0 or np.any(np.diff(grid) <= 0):
        raise InputError("pressures of a lift curve must rise from 0, at least two of them")
    return LiftCurve(grid.copy(), curve(grid))


def _of_modulus(curve: LiftCurve, share: float) -> LiftCurve:
    return LiftCurve(share * curve.pressure, curve.lift, share * curve.stiffening, curve.tilt)


def _conforming_curve(stack: Stack, port: Port) -> LiftCurve:
    straight = np.array([0.0, 1e5])
    return LiftCurve(straight, conforming_lift(straight, stack, port))


def _stretched(curve: LiftCurve, stack: Stack, port: Port) -> LiftCurve:
    kappa = stretch_stiffening(stack, port)
    return LiftCurve(curve.pressure + kappa * curve.lift**3, curve.lift, kappa, curve.tilt)


@remembered(size=BATCHES)
def stretch_stiffening(stack: Stack, port: Port) -> float:
    """How much pressure the shims of a stack resist by stretching: kappa in p = p_bending(w) + kappa w^3.

    kappa = c / (t_1^2 s_1) sum (t_i / t_1) a_i^5, c of `stretch_coefficient` and s_1, lift per pascal, of the face
    shim alone; a_i, free span of shim i over that to the rim, is 1 at most and never more than that of a shim before it

    Parameters: stack; port. Returns: kappa [Pa/m3].
    Assumes: exact for one shim and for equal ones. The clamp holds the steel halfway between not at all and wholly:
    c is the mean of the two (guess of the course). Shims that end short of the rim bend along one curve with the
    others: its slope grows with the span, so their energy of stretching with the fifth power of it. Shims behind
    a smaller one follow the others that far only (beyond it there is a gap). Rings do not bend.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> one, two = (Stack((Shim(0.019, 1.5e-4),) * n, clamp_diameter=0.009) for n in (1, 2))
    >>> port = Port(0.011, 0.017)
    >>> round(stretch_stiffening(two, port) / stretch_stiffening(one, port), 9)
    2.0
    """
    stack, port = merged(stack, port)
    face, bore, rim = stack.shims[0], stack.clamp_diameter / 2, port.outer_diameter / 2
    clamped = [shim for shim in stack.shims if not shim.inner_diameter]
    reach = np.minimum.accumulate([min(shim.diameter / 2, rim) for shim in clamped])
    load = port.inner_diameter / 2, rim
    held = [stretch_coefficient(bore, face.diameter / 2, load, stack.poisson, bore_held) for bore_held in (True, False)]
    alone = float(_contact_curve(replace(stack, shims=(face,)), port).rates[0])
    shares = ((reach - bore) / (rim - bore)) ** 5 * [shim.thickness for shim in clamped]
    return float(sum(held) / 2 / alone / face.thickness**3 * shares.sum())


@remembered(size=BATCHES)
def _contact_curve(stack: Stack, port: Port) -> LiftCurve:
    problem = contact_stack(stack, port)
    places = PLACES if problem.slack.any() else (0.0, PLACES[-1])  # without gaps, twice the load lifts twice as far
    load, lift = broken_line(_LiftAndRate(problem), places)
    tilt = np.array([_tilt(problem, pressure, port) for pressure in load])
    return LiftCurve(load, np.maximum.accumulate(np.maximum(lift, 0.0)), 0.0, tilt)


def _tilt(problem: ContactStack, pressure: float, port: Port) -> float:
    rim = int(np.argmin(np.abs(problem.radii - port.outer_diameter / 2)))
    return float(deflections(problem, balance(problem, pressure), pressure)[0][2 * rim + 1])


@dataclass
class _LiftAndRate:
    """Lift at the rim, which is the slack of the seat, and its slope; remembers which places touched last time."""

    problem: ContactStack
    touching: np.ndarray | None = None

    def __call__(self, pressure: float) -> tuple[float, float]:
        force = balance(self.problem, pressure, guess=self.touching)
        seat, own = self.problem.compliance[-1], self.problem.slack_rates[:, 0]
        if pressure == 0.0:  # without gaps nothing touches yet: the first slope is that of the slightest pressure
            return float(seat @ force), self(1e2)[1]
        self.touching = force > 0
        rate = force_rates(self.problem.compliance, own, self.touching)
        return float(seat @ force + own[-1] * pressure), float(seat @ rate + own[-1])
