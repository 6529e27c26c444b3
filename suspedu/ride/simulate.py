"""A ride: a quarter vehicle and its fork over a terrain, one at a time or many settings at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from suspedu.numerics import remembered
from suspedu.parts.tyre import contact_length, static_squash
from suspedu.ride.engine import run
from suspedu.ride.ground import Ground, ground_over_time
from suspedu.ride.profile import Terrain
from suspedu.ride.vehicle import ForkLaw, Vehicle, airborne_stroke, settled_stroke
from suspedu.units import InputError, require

STEP = 0.5e-3  # s


@dataclass(frozen=True, eq=False)
class Ride:
    """What happened: the record of every step, and all that follows from it."""

    vehicle: Vehicle
    fork: ForkLaw
    terrain: Terrain
    ground: Ground
    record: np.ndarray  # [n, CHANNELS], see kernel

    time = property(lambda self: self.ground.time, doc="Time of each step [n, s].")
    distance = property(lambda self: self.ground.distance[::2], doc="Distance ridden [n, m].")
    road = property(lambda self: self.ground.height[::2], doc="Ground under the wheel [n, m].")
    slowing = property(lambda self: self.ground.slowing[::2], doc="Deceleration of the machine [n, m/s2].")
    sprung_height = property(lambda self: self.record[:, 0], doc="Height of chassis and bars over their datum [n, m].")
    sprung_velocity = property(lambda self: self.record[:, 1], doc="Upward velocity of the bars [n, m/s].")
    wheel_height = property(lambda self: self.record[:, 2], doc="Height of the wheel [n, m]; 0 = tyre just touching.")
    wheel_velocity = property(lambda self: self.record[:, 3], doc="Upward velocity of the wheel [n, m/s].")
    rider_height = property(lambda self: self.record[:, 4], doc="Height of the rider over the unloaded limbs [n, m].")
    rider_velocity = property(lambda self: self.record[:, 5], doc="Upward velocity of the rider's body [n, m/s].")
    energies = property(lambda self: self.record[:, 6:14], doc="Running energies [n, 8, J], see kernel.")
    sprung_acceleration = property(lambda self: self.record[:, 14], doc="Upward acceleration of the bars [n, m/s2].")
    rider_acceleration = property(lambda self: self.record[:, 15], doc="Upward acceleration of the body [n, m/s2].")
    tyre_force = property(lambda self: self.record[:, 16], doc="Load of the tyre on the ground [n, N].")
    fork_force = property(lambda self: self.record[:, 17], doc="Whole force along the fork [n, N].")
    stroke = property(lambda self: self.record[:, 18], doc="Stroke of the fork [n, m].")
    velocity = property(lambda self: self.record[:, 19], doc="Shaft velocity, compression positive [n, m/s].")

    @cached_property
    def static_stroke(self) -> float:
        """Stroke at rest on the flat [m]."""
        return settled_stroke(self.vehicle, self.fork)

    @property
    def rough(self) -> np.ndarray:
        """Which steps lie between the first and the last that is not flat ground; all of them on flat ground [n]."""
        return _rough_steps(self.ground, self.terrain.quiet_from)


@remembered(size=4)
def _rough_steps(ground: Ground, quiet_from: float | None) -> np.ndarray:
    rolled, road = ground.distance[::2] <= (quiet_from or np.inf), ground.height[::2]
    return rolled & (np.arange(len(rolled)) >= np.argmax(np.abs(road - road[0]) > 1e-3))


def simulate(vehicle: Vehicle, fork: ForkLaw, terrain: Terrain, speed: float | None = None, *,
             drop_height: float = 0.0, step: float = STEP) -> Ride:
    """Ride over a terrain, from rest on the springs or dropped with the wheel hanging.

    m_s a_s = F dx/dz - m_s g - load transfer - F_limbs; m_u a_u = F_tyre - F dx/dz - m_u g; m_r a_r = F_limbs - m_r g,
    with dx/dz of the wheel end, 1/cos r of a telescopic fork; without a rider on legs F_limbs = 0. Classical
    Runge-Kutta of fourth order at a fixed step, in parts where the friction is steep.

    Parameters: vehicle; fork; terrain; speed [m/s], the terrain's own if not given; drop_height [m]; step [s].
    Returns: Ride.
    Raises: InputError for impossible requests and for a run that diverges.
    Assumes: one wheel, straight ahead; braking is a prescribed deceleration.

    >>> from suspedu.ride.engine import example
    >>> from suspedu.ride.terrain import flat
    >>> ride = simulate(*example(), flat())
    >>> round(1e3 * float(ride.stroke[-1]), 1)  # at rest it stays where 80 kg hold 10 N/mm along a rake of 0.45 rad
    70.6

    Source: hairer-norsett-wanner, II.1, classical method (printed, from memory); the wheel end follows by virtual work
    """
    pace = speed if speed is not None else terrain.speed
    stands_on = float(contact_length(vehicle.weight, vehicle.tyre))
    ground = ground_over_time(terrain, pace, vehicle.tyre.radius, stands_on, step)
    start = start_state(vehicle, fork, float(ground.height[0]), *_flying(terrain, pace, drop_height))
    record, failed = run(ground, vehicle, fork, start)
    if failed >= 0:
        raise InputError(f"the ride was stopped after {failed * step:.3g} s on '{terrain.name}': the run diverged, so "
                         "it shows nothing; a force in the tables is too steep for the time step, or too weak to hold")
    return Ride(vehicle, fork, terrain, ground, record)


def _flying(terrain: Terrain, speed: float, drop_height: float) -> tuple[float, float]:
    """Height above the ground [m] and upward velocity [m/s] at the start: of the terrain's flight, if it has one."""
    flight = terrain.flight
    return (drop_height, 0.0) if flight is None else (flight.height + drop_height, flight.slope * speed)


