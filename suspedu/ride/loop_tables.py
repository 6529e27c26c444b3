"""Dataclasses as the compiled loop takes them: plain numbers, and tables on even grids. Loads the compiler."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from suspedu.parts.friction import SealFriction, friction_force
from suspedu.ride.ground import Ground
from suspedu.ride.kernel import Bike, Fork, Pace, Stop, StrokeTable, Table
from suspedu.ride.vehicle import ForkLaw, Vehicle
from suspedu.units import STANDARD_GRAVITY

STABLE = 2.0  # of friction's slope times step over mass; Runge-Kutta of fourth order is stable to 2.78, damper included
FLAT = 20.0  # slow speeds of the seals from which their friction is flat: the breakaway part is down to exp(-16)
RESOLVED = 10  # columns of the friction table in each slow speed
NEVER = np.array([1e9, 2e9])  # strokes of a hydraulic stop that is not there
NO_STOP = Stop(0.0, 0.0, 0.0)


def of_ride(ground: Ground, vehicle: Vehicle, fork: ForkLaw) -> tuple:
    """All that the loop is given besides its start and its record: ground, pace, vehicle, fork."""
    bike, law = bike_numbers(vehicle, fork.travel), fork_numbers(fork)
    road = tuple(map(_read_only, (ground.height, ground.climb, ground.slowing)))
    return road, pace_numbers(ground, bike, law, fork), bike, law


def bike_numbers(vehicle: Vehicle, travel: float) -> Bike:
    """The vehicle as the loop takes it, for a fork of a travel [m]."""
    return Bike(1 / vehicle.sprung_mass, 1 / vehicle.unsprung_mass, way_numbers(vehicle, travel), STANDARD_GRAVITY,
                float(vehicle.tyre.rate), float(vehicle.tyre.damping), float(vehicle.load_transfer),
                float(vehicle.brake_jacking))


def way_numbers(vehicle: Vehicle, travel: float, cells: int = 1000) -> StrokeTable:
    """Stroke over wheel travel, dx/dz, for a fork of a travel [m]: one cell where the slope is the same all along."""
    end, ratio = float(vehicle.wheel_end.wheel_travel(travel)), vehicle.wheel_end.motion_ratio(0.0)
    strokes = np.linspace(0.0, travel, 9)
    nodes, slopes = np.array([0.0, end]), np.full(2, 1.0 / ratio)
    if np.any(vehicle.wheel_end.motion_ratio(strokes) != ratio):
        strokes, nodes = np.linspace(0.0, travel, 4 * cells + 1), np.linspace(0.0, end, cells + 1)
        slopes = np.interp(nodes, vehicle.wheel_end.wheel_travel(strokes), 1 / vehicle.wheel_end.motion_ratio(strokes))
    size = end / (len(nodes) - 1)
    run_up = np.concatenate([[0.0], np.cumsum((slopes[1:] + slopes[:-1]) * (size / 2))])
    return StrokeTable(_read_only(run_up), _read_only(slopes), size, 1 / size)


def fork_numbers(fork: ForkLaw) -> Fork:
    """The fork as the loop takes it."""
    zero = np.zeros((2, len(fork.velocities)))
    stop = zero if fork.stop_force is None else fork.stop_force
    tops = [Stop(top.length, top.rate, 0.0) for top in fork.top_outs]
    bumps = [Stop(fork.travel - bump.length, bump.rate, (bump.end_rate - bump.rate) / (3 * bump.length**2))
             for bump in fork.bumpers]
    return Fork(
        _table(None, fork.strokes, np.atleast_2d(fork.spring_force)),
        _table(fork.damping_strokes, fork.velocities, np.atleast_2d(fork.damping_force)),
        _table(NEVER if fork.stop_strokes is None else fork.stop_strokes, fork.velocities, stop),
        friction_numbers(fork.seals), _side_by_side(tops), _side_by_side(bumps))


def friction_numbers(seals: Sequence[SealFriction]) -> Table:
    """The friction of all seals over velocity: fine columns around standstill, held outside.

    >>> table = friction_numbers([SealFriction(sliding=20.0, breakaway=30.0)])
    >>> len(table.values) // table.rows, round(float(table.values[-1]), 3), table.column_low
    (401, 20.0, -0.1)
    """
    slow = [leg.slow for leg in seals] or [0.01]
    half = int(np.ceil(RESOLVED * FLAT * max(slow) / min(slow)))
    velocities = np.linspace(-1.0, 1.0, 2 * half + 1) * FLAT * max(slow)
    force = sum((friction_force(velocities, leg) for leg in seals), np.zeros(len(velocities)))
    return _table(None, velocities, force[None, :])


def pace_numbers(ground: Ground, bike: Bike, law: Fork, fork: ForkLaw) -> Pace:
    """Step, and into how many parts it falls where the fork sticks: as many as keep the steepest friction stable."""
    rubbing = law.friction
    steepest = float(np.abs(np.diff(rubbing.values[: rubbing.columns])).max() * rubbing.column_scale)
    stiffness = steepest * bike.way.slopes.max() ** 2 * (bike.sprung_inverse + bike.unsprung_inverse)
    fine = max(1, int(np.ceil(stiffness * ground.step / STABLE)))
    reach = float(np.abs(ground.height).max() + 10 * fork.travel + 10.0)
    return Pace(float(ground.step), fine, float(-rubbing.column_low / bike.way.slopes.min()), reach)


def _side_by_side(stops: list[Stop]) -> tuple[Stop, Stop]:
    """Two stops of a fork; those that begin at one place share the load, so their rates add."""
    alike = [list(each) for _, each in groupby(sorted(stops), key=lambda stop: stop.place)]
    merged = [Stop(float(each[0].place), float(sum(stop.rate for stop in each)),
                   float(sum(stop.stiffening for stop in each))) for each in alike]
    first, second, *_ = [*merged, NO_STOP, NO_STOP]
    return first, second


def _table(strokes, columns, values) -> Table:
    """A table of the loop; one curve without strokes of its own is the same at every stroke."""
    strokes = np.array([0.0, 1.0]) if strokes is None else strokes
    rows = values if len(values) == len(strokes) else np.repeat(values[:1], 2, axis=0)
    return Table(_read_only(rows).ravel(), len(strokes), len(columns), float(strokes[0]),
                 float(1 / (strokes[1] - strokes[0])), float(columns[0]), float(1 / (columns[1] - columns[0])))


def _read_only(array: np.ndarray) -> np.ndarray:
    """The same numbers, contiguous and closed to writing: so the compiler meets one kind of array only."""
    view = np.ascontiguousarray(array, dtype=float).view()
    view.flags.writeable = False
    return view
