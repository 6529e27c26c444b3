"""Revalving: from a curve that is wanted to a stack of shims that are sold, and what no stack can reach."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.changes import changed
from suspedu.machine import Machine, adjuster, damped_leg, explained_leg, refitted, setting
from suspedu.numerics import remembered
from suspedu.parts.shim_stacks import Stack, bent_stack
from suspedu.school.machines import school_machine
from suspedu.units import InputError, nearest, require
from suspedu.upgrade.shims_sold import DRAWER, Drawer, by_stiffness

MIDDLE = 0.15  # m of stroke at which curves are read: damping does not depend on it
SPEEDS = np.geomspace(0.05, 2.0, 33)  # m/s
SLOW, QUICK = 0.05, 0.25  # m/s below and above which a target has its ends
STACKS = {"compression_low_stack": 1.0, "compression_high_stack": 1.0, "mid_stack": 1.0, "rebound_stack": -1.0}
TRIED, WITHIN = 14, 0.10  # stacks around the best that are solved; share that counts as reached (guess of the course)


@dataclass(frozen=True)
class Target:
    """What a stack's damping should become: shares of what it is, at slow and at quick movements.

    All of `slow` below 0.05 m/s, all of `quick` above 0.25 m/s, even on a scale of the logarithm between.
    """

    stack: str  # an adjuster of the table, one of STACKS
    slow: float  # of the present force [-]
    quick: float

    def __post_init__(self):
        if self.stack not in STACKS:
            known = ", ".join(STACKS)
            raise InputError(f"'{self.stack}' is no stack{nearest(self.stack, STACKS)}; there are: {known}")
        for name in ("slow", "quick"):
            require(f"wanted share of the force at {name} movements", getattr(self, name), 0.3, 3.0, "",
                    "1 leaves it as it is")

    def share(self, speed):
        """Wanted force over the present one [same shape, -] at a speed [any shape, m/s]."""
        part = np.clip(np.log(np.asarray(speed, dtype=float) / SLOW) / math.log(QUICK / SLOW), 0.0, 1.0)
        return self.slow + (self.quick - self.slow) * part


@dataclass(frozen=True, eq=False)
class Proposal:
    """A stack for a target: what it gives over SPEEDS, and within which share of the wanted force it stays."""

    target: Target
    before: Stack
    stack: Stack
    now: np.ndarray  # N of one leg at present
    wanted: np.ndarray
    given: np.ndarray
    least: np.ndarray  # of all stacks of the drawer
    most: np.ndarray
    says: float  # share of the wanted force that it stays within at all these speeds, rounded up to a percent [-]
    stress: float  # highest bending stress over the fatigue limit at the quickest of SPEEDS [-]
    stress_before: float

    @property
    def misses(self) -> np.ndarray:
        """Given over wanted force, less one [-]."""
        return self.given / self.wanted - 1.0

    @property
    def reached(self) -> bool:
        """Whether the target is met within a tenth at all speeds."""
        return self.says <= WITHIN

    @property
    def missed(self) -> tuple[float, float] | None:
        """Slowest and quickest of the speeds at which it misses by more than that [m/s]; None where there is none."""
        return _ends(np.abs(self.misses) > WITHIN)

    @property
    def beyond(self) -> tuple[float, float] | None:
        """Slowest and quickest of the speeds at which no stack of the drawer comes within a tenth [m/s], or None."""
        return _ends((self.wanted * (1.0 + WITHIN) < self.least) | (self.wanted * (1.0 - WITHIN) > self.most))


def _ends(which: np.ndarray) -> tuple[float, float] | None:
    return (float(SPEEDS[which][0]), float(SPEEDS[which][-1])) if which.any() else None


def stack_curve(machine: Machine, stack: str, speeds=SPEEDS) -> np.ndarray:
    """Damping force of one leg on the side of a stack.

    Parameters: machine; stack, an adjuster's name; speeds [n, m/s]. Returns: force [n, N], above zero.

    >>> from suspedu.machine import load
    >>> stack_curve(load("enduro"), "rebound_stack", np.array([0.1, 1.0])).round(-1).tolist()
    [70.0, 450.0]
    """
    side = STACKS[stack]
    return side * damped_leg(machine.legs[0], MIDDLE, side * np.asarray(speeds, dtype=float)).damping_force


def with_stack(machine: Machine, name: str, stack: Stack) -> Machine:
    """The machine with another stack in both legs.

    Parameters: machine; name of the adjuster; stack.
    """
    return changed(machine, adjuster(name).place, stack)


def proposed(machine: Machine, target: Target, drawer: Drawer = DRAWER,
             progress: Callable[[int, int], None] | None = None) -> Proposal:
    """The stack of shims that are sold which comes nearest to a target.

    Candidates are ordered by the simple law of stacks; halving finds the stiffness, and the stacks around it are solved
    as plates in contact.

    Parameters: machine, as it stands; target; drawer; progress(done, about how many).
    Raises: InputError for a machine that has no such stack.
    """
    before = setting(machine, target.stack)
    now = stack_curve(machine, target.stack)
    wanted, row = now * target.share(SPEEDS), by_stiffness(before, _port(machine, target.stack).pressed, drawer)
    tried: dict[int, np.ndarray] = {}

    def given(place: int) -> np.ndarray:
        if place not in tried:
            tried[place] = stack_curve(with_stack(machine, target.stack, row[place]), target.stack)
            if progress:
                progress(len(tried), TRIED + math.ceil(math.log2(len(row))))
        return tried[place]

    middle = _halved(given, wanted, len(row))
    around = range(max(middle - TRIED // 2, 0), min(middle + TRIED // 2 + 1, len(row)))
    best = min(around, key=lambda place: float(np.abs(given(place) / wanted - 1.0).max()))
    curves = now, wanted, given(best), *_ends_of_drawer([given(place) for place in (0, len(row) - 1, *around)])
    return _proposal(machine, target, (before, row[best]), curves)


def _ends_of_drawer(curves: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Least and most force of the softest, the stiffest and all stacks that were solved."""
    return np.min(curves, axis=0), np.max(curves, axis=0)


