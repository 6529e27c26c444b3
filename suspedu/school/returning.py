"""A fork of the school that is let go, and one that bump after bump pulls down: times, and what a rider would say."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine, hanging_stroke, sag_band
from suspedu.machine.coming_back import (
    PHASES,
    SPEEDS,
    damping_of,
    fastest_return,
    let_go,
    mean_stroke,
    pull,
    rebound_damping_ratio,
    rest_stroke,
    time_constant,
)
from suspedu.school.tables import Tabulated

SHOWN = 1.2  # s that are watched
RIDDEN = np.linspace(2.0, 16.0, 29)  # m/s of the machine
BOBS, SETTLES = 5e-3, 1e-3  # m past rest (guesses of the course)
QUICK = 0.6  # s for nine tenths of the way (guess of the course)
HARDLY = 1e-3  # m that nobody notices


@dataclass(frozen=True, eq=False)
class LettingGo:
    """A fork let go from a depth: its way back, and what it comes to."""

    stroke: Tabulated  # m over s
    rest: float  # m where it comes to rest
    fastest: float  # m/s out, the most
    fastest_at: tuple[float, float]  # s, m where it is that fast
    rises: bool  # whether it was let go from below its rest
    back: float | None  # s for nine tenths of the way; None if longer than SHOWN, or if it does not rise
    held: tuple[float, float]  # m, shortest and longest stroke at which friction may hold a chassis
    over: float  # m that it swings past its rest; 0 if it does not rise
    damping: Tabulated  # N, both legs, over the speed of coming back [m/s]
    ratio: float  # damping ratio of the chassis
    constant: float  # s, time constant on the spring

    @property
    def manner(self) -> str:
        """How a chassis comes up: "bobs", "settles", "stays", "creeps" or "held"; "sinks", let go from above its rest.

        It is held if, when one that does not creep is back, it is as near its rest as friction lets it come.
        """
        if not self.rises:
            return "sinks"
        if self.over > BOBS:
            return "bobs"
        if self.over > SETTLES:
            return "settles"
        if self.back is not None and self.back < QUICK:
            return "stays"
        return "held" if self.stroke.at(QUICK) <= self.held[1] else "creeps"


def letting_go(machine: Machine, depth: float, body: bool) -> LettingGo:
    """Let a machine's fork go from a depth [m]: the chassis rises (body) or the wheel drops.

    >>> from suspedu.school.machines import set_machine
    >>> done = letting_go(set_machine(), 0.18, True)
    >>> round(done.back, 2), done.manner
    (0.19, 'settles')
    """
    motion, rest = let_go(depth, machine, body), rest_stroke(machine) if body else 0.0
    rises = depth > rest
    arrived = rises & (motion.stroke <= rest + 0.1 * (depth - rest))
    fastest, slow = int(np.argmin(motion.velocity)), SPEEDS <= 0.0
    return LettingGo(
        Tabulated(motion.time, motion.stroke), rest, max(0.0, -float(motion.velocity.min())),
        (float(motion.time[fastest]), float(motion.stroke[fastest])),
        rises, float(motion.time[np.argmax(arrived)]) if arrived.any() else None,
        tuple(float(hanging_stroke(machine) + sag) for sag in sag_band(machine)),
        max(rest - float(motion.stroke.min()), 0.0) if rises else 0.0,
        Tabulated(-SPEEDS[slow][::-1], -damping_of(machine)[slow][::-1]), rebound_damping_ratio(machine),
        time_constant(machine))


@dataclass(frozen=True, eq=False)
class PullingDown:
    """A fork that works by a height at every bump: where it settles, and whether the wheel can follow."""

    half: float  # m, half of that height
    rest: float  # m
    mean: float  # m, mean stroke
    pulled: float  # N, mean damping force
    asked: float  # m/s that the bumps ask for
    going_in: float  # N, mean damping force over the way in
    coming_out: float  # N, over the way out
    evens: float | None  # m/s from which rebound is the stronger at these clicks; None if it never is
    can: float  # m/s that the springs can do
    left: float  # m of travel at the deepest
    over_speed: Tabulated  # m of mean stroke over the machine's speed [m/s]

    @property
    def sunk(self) -> float:
        """How much lower than at rest it rides [m]."""
        return self.mean - self.rest

    @property
    def manner(self) -> str:
        """Where it rides: "lower", "level" or "higher"."""
        return "lower" if self.sunk >= HARDLY else "level" if self.sunk > -HARDLY else "higher"

    @property
    def keeps_up(self) -> bool:
        """Whether the springs bring the wheel back in time."""
        return self.can >= self.asked


def pulling_down(machine: Machine, height: float, spacing: float, speed: float) -> PullingDown:
    """A machine whose fork works by a height [m] at bumps a spacing [m] apart, ridden at a speed [m/s].

    >>> from suspedu.school.machines import set_machine
    >>> done = pulling_down(set_machine(rebound=2), 0.06, 3.0, 10.0)
    >>> done.manner, round(done.sunk * 1e3)
    ('lower', 16)
    """
    half = height / 2
    lows = mean_stroke(half, pull(_peak(RIDDEN, spacing, half), machine), machine)
    peak = _peak(speed, spacing, half)
    pulled = float(pull(peak, machine))
    low = float(mean_stroke(half, pulled, machine))
    ways, leads = mean_ways(peak, machine), rebound_leads_from(machine)
    return PullingDown(half, rest_stroke(machine), low, pulled, peak, *ways, leads, float(fastest_return(low, machine)),
                       machine.travel - (low + half), Tabulated(RIDDEN, lows))


def mean_ways(peak: float, machine: Machine) -> tuple[float, float]:
    """Mean damping force [N] over the way in and over the way out of a sine of stroke, peak its fastest [m/s].

    Half of the one less half of the other is the mean force over the bump, `pull`.

    >>> from suspedu.school.machines import set_machine
    >>> [[round(force) for force in mean_ways(peak, set_machine())] for peak in (0.05, 0.5)]
    [[52, 30], [193, 348]]
    """
    speeds = peak * np.cos(PHASES)
    forces = np.interp(speeds, SPEEDS, damping_of(machine))
    return 2.0 * float(np.maximum(forces, 0.0).mean()), 2.0 * float(np.maximum(-forces, 0.0).mean())


def rebound_leads_from(machine: Machine) -> float | None:
    """Speed [m/s] from which rebound damps more than compression, going up from rest; None if it never does.

    >>> from suspedu.school.machines import set_machine
    >>> round(rebound_leads_from(set_machine()), 3), rebound_leads_from(set_machine(rebound=0))
    (0.076, 0.0)
    """
    still, forces = len(SPEEDS) // 2, damping_of(machine)
    speeds, lead = SPEEDS[still + 1:], -forces[:still][::-1] - forces[still + 1:]
    if not (lead >= 0.0).any():
        return None
    first = int(np.argmax(lead >= 0.0))
    if first == 0:
        return 0.0
    return float(np.interp(0.0, lead[first - 1:first + 1], speeds[first - 1:first + 1]))


def _peak(speed, spacing, half):
    """Fastest of a sine of stroke over bumps [m/s]."""
    return 2.0 * np.pi * speed / spacing * half
