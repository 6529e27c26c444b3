"""What the ride panels share: a machine with its clicks, a terrain at a speed, and curves thin enough to draw."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.machine import Machine, adjusted
from suspedu.machine.riding import ride
from suspedu.ride.simulate import Ride
from suspedu.ride.terrain import TERRAINS, Terrain
from suspedu.ride.terrain import terrain as terrain_named
from suspedu.show.panels.setting import set_machine

DAMPER_CLICKS = ("compression_low", "compression_high", "rebound")
POINTS = 600  # of a curve: one every 20 ms of a long ride, and a stroke takes five times as long


def ridden_machine(name: str = "enduro", **workshop) -> Machine:
    """A machine of the school with its adjusters in workshop units and its clickers in clicks out.

    >>> ridden_machine("enduro", rebound=8, preload=6).legs[0].damper.unit.rebound.needle.clicks
    8
    """
    clicks = {key: round(value) for key, value in workshop.items() if key in DAMPER_CLICKS}
    return adjusted(set_machine(name, **{k: v for k, v in workshop.items() if k not in clicks}), **clicks)


@lru_cache(maxsize=64)
def terrain_at(name: str, speed: float) -> Terrain:
    """A terrain of the trails; braking on the flat is laid out for the speed [m/s] at which it begins.

    >>> terrain_at("log", 5.0).name
    'log'
    """
    if name == "hard braking":
        return terrain_named(name, speed=speed, exit_speed=min(4.0, speed / 2))
    return terrain_named(name)


def usual_speed(name: str) -> float:
    """Speed at which the school rides a terrain [m/s]."""
    return TERRAINS[name]().speed


def ridden(machine: Machine, name: str, speed: float) -> Ride:
    """A ride over a terrain at a speed [m/s]."""
    return ride(machine, terrain_at(name, speed), speed)


def thinned(ride_done: Ride, *channels) -> tuple:
    """Distance [m] and channels of a ride, at evenly spread steps."""
    steps = np.linspace(0, len(ride_done.time) - 1, POINTS).astype(int)
    return tuple(np.asarray(channel)[steps] for channel in (ride_done.distance, *channels))