def start_state(vehicle: Vehicle, fork: ForkLaw, road: float = 0.0, drop_height: float = 0.0,
                upward: float = 0.0) -> list:
    """Heights and velocities at the start: settled on the ground, or weightless above it, fork and limbs at ease.

    Parameters: vehicle; fork; road, height of the ground [m]; drop_height [m]; upward, velocity of a flight [m/s].
    """
    require("drop height", drop_height, 0.0, 5.0, "m")
    flies, rider = bool(drop_height or upward), vehicle.rider
    if flies:
        wheel, stroke = road + drop_height, airborne_stroke(fork)
    else:
        wheel, stroke = road - static_squash(vehicle.weight, vehicle.tyre), settled_stroke(vehicle, fork)
    chassis = float(wheel - vehicle.wheel_end.wheel_travel(stroke))
    body = chassis - (0.0 if flies or rider is None else rider.settled)
    return [chassis, upward, float(wheel), upward, body, upward] + [0.0] * 8


def simulate_many(vehicles: Sequence[Vehicle], forks: Sequence[ForkLaw], terrain: Terrain, speed: float | None = None,
                  *, keep: Callable[[Ride], object], progress: Callable[[int, int], None] | None = None,
                  step: float = STEP) -> list:
    """Many settings over one terrain on all cores: what `keep` takes from each ride, in order.

    Parameters: vehicles, forks, of one length (or one of either); terrain; speed [m/s]; keep(ride), what to hold on
    to, since whole records of many rides do not fit in memory; progress(done, total), called after each; step [s].
    Returns: list of `keep`'s results; a ride that diverged counts as None.
    Raises: InputError when no setting can be ridden.
    Assumes: the compiled loop lets go of the interpreter's lock, so threads share the cores.
    """
    count = max(len(vehicles), len(forks))
    vehicles, forks = list(vehicles) * (count // len(vehicles)), list(forks) * (count // len(forks))
    if len(vehicles) != len(forks):
        raise InputError(f"{len(vehicles)} vehicles and {len(forks)} forks do not pair up; give one or equally many")
    return on_all_cores(lambda pair: keep(simulate(pair[0], pair[1], terrain, speed, step=step)),
                        list(zip(vehicles, forks, strict=True)), progress)


def on_all_cores(job: Callable, items: Sequence, progress: Callable[[int, int], None] | None = None) -> list:
    """What a job of one ride makes of each item, in order; None where the ride is refused.

    Parameters: job, of one item; items; progress(done, total), called after each.
    Raises: InputError where all are refused.

    >>> on_all_cores(lambda speed: 2 * speed, [4.0, 6.0])
    [8.0, 12.0]
    """
    kept: list = []
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        for result in pool.map(lambda item: _kept(job, item), items):
            kept.append(result)
            if progress:
                progress(len(kept), len(items))
    if kept and all(isinstance(k, InputError) for k in kept):
        raise kept[0]
    return [None if isinstance(k, InputError) else k for k in kept]


def _kept(job, item):
    try:
        return job(item)
    except InputError as fault:
        return fault
