"""A job for every adjuster: ground and outcome on which half of its usable range is noticed, found by riding."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine, adjusted
from suspedu.machine.adjusters import adjuster
from suspedu.machine.riding import ride_all
from suspedu.numerics import remembered
from suspedu.ride.outcomes import OUTCOMES
from suspedu.school.loop import LOOP, loop_ground
from suspedu.school.machines import school_machine
from suspedu.school.noticed import SHARE, STEP, noticed
from suspedu.spelling import readable
from suspedu.units import from_si

# Half of what a mechanic would use of each adjuster, about its middle, each in its own unit (common practice).
HALVES = {"preload": (5.0, 11.5), "coil_rate": (3.8, 4.2), "oil_height": (125.0, 95.0), "compression_low": (18, 6),
          "compression_high": (15, 5), "rebound": (18, 6), "tyre_pressure": (0.8, 1.2)}  # fmt: skip
SEEN = (*SHARE, *STEP)
# No adjuster's job: what hangs on a few millimetres about rest, and travel left, the deepest stroke's other name.
PASSED_OVER = {"settling", "drift", "margin"}


@dataclass(frozen=True)
class Effect:
    """What half of an adjuster's usable range does to one outcome on one ground."""

    ground: str
    outcome: str
    low: float  # SI, at the softer or lesser end of the half
    high: float  # SI
    times: float  # how many times what is noticed

    @property
    def text(self) -> str:
        """The effect in words.

        >>> Effect("log", "deepest", 0.150, 0.140, 2.0).text
        'log: deepest stroke 150 to 140 mm, 2.0 times what is noticed'
        """
        unit = OUTCOMES[self.outcome].unit
        ends = [from_si(each, unit) if unit else each for each in (self.low, self.high)]
        return (f"{self.ground}: {OUTCOMES[self.outcome].label} {ends[0]:.3g} to {readable(f'{ends[1]:.3g}', unit)}"
                + f", {self.times:.1f} times what is noticed")


@dataclass(frozen=True)
class AdjusterJob:
    """An adjuster, the half of its range that was ridden, and its effects, strongest first."""

    adjuster: str
    half: tuple[float, float]  # in the adjuster's own unit
    effects: tuple[Effect, ...]

    @property
    def best(self) -> Effect:
        """Where it is noticed most."""
        return self.effects[0]

    @property
    def unnoticed(self) -> tuple[str, ...]:
        """Grounds on which none of its effects is noticed."""
        felt = {each.ground for each in self.effects if each.times >= 1.0}
        return tuple(name for name in LOOP if name not in felt)


def at_half(machine: Machine, name: str) -> tuple[Machine, Machine]:
    """A machine at both ends of the half of an adjuster's usable range.

    >>> low, high = at_half(school_machine(), "rebound")
    >>> [each.legs[0].damper.unit.rebound.needle.clicks for each in (low, high)]
    [18, 6]
    """
    row = adjuster(name)
    values = (value if row.kind == "clicks" else row.si(value) for value in HALVES[name])
    low, high = (adjusted(machine, **{name: value}) for value in values)
    return low, high


@remembered
def jobs(machine: str = "enduro", adjusters: Sequence[str] = tuple(HALVES)) -> tuple[AdjusterJob, ...]:
    """The table of jobs of a school's machine: each adjuster's effects on every ground of the loop, by riding.

    Parameters: machine, by name; adjusters, by name.
    """
    rides = half_rides(school_machine(machine), tuple(adjusters))
    return tuple(_job(name, number, rides) for number, name in enumerate(adjusters))


@remembered
def half_rides(machine: Machine, adjusters: tuple[str, ...]) -> dict[str, list[dict]]:
    """Outcomes [SI] by ground of the loop: of the machine as it stands, then at both ends of half of each range.

    Parameters: machine, one setting; adjusters, by name. What cannot be ridden has outcomes that are nan.
    """
    settings = [machine, *(end for name in adjusters for end in at_half(machine, name))]
    none = dict.fromkeys(SEEN, np.nan)
    ridden = {ground: ride_all(settings, loop_ground(ground), names=SEEN) for ground in LOOP}
    return {ground: [none if told is None else told for told in each] for ground, each in ridden.items()}


def _job(name, number, rides) -> AdjusterJob:
    found = [_effect(ground, outcome, told[0], told[1 + 2 * number], told[2 + 2 * number])
             for ground, told in rides.items() for outcome in SEEN if outcome not in PASSED_OVER]
    known = [each for each in found if np.isfinite(each.times)]
    return AdjusterJob(name, HALVES[name], tuple(sorted(known, key=_strongest_first)))


def _strongest_first(effect: Effect) -> float:
    return -round(effect.times, 6)  # alike to rounding: the first of them, on every processor


def _effect(ground, outcome, usual, low, high) -> Effect:
    change = abs(high[outcome] - low[outcome])
    return Effect(ground, outcome, low[outcome], high[outcome], float(change / noticed(outcome, usual[outcome])))


def jobs_text(table: Sequence[AdjusterJob], most: int = 3) -> str:
    """The table of jobs as text: for each adjuster its strongest effects on different grounds, and where it is idle.

    Parameters: table; most, how many effects of each.

    >>> found = AdjusterJob("rebound", (18, 6), (Effect("log", "deepest", 0.150, 0.140, 2.0),))
    >>> print(jobs_text([found]).splitlines()[1].strip())
    log: deepest stroke 150 to 140 mm, 2.0 times what is noticed
    """
    lines = []
    for job in table:
        best = {each.ground: each for each in reversed(job.effects)}  # the strongest of each ground
        told = sorted(best.values(), key=_strongest_first)[:most]
        lines.append(f"{adjuster(job.adjuster).label}, {job.half[0]:g} to {job.half[1]:g}:")
        lines += [f"  {each.text}" for each in told]
        lines.append(f"  not noticed on: {', '.join(job.unnoticed)}" if job.unnoticed else "  noticed on every ground")
    return "\n".join(lines)
