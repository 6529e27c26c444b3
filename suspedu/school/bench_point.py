"""Explain this point: what lies behind one place of each curve of the bench, at rest, moving and riding."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper.explain import VALVE_WORDS
from suspedu.damper.forces import LegForce
from suspedu.machine.damping import explained_leg
from suspedu.machine.forces import PARTS, rate_split
from suspedu.machine.friction import breakaway_friction
from suspedu.machine.statics import front_load, riding_split
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.ride.vehicle import elastic_force
from suspedu.school.bench import OnBench, damped_one
from suspedu.units import STANDARD_ATMOSPHERE

CARRIES = 0.01  # share of a valve's oil below which a path is not spoken of
AT_WORK = {True: ("base", "mid"), False: ("rebound", "refill")}  # by whether the fork goes in


@dataclass(frozen=True)
class SpringPoint:
    """What carries at a stroke: forces of both legs by their parts [N], their sum, its slope, air, friction."""

    stroke: float  # m
    parts: dict[str, float]  # N, by the names of a `Split`
    force: float  # N
    rate: float  # N/m
    air_pressure: float  # Pa, gauge, in the first leg
    holds: float  # N, friction that holds it where it is, rider aboard


def spring_point(bench: OnBench, stroke: float) -> SpringPoint:
    """A point on the curve of the springs.

    Parameters: bench; stroke [m], held within the travel.

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> point = spring_point(on_bench(school_machine(), "log"), 0.15)
    >>> round(point.parts["coil"]), round(point.force - sum(point.parts.values()), 9)
    (1232, 0.0)
    """
    machine = bench.machine
    at, leg = min(max(stroke, 0.0), machine.travel), machine.legs[0]
    split, rest = riding_split(machine, at), bench.rests["rider on"][0]
    pressure = float(air_pressure_absolute(at, leg.travel, leg.air, None, rest)) - STANDARD_ATMOSPHERE
    return SpringPoint(at, {name: float(getattr(split, name)) for name in PARTS}, float(split.total),
                       float(rate_split(machine, at, None).total), pressure,
                       float(breakaway_friction(machine, at, front_load(machine))))


@dataclass(frozen=True)
class PathPoint:
    """One way of the oil through a valve: its share of the valve's oil [-], and how far its shims are lifted [m]."""

    name: str
    share: float
    lift: float
    open: bool


@dataclass(frozen=True)
class DampingPoint:
    """What makes the damping at a velocity, in the first leg that has a damper: force, pressures, ways of the oil."""

    velocity: float  # m/s
    leg: LegForce
    drops: dict[str, float]  # Pa, by the words of the valves at work
    paths: dict[str, tuple[PathPoint, ...]]  # the same, the widest stream first


def damping_point(bench: OnBench, velocity: float, stroke: float | None = None) -> DampingPoint:
    """A point on the curve of damping.

    Parameters: bench; velocity [m/s]; stroke [m], half way if None.

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> point = damping_point(on_bench(school_machine(), "log"), 0.5)
    >>> [path.name for path in point.paths["base valve"]]
    ['low-speed', 'needle']
    """
    leg = damped_one(bench.machine)
    at = bench.machine.travel / 2 if stroke is None else min(max(stroke, 0.0), bench.machine.travel)
    found = explained_leg(leg, at, velocity)
    valves = {VALVE_WORDS[key]: found.valves[key] for key in AT_WORK[velocity >= 0.0] if key in found.valves}
    return DampingPoint(velocity, found.leg, {name: float(each.pressure_drop) for name, each in valves.items()},
                        {name: _paths(each) for name, each in valves.items()})


def _paths(valve) -> tuple[PathPoint, ...]:
    """The paths that carry some of a valve's oil; none at rest."""
    if not float(valve.flow) > 0.0:
        return ()
    found = [PathPoint(name, float(path.share), float(path.lift), bool(path.open))
             for name, path in valve.paths.items() if float(path.share) >= CARRIES]
    return tuple(sorted(found, key=lambda path: -round(path.share, 9)))


@dataclass(frozen=True)
class RidePoint:
    """One instant of a ride: where and how fast, and the forces along the fork [N]."""

    time: float  # s
    distance: float  # m
    stroke: float  # m
    velocity: float  # m/s
    springs: float  # N, springs, air, stops at this stroke
    moving: float  # N, what damper, end stop and friction add to it
    tyre: float  # N, load on the ground
    air_under: float  # m, between tyre and ground; 0 where it touches
    bars: float  # m/s2, upward acceleration


def ride_point(bench: OnBench, step: int) -> RidePoint:
    """A point on the curve of the ride, by its step.

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> bench = on_bench(school_machine(), "log")
    >>> point = ride_point(bench, bench.deepest_at)
    >>> round(point.stroke * 1e3), round(abs(point.velocity), 1)
    (151, 0.0)
    """
    ride = bench.ride
    springs = float(elastic_force(ride.stroke[step], ride.fork))
    return RidePoint(float(ride.time[step]), float(ride.distance[step]), float(ride.stroke[step]),
                     float(ride.velocity[step]), springs, float(ride.fork_force[step]) - springs,
                     float(ride.tyre_force[step]), air_under(bench, step), float(ride.sprung_acceleration[step]))


def air_under(bench: OnBench, step: int) -> float:
    """Height of the tyre over the ground that it would roll on [m] at a step of the ride; 0 where it touches."""
    return max(float(bench.ride.wheel_height[step] - bench.ride.road[step]), 0.0)


def step_at(bench: OnBench, share: float) -> int:
    """Step of the ride at a share [-] of its time.

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> step_at(on_bench(school_machine(), "log"), 1.0)
    10000
    """
    return int(np.rint(np.clip(share, 0.0, 1.0) * (len(bench.ride.time) - 1)))


def share_at(bench: OnBench, distance: float) -> float:
    """Share of the ride's time [-] at which it is at a distance [m].

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> bench = on_bench(school_machine(), "log")
    >>> round(share_at(bench, float(bench.ride.distance[5000])), 3)
    0.5
    """
    return float(np.searchsorted(bench.ride.distance, distance)) / (len(bench.ride.time) - 1)


LOOKS = ("deepest", "hardest", "in", "out")  # instants that a ride can be looked at, beside a share of its time


def look_at(bench: OnBench, what: str) -> int:
    """Step of the ride at one of LOOKS: deepest stroke, hardest hit of the bars, fastest in, fastest out.

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> bench = on_bench(school_machine(), "log")
    >>> round(float(bench.ride.stroke[look_at(bench, "deepest")]) * 1e3)
    151
    """
    ride = bench.ride
    curves = {"deepest": ride.stroke, "hardest": ride.sprung_acceleration, "in": ride.velocity, "out": -ride.velocity}
    return int(np.argmax(curves[what]))