def _halved(given: Callable[[int], np.ndarray], wanted: np.ndarray, count: int) -> int:
    """Place of the first stack, softest first, that gives as much as wanted where it is quick."""
    low, high, quick = 0, count - 1, SPEEDS >= 0.5
    while low < high:
        middle = (low + high) // 2
        enough = np.mean(given(middle)[quick] / wanted[quick]) >= 1.0
        low, high = (low, middle) if enough else (middle + 1, high)
    return low


def _proposal(machine: Machine, target: Target, stacks: tuple[Stack, Stack], curves) -> Proposal:
    _, wanted, given, *_ = curves
    says = math.ceil(100.0 * float(np.abs(given / wanted - 1.0).max()) - 1e-9) / 100.0
    before, after = (_stress(with_stack(machine, target.stack, each), target.stack) for each in stacks)
    return Proposal(target, *stacks, *curves, says, after, before)


def _port(machine: Machine, name: str):
    """The port that a stack lies on."""
    valve, wanted = name_of_valve(name), machine.legs[0].damper
    if wanted is None or not getattr(wanted.unit, valve[0]).ports:
        raise InputError(f"this machine's dampers have no {adjuster(name).short}")
    ports = {port.name: port for port in getattr(wanted.unit, valve[0]).ports}
    return ports[valve[1]]


def name_of_valve(name: str) -> tuple[str, str]:
    """Valve and port of a stack by its adjuster.

    >>> name_of_valve("compression_low_stack")
    ('base', 'low-speed')
    """
    way = adjuster(name).in_damper.split(".")
    return way[0], way[2]


def _stress(machine: Machine, name: str) -> float:
    """Share of the fatigue limit that a stack bears at the quickest of SPEEDS."""
    port = _port(machine, name)
    valve, path = name_of_valve(name)
    point = explained_leg(machine.legs[0], MIDDLE, STACKS[name] * SPEEDS[-1])
    held = port.bending_pressure(point.valves[valve].paths[path].on_shims)
    return float(bent_stack(port.stack, port.pressed, float(held)).fatigue_share)


@remembered
def _open_cartridge() -> Machine:
    return refitted(school_machine(), "open cartridge")


def for_open_cartridge(target: Target) -> Proposal:
    """The proposal for a target on the school's enduro with open cartridges.

    Parameters: target.
    """
    return proposal_of(_open_cartridge(), target)


@remembered(size=64)
def proposal_of(machine: Machine, target: Target) -> Proposal:
    """`proposed` from the course's drawer, remembered."""
    return proposed(machine, target)
