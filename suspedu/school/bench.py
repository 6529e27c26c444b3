"""The bench: one machine at one setting, its curves and a ride of it, and what a rider would notice of a change."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from suspedu.damper import opening_speeds
from suspedu.machine import Leg, Machine
from suspedu.machine.cautions import pressure_caution
from suspedu.machine.damping import NO_DAMPER
from suspedu.machine.forces import Split, force_split
from suspedu.machine.riding import fork_law
from suspedu.machine.statics import fork_load, front_load, hanging_stroke, resting_stroke
from suspedu.numerics import frozen
from suspedu.ride.outcomes import OUTCOMES, outcomes
from suspedu.ride.simulate import Ride
from suspedu.ride.vehicle import ForkLaw
from suspedu.school.loop import ridden, usual_speed
from suspedu.school.noticed import noticed
from suspedu.school.tables import Tabulated
from suspedu.units import InputError

# What a rider notices, hands first; `pressure` is watched and not noticed.
FELT = ("comfort", "harshness", "body_comfort", "body_hit", "load_variation", "kick", "ride_height", "deepest", "dive")
WATCHED = ("pressure", "margin", "bumper_speed", "past_travel", "airborne")
CRAWL, SLOW, QUICK = 0.05, 0.25, 2.0  # m/s of the shaft: shims shut, the chassis moving, a hit (guess of the course)
READ = {"crawl": CRAWL, "slow": SLOW, "quick": QUICK}
FASTEST = 3.0  # m/s that the curves of damping show
END = 0.010  # m before the end of the travel where the end stop is read
STROKES = 121  # points of a curve over the stroke


def damped_one(machine: Machine) -> Leg:
    """The first leg that has a damper: the one that the bench takes apart.

    Raises: InputError for a machine without any.

    >>> from suspedu.school.machines import school_machine
    >>> damped_one(school_machine()).damper.unit.rebound.needle.clicks
    12
    """
    found = [leg for leg in machine.legs if leg.damper is not None]
    if not found:
        raise InputError(NO_DAMPER)
    return found[0]


@dataclass(frozen=True, eq=False)
class OnBench:
    """One machine at one setting, over one ground at one speed [m/s]: all of it is worked out when it is asked for."""

    machine: Machine
    ground: str
    speed: float

    @cached_property
    def strokes(self) -> np.ndarray:
        """Strokes of the curves [n, m]."""
        return np.linspace(0.0, self.machine.travel, STROKES)

    @cached_property
    def springs(self) -> Split:
        """Force of the fork by its parts [n, N] over `strokes`, as in the ride."""
        return force_split(self.machine, self.strokes, None, self.rests["rider on"][0])

    @cached_property
    def rests(self) -> dict[str, tuple[float, float]]:
        """Stroke [m] and force of the fork [N] at rest: "alone" and "rider on"."""
        found = {}
        for name, aboard in (("alone", False), ("rider on", True)):
            load = front_load(self.machine, aboard)
            at = float(resting_stroke(self.machine, load))
            found[name] = at, float(fork_load(self.machine, load, at))
        return found

    @cached_property
    def sag(self) -> float:
        """Rider sag [m], as a tape reads it: from where the fork hangs, pulled in a little by its top-out springs."""
        return self.rests["rider on"][0] - float(hanging_stroke(self.machine))

    @cached_property
    def law(self) -> ForkLaw:
        """The tables of the ride."""
        return fork_law(self.machine)

    @cached_property
    def damping(self) -> Tabulated:
        """Damping of both legs [N] over velocity [m/s] in the middle of the stroke: a row of the ride's own table."""
        law = self.law
        seen = np.abs(law.velocities) <= FASTEST * 1.2
        return Tabulated(law.velocities[seen], law.damping_force[len(law.damping_force) // 2][seen])

    @cached_property
    def opens(self) -> dict[str, float]:
        """What opens at which velocity [m/s], < 0 coming out, in the first leg that has a damper."""
        leg = damped_one(self.machine)
        found = {}
        for sign, way in ((1.0, "compression"), (-1.0, "rebound")):
            for what, speed in opening_speeds(leg.damper.unit, leg.damper.oil, leg.damper.oil_temperature, way=way):
                found[what] = sign * speed
        return found

    @cached_property
    def stop(self) -> Tabulated:
        """Force of the end stops of both legs at QUICK [N] over the strokes of their zone [m]; nought without any."""
        law = self.law
        if law.stop_force is None:
            return Tabulated(self.strokes[-2:], np.zeros(2))
        return Tabulated(law.stop_strokes, np.array([np.interp(QUICK, law.velocities, row) for row in law.stop_force]))

    @cached_property
    def ride(self) -> Ride:
        """The ride."""
        return frozen(ridden(self.machine, self.ground, self.speed))

    @cached_property
    def felt(self) -> dict[str, float]:
        """Outcomes of FELT and WATCHED [SI]; nan where this ground does not ask."""
        return outcomes(self.ride, (*FELT, *WATCHED))

    @property
    def deepest_at(self) -> int:
        """Step of the ride at which it is deepest."""
        return int(np.argmax(self.ride.stroke))

    @property
    def caution(self) -> str:
        """What this setting may do to people and parts; empty where nothing."""
        return pressure_caution(self.machine)


@lru_cache(12)  # a second of a ride is 320 kB; what it holds is frozen already, and deep: not walked through each time
def on_bench(machine: Machine, ground: str, pace: float = 1.0) -> OnBench:
    """A machine on the bench.

    Parameters: machine; ground of the school, by name; pace, times the speed at which the school rides it [-].

    >>> from suspedu.school.bench_settings import bench_machine
    >>> found = on_bench(bench_machine(rebound=8), "log")
    >>> round(found.damping.at(-SLOW)), round(found.felt["deepest"] * 1e3)
    (-350, 151)
    """
    return OnBench(machine, ground, usual_speed(ground) * pace)


def steps_noticed(now: OnBench, before: OnBench) -> dict[str, float]:
    """How far each outcome of FELT moved, in steps that a rider notices [-], > 0 = more of it; nan where not asked.

    (now - before)/noticed

    Parameters: now; before, over the same ground at the same speed.
    """
    return {name: float((now.felt[name] - before.felt[name]) / noticed(name, before.felt[name])) for name in FELT}


def betterment(outcome: str, steps: float) -> int:
    """Whether a change by some noticed steps [-] is better (1), worse (-1), or neither: unnoticed, or a matter of aim.

    >>> betterment("comfort", -1.5), betterment("comfort", 0.4), betterment("deepest", 3.0)
    (1, 0, 0)
    """
    way = {"less": -1, "more": 1}.get(OUTCOMES[outcome].better, 0)
    return way * int(np.sign(steps)) if abs(steps) >= 1.0 else 0


def told_first(steps: dict[str, float]) -> tuple[str, ...]:
    """Outcomes of which a rider would notice the change, the most noticed first.

    Parameters: steps, changes by outcome in steps noticed [-], nan where not asked.

    >>> told_first({"comfort": -1.5, "deepest": 0.2, "dive": float("nan"), "kick": 3.0})
    ('kick', 'comfort')
    """
    felt = [name for name, size in steps.items() if abs(size) >= 1.0]
    return tuple(sorted(felt, key=lambda name: -round(abs(steps[name]), 6)))


def curve_changes(now: OnBench, before: OnBench) -> dict[str, tuple[float, float]]:
    """What the curves were and are now: springs where it rested before and half way, damping in and out, stop, tyre.

    Returns: before and now, by what is read: "springs", "springs half way", names of READ with "in" and "out", "stop"
    (at QUICK, END before the end of the travel), "stop from", where it begins [m], if both have one; "load" of the
    front wheel [N]; "tyre" [N/m].
    """
    middle, rest = now.machine.travel / 2, before.rests["rider on"][0]
    springs = [Tabulated(each.strokes, each.springs.total) for each in (before, now)]
    found = {"springs": tuple(each.at(rest) for each in springs),
             "springs half way": tuple(each.at(middle) for each in springs)}
    for name, speed in READ.items():
        for way, sign in (("in", 1.0), ("out", -1.0)):
            found[f"{name} {way}"] = tuple(abs(each.damping.at(sign * speed)) for each in (before, now))
    end = now.machine.travel - END
    if before.law.stop_force is not None and now.law.stop_force is not None:
        found["stop from"] = float(before.stop.x[0]), float(now.stop.x[0])
    return found | {"stop": (before.stop.at(end), now.stop.at(end))} | {
        name: tuple(float(law(each.machine)) for each in (before, now))
        for name, law in (("load", front_load), ("tyre", lambda machine: machine.tyre.rate))}
