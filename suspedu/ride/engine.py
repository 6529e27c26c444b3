"""Between the dataclasses and the compiled loop: numbers in, record out."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import cache

import numpy as np

from suspedu.parts.tyre import Tyre
from suspedu.ride import kernel
from suspedu.ride.ground import Ground
from suspedu.ride.vehicle import ForkLaw, Vehicle
from suspedu.units import STANDARD_GRAVITY

_compiling = threading.Lock()


@cache
def _compiled_once() -> bool:
    try:
        from numba import njit
    except ImportError:  # the plain source does the work, some hundred times slower
        return False
    for name in kernel.COMPILED:  # a function calls what stands under a name in its module, so callees come first
        setattr(kernel, name, _compiled(njit, getattr(kernel, name)))
    return True


def _compiled(njit, function):
    """Let go of the interpreter's lock, so that rides share the cores; keep the result on disk where one may write."""
    options = {"nogil": True, "error_model": "numpy"}
    try:
        return njit(cache=True, **options)(function)
    except RuntimeError:  # numba found no place for its cache
        return njit(**options)(function)


def compiled() -> bool:
    """Whether the loop is compiled here, or runs as plain Python; loads numba when first asked."""
    with _compiling:
        return _compiled_once()


def run(ground: Ground, vehicle: Vehicle, fork: ForkLaw, state: list) -> tuple:
    """The record of a ride from a start, step by step.

    Parameters: ground; vehicle; fork; state, the ten numbers of the kernel's state at the start [m, m/s, J].
    Returns: record [n, CHANNELS], and the number of the step at which the run diverged, or -1.
    """
    fast = compiled()
    hold = np.array if fast else list
    steps = (len(ground.height) + 1) // 2
    record = np.zeros(steps * kernel.CHANNELS) if fast else [0.0] * (steps * kernel.CHANNELS)
    road = tuple(a if fast else a.tolist() for a in (ground.height, ground.climb, ground.slowing))
    reach = float(np.abs(ground.height).max() + 10 * fork.travel + 10.0)
    failed = kernel.integrate(hold(state), road, ground.step, bike_numbers(vehicle), fork_numbers(fork), record, reach)
    return np.asarray(record).reshape(steps, kernel.CHANNELS), failed


def prepare(progress: Callable[[str], None] | None = None) -> None:
    """Compile the loop (or load it from the cache) before the first ride, saying so.

    Parameters: progress(sentence), called before and after.

    >>> prepare()
    """
    if compiled() and not kernel.integrate.signatures:
        say = progress or (lambda sentence: None)
        say("Getting the ride engine ready: once on this machine, a few seconds.")
        still = np.zeros(3)
        run(Ground(1e-3, still, still, still, still), *_anything(), [0.0] * kernel.STATES)
        say("The ride engine is ready.")


def _anything() -> tuple[Vehicle, ForkLaw]:
    line = np.linspace(0.0, 0.3, 2)
    fork = ForkLaw(0.3, line, 1e4 * line, line - 0.15, 1e3 * (line - 0.15))
    return Vehicle(80.0, 15.0, 0.45, Tyre(rate=130e3, damping=150.0, contact_length=0.09)), fork


def bike_numbers(vehicle: Vehicle) -> kernel.Bike:
    """The vehicle as the loop takes it."""
    inverse = 1 / vehicle.sprung_mass, 1 / vehicle.unsprung_mass, 1 / np.cos(vehicle.rake)
    return kernel.Bike(*map(float, (*inverse, STANDARD_GRAVITY, vehicle.tyre.rate, vehicle.tyre.damping,
                                    vehicle.load_transfer, vehicle.brake_jacking)))


def fork_numbers(fork: ForkLaw) -> kernel.Fork:
    """The fork as the loop takes it."""
    never, zero = np.array([1e9, 2e9]), np.zeros((2, len(fork.velocities)))  # for a fork without a hydraulic stop
    top, bump = fork.top_out, fork.bumper
    stop = zero if fork.stop_force is None else fork.stop_force
    return kernel.Fork(
        _table(np.array([0.0, 1.0]), fork.strokes, np.atleast_2d(fork.spring_force)),
        _table(fork.damping_strokes, fork.velocities, np.atleast_2d(fork.damping_force)),
        _table(never if fork.stop_strokes is None else fork.stop_strokes, fork.velocities, stop),
        *map(float, (fork.friction, fork.friction_velocity, fork.travel, top.length, top.rate, bump.length, bump.rate,
                     (bump.end_rate - bump.rate) / (3 * bump.length**2))))


def _table(strokes, columns, values):
    """A kernel table; one curve without strokes of its own is the same at every stroke."""
    strokes = np.array([0.0, 1.0]) if strokes is None else strokes
    rows = values if len(values) == len(strokes) else np.repeat(values[:1], 2, axis=0)
    flat = np.ascontiguousarray(rows, dtype=float).ravel()
    return kernel.Table(flat if compiled() else flat.tolist(), len(strokes), len(columns), float(strokes[0]),
                 float(1 / (strokes[1] - strokes[0])), float(columns[0]), float(1 / (columns[1] - columns[0])))
