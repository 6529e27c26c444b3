"""Machines that come to the workshop with a bad setting, or a fault that no clicker shows. All invented."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.changing import change
from suspedu.machine.statics import rider_sag
from suspedu.school.machines import school_machine
from suspedu.units import InputError

Spoil = Callable[[Machine, np.random.Generator], Machine]


def _springs_too_soft(machine: Machine, draw) -> Machine:
    """Soft coils, with the preload that brings the rider sag back to where the school wants it."""
    wanted, soft = rider_sag(machine), change(machine, "coil_rate", 1e3 * draw.uniform(3.2, 3.4))
    preloads = np.arange(0.0, 0.0301, 0.0005)
    sags = np.array([float(rider_sag(change(soft, "preload", float(p)))) for p in preloads])
    return change(soft, "preload", float(preloads[np.argmin(np.abs(sags - wanted))]))


def _little_oil(machine: Machine, draw) -> Machine:
    return change(machine, "oil_height", round(draw.uniform(0.16, 0.18), 3))


def _dry_seals(machine: Machine, draw) -> Machine:
    drag, seals = draw.uniform(85.0, 105.0), machine.legs[0].friction
    return change(machine, "seals", replace(seals, sliding=drag, stiction=1.4))


def _springs_too_stiff(machine: Machine, draw) -> Machine:
    return change(change(machine, "coil_rate", 1e3 * draw.uniform(4.9, 5.2)), "preload", 0.0)


def _hard_tyre(machine: Machine, draw) -> Machine:
    return change(machine, "tyre_pressure", 1e5 * round(draw.uniform(2.1, 2.5), 1))  # 1.6 times as hard and more


def _rebound(low: int, high: int) -> Spoil:
    return lambda machine, draw: change(machine, "rebound", int(draw.integers(low, high + 1)))


def _compression_shut(machine: Machine, draw) -> Machine:
    return change(change(machine, "compression_low", int(draw.integers(0, 2))), "compression_high",
                  int(draw.integers(0, 2)))


@dataclass(frozen=True)
class Fault:
    """What can be wrong, in words, how it is done to a sound machine, and what a workshop does about it."""

    words: str
    spoil: Spoil
    cure: str


RIGHT_SPRINGS = "Fit the springs that the rider's weight asks for; then set the preload to the sag."
FAULTS = {
    "slow-rebound": Fault("rebound too slow", _rebound(0, 2),
                          "Count the rebound clicker back out, three clicks at a time."),
    "soft-springs": Fault("springs too soft for the rider", _springs_too_soft, RIGHT_SPRINGS),
    "little-oil": Fault("too little oil", _little_oil,
                        "Set the oil height as in lesson 02, in 5 mm steps, both legs alike."),
    "dry-seals": Fault("dry or tight seals and bushings", _dry_seals, "No clicker cures it: axle and clamps straight "
                       "and relaxed, then seals and bushings, by a trained workshop."),
    "fast-rebound": Fault("rebound too fast", _rebound(23, 24), "Turn the rebound in, three clicks at a time."),
    "hard-tyre": Fault("tyre far too hard", _hard_tyre,
                       "Let the tyre down to what its maker and the ground ask for. Gauge first."),
    "shut-compression": Fault("compression nearly shut", _compression_shut,
                              "Back to the clicks of the setting sheet, then from there."),
    "stiff-springs": Fault("springs too stiff for the rider", _springs_too_stiff, RIGHT_SPRINGS),
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Case:
    """A machine as it came in, and the id of what is wrong with it."""

    number: int
    machine: Machine
    wrong: str

    @property
    def fault(self) -> Fault:
        """What is wrong with it."""
        return FAULTS[self.wrong]


def case(number: int) -> Case:
    """The case of a number: eight follow one another through all faults, each time with other sizes.

    Raises: InputError for a number that is none of 1 to 999.

    >>> case(1).wrong, case(2).wrong, case(9).wrong
    ('dry-seals', 'shut-compression', 'dry-seals')
    """
    if not (isinstance(number, int | np.integer) and 1 <= number <= 999):
        raise InputError(f"number of the case is {number!r}; allowed: 1 to 999, in whole numbers")
    wrong = list(FAULTS)[(3 * number) % len(FAULTS)]
    return Case(int(number), FAULTS[wrong].spoil(school_machine(), np.random.default_rng(number)), wrong)
