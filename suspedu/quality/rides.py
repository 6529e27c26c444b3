"""A batch on the trail: what its spread does to what a rider feels, in steps that are noticed."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from suspedu.machine.model import Leg, Machine
from suspedu.machine.riding import ride_all
from suspedu.numerics import remembered
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.loop import loop_ground
from suspedu.school.noticed import noticed

FELT = ("harsh-on-chop", "rides-low", "packs")  # what a spread of rebound moves most


@remembered(size=256)
def felt_by(machine: Machine, leg: Leg) -> dict[str, float]:
    """How a machine with such a leg on both sides differs from itself as on paper, in steps that a rider notices [-].

    Parameters: machine as on paper; leg of a batch.
    Returns: by complaint, above zero where the rider has more to complain about.
    Assumes: a workshop pairs legs by their force, so both sides are alike (common practice, no source).

    >>> from suspedu.machine import load
    >>> felt_by(load("enduro"), load("enduro").legs[0])
    {'harsh-on-chop': 0.0, 'rides-low': 0.0, 'packs': 0.0}
    """
    return ridden_batch(machine, (leg,))[0]


def ridden_batch(machine: Machine, legs: Sequence[Leg]) -> list[dict[str, float]]:
    """`felt_by` for many legs at once, on all cores.

    Parameters: machine as on paper; legs, any number.

    >>> from suspedu.machine import load
    >>> from suspedu.quality.tolerances import drawn_legs, usual_tolerances
    >>> enduro = load("enduro")
    >>> batch = drawn_legs(enduro.legs[0], usual_tolerances(enduro.legs[0], shims=0.0), 2, seed=1)
    >>> [max(abs(each) for each in one.values()) < 0.1 for one in ridden_batch(enduro, batch)]
    [True, True]
    """
    machines = [machine, *(dataclasses.replace(machine, legs=(leg,)) for leg in legs)]
    found: list[dict[str, float]] = [{} for _ in machines]
    for ground in dict.fromkeys(COMPLAINTS[name].ground for name in FELT):
        asked = [name for name in FELT if COMPLAINTS[name].ground == ground]
        told = ride_all(machines, loop_ground(ground), names=[COMPLAINTS[name].outcome for name in asked])
        for kept, outcome in zip(found, told, strict=True):
            kept.update({name: outcome[COMPLAINTS[name].outcome] for name in asked})
    return [_steps(one, found[0]) for one in found[1:]]


def _steps(now: dict[str, float], usual: dict[str, float]) -> dict[str, float]:
    wrongs = {name: COMPLAINTS[name] for name in now}
    return {name: -float(wrong.gain(now[name] - usual[name])) / noticed(wrong.outcome, usual[name]) + 0.0
            for name, wrong in wrongs.items()}


def furthest_felt(machine: Machine, legs: Sequence[Leg]) -> float:
    """The most that any complaint differs between two of these legs, in steps that a rider notices [-].

    Parameters: machine; legs, two at least.

    >>> from suspedu.machine import load
    >>> furthest_felt(load("enduro"), load("enduro").legs * 2)
    0.0
    """
    told = [felt_by(machine, leg) for leg in legs]
    return float(max(np.ptp([one[name] for one in told]) for name in FELT))
