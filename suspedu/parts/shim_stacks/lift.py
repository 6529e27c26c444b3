"""Lift of a stack at the port's rim against the pressure under it: what a valve needs to know of its shims."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.numerics import remembered
from suspedu.parts.shim_stacks.complementarity import broken_line, force_rates
from suspedu.parts.shim_stacks.conforming import conforming_lift
from suspedu.parts.shim_stacks.contact import ContactStack, balance, contact_stack
from suspedu.parts.shim_stacks.shims import Port, Stack
from suspedu.units import InputError, require

PLACES = (0.0, *(2e7 / 2.0**k for k in range(8, -1, -1)))  # Pa, up to 200 bar: between them kinks are looked for


@dataclass(frozen=True, eq=False)
class LiftCurve:
    """Lift at the rim over the pressure drop: straight pieces between the points, the last one going on for ever."""

    pressure: np.ndarray  # [n, Pa], rising from 0
    lift: np.ndarray  # [n, m], never falling

    def __call__(self, pressure_drop):
        """Lift [same shape, m] at a pressure drop [any shape, Pa]; none where the pressure does not open the port."""
        drop = np.maximum(np.asarray(pressure_drop, dtype=float), 0.0)
        beyond = np.maximum(drop - self.pressure[-1], 0.0)
        return np.interp(drop, self.pressure, self.lift) + beyond * self.rates[-1]

    @property
    def rates(self):
        """Lift per pressure [n-1, m/Pa] of each straight piece: a jump in it is a kink."""
        return np.diff(self.lift) / np.diff(self.pressure)

    @property
    def crack_pressure(self) -> float:
        """Pressure [Pa] at which the stack leaves its seat: nothing unless a ring preloads it."""
        return float(self.pressure[max(int(np.argmax(self.lift > 1e-12 * self.lift[-1])) - 1, 0)])


def lift_curve(stack: Stack, port: Port, pressures=None, *, conforming: bool = False) -> LiftCurve:
    """Lift of a stack at its port's rim, as the pressure under it grows.

    Plates in unilateral contact: K_k w_k = loads + contact forces, straight between the kinks where contacts change

    Parameters: stack; port; pressures [n, Pa, rising from 0], None for exactly the kinks; conforming, True to take
        all shims bent to one curve (stiffer than contact for a taper, and refused where there are gaps).
    Returns: LiftCurve, cached per stack and port.
    Raises: InputError for a stack that does not fit its port.
    Assumes: small deflections, no friction between shims, full pressure under the whole port at any lift.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> three = Stack((Shim(0.020, 0.2e-3),) * 3, clamp_diameter=0.010)
    >>> round(float(lift_curve(three, Port(0.012, 0.018))(5e5)) * 1e3, 3)  # mm at 5 bar
    0.037

    Source: timoshenko-plates; cottle, section 4.5, path of contacts (printed, from memory)
    """
    straight = np.array([0.0, 1e5])
    curve = LiftCurve(straight, conforming_lift(straight, stack, port)) if conforming else _contact_curve(stack, port)
    if pressures is None:
        return curve
    grid = np.asarray(pressures, dtype=float)
    require("pressure of a lift curve", grid, 0.0, 1e9, "bar")
    if grid.size < 2 or grid[0] != 0.0 or np.any(np.diff(grid) <= 0):
        raise InputError("pressures of a lift curve must rise from 0, at least two of them")
    return LiftCurve(grid.copy(), curve(grid))


@remembered
def _contact_curve(stack: Stack, port: Port) -> LiftCurve:
    problem = contact_stack(stack, port)
    places = PLACES if problem.slack.any() else (0.0, PLACES[-1])  # without gaps, twice the load lifts twice as far
    load, lift = broken_line(_LiftAndRate(problem), places)
    return LiftCurve(load, np.maximum.accumulate(np.maximum(lift, 0.0)))


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
