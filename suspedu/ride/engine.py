"""Between the dataclasses and the compiled loop: numbers in, record out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

import numpy as np

from suspedu.parts.friction import SealFriction, friction_force
from suspedu.parts.tyre import Tyre
from suspedu.ride.ground import Ground
from suspedu.ride.tables import CHANNELS, STATES, Bike, Fork, Pace, Stop, StrokeTable, Table
from suspedu.ride.vehicle import ForkLaw, Vehicle
from suspedu.units import STANDARD_GRAVITY

STABLE = 2.0  # of friction's slope times step over mass; Runge-Kutta of fourth order is stable to 2.78, damper included
FLAT = 20.0  # slow speeds of the seals from which their friction is flat: the breakaway part is down to exp(-16)
RESOLVED = 10  # columns of the friction table in each slow speed
NEVER = np.array([1e9, 2e9])  # strokes of a hydraulic stop that is not there
NO_STOP = Stop(0.0, 0.0, 0.0)


def run(ground: Ground, vehicle: Vehicle, fork: ForkLaw, state: list) -> tuple:
    """The record of a ride from a start, step by step.

    Parameters: ground; vehicle; fork; state, the ten numbers of the loop's state at the start [m, m/s, J].
    Returns: record [n, CHANNELS], closed to writing, and the number of the step at which the run diverged, or -1.
    """
    from suspedu.ride import kernel  # loads the compiler, so it waits for the first ride

    steps = (len(ground.height) + 1) // 2
    record, bike, law = np.zeros(steps * CHANNELS), bike_numbers(vehicle, fork.travel), fork_numbers(fork)
    road = tuple(map(_read_only, (ground.height, ground.climb, ground.slowing)))
    failed = kernel.integrate(np.array(state), road, pace_numbers(ground, bike, law, fork), bike, law, record)
    return _read_only(record).reshape(steps, CHANNELS), failed


def prepare(progress: Callable[[str], None] | None = None) -> None:
    """Compile the loop (or load it from the cache) before the first ride, saying so.

    Parameters: progress(sentence), called before and after.

    >>> prepare()
    """
    from suspedu.ride import kernel

    if getattr(kernel.integrate, "signatures", None) == []:
        say = progress or (lambda sentence: None)
        say("Getting the ride engine ready: once on this machine, a few seconds.")
        still = np.zeros(3)
        run(Ground(1e-3, still, still, still, still), *example(), [0.0] * STATES)
        say("The ride engine is ready.")


def example() -> tuple[Vehicle, ForkLaw]:
    """A vehicle of 80 kg on 10 N/mm and 1000 N s/m, straight laws: for examples and for the first compilation.

    >>> example()[0].sprung_mass
    80.0
    """
    line = np.linspace(0.0, 0.3, 2)
    fork = ForkLaw(0.3, line, 1e4 * line, line - 0.15, 1e3 * (line - 0.15))
    return Vehicle(80.0, 15.0, 0.45, Tyre(rate=130e3, damping=150.0, contact_length=0.09)), fork


def bike_numbers(vehicle: Vehicle, travel: float) -> Bike:
    """The vehicle as the loop takes it, for a fork of a travel [m]."""
    return Bike(1 / vehicle.sprung_mass, 1 / vehicle.unsprung_mass, way_numbers(vehicle, travel), STANDARD_GRAVITY,
                float(vehicle.tyre.rate), float(vehicle.tyre.damping), float(vehicle.load_transfer),
                float(vehicle.brake_jacking))


def way_numbers(vehicle: Vehicle, travel: float, cells: int = 1000) -> StrokeTable:
    """Stroke over wheel travel, dx/dz, for a fork of a travel [m]: one cell where the slope is the same all along."""
    strokes = np.linspace(0.0, travel, 4 * cells + 1)
    ratios = np.broadcast_to(vehicle.wheel_end.motion_ratio(strokes), strokes.shape)
    end = float(vehicle.wheel_end.wheel_travel(travel))
    nodes = np.linspace(0.0, end, 2 if np.ptp(ratios) == 0.0 else cells + 1)
    slopes = np.interp(nodes, vehicle.wheel_end.wheel_travel(strokes), 1 / ratios)
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
    """The friction of all seals over velocity: fine columns around standstill, held outside."""
    slow = [leg.slow for leg in seals] or [0.01]
    half = int(np.ceil(RESOLVED * FLAT * max(slow) / min(slow)))
    velocities = np.linspace(-1.0, 1.0, 2 * half + 1) * FLAT * max(slow)
    force = sum((friction_force(velocities, leg) for leg in seals), np.zeros(len(velocities)))
    return _table(None, velocities, force[None, :])


def pace_numbers(ground: Ground, bike: Bike, law: Fork, fork: ForkLaw) -> Pace:
    """Step, and into how many parts it falls where the fork sticks: as many as keep the steepest friction stable."""
    rubbing = law.friction
    steepest = float(np.abs(np.diff(rubbing.values)).max() * rubbing.column_scale)
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


def _read_only(array) -> np.ndarray:
    """The same numbers, contiguous and closed to writing: so the compiler meets one kind of array only."""
    view = np.ascontiguousarray(array, dtype=float).view()
    view.flags.writeable = False
    return view
