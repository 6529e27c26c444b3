"""The grounds of the school's loop, ridden: at their own speed or another, and the wheel that rolls over them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.changing import change
from suspedu.machine.riding import ride
from suspedu.machine.statics import front_load
from suspedu.numerics import remembered
from suspedu.parts.tyre import contact_length
from suspedu.ride.flights import flat_landing, told, touchdown
from suspedu.ride.ground import tyre_envelope
from suspedu.ride.outcomes import bumper_from
from suspedu.ride.simulate import Ride
from suspedu.ride.terrain import STEP, TERRAINS, Terrain, whoops
from suspedu.ride.terrain import terrain as terrain_named
from suspedu.school.machines import school_machine
from suspedu.units import InputError

BRAKING = "hard braking"  # on the flat
TALL = "tall whoops"  # 300 mm every 5 m, hump by hump: a quick rebound throws the bars
LANDING = "flat landing"
FALLS = {"low flat landing": 0.9, "high flat landing": 1.6}  # m, beside that of the flat landing
_LANDINGS = ("low flat landing", LANDING, "high flat landing")
GROUNDS = tuple(each for name in TERRAINS for each in (_LANDINGS if name == LANDING else (name,)))
CRASH = "crash"  # no fork is made for it: the loop goes without
LOOP = (*(name for name in TERRAINS if name != CRASH), TALL)
FOLLOWED = 0.2  # spread of what the wheel leaves out, over the spread of the ground's heights (guess of the course)


def loop_ground(name: str) -> Terrain:
    """A ground of the school: one of the terrains, a flat landing from another height, or the loop's tall whoops.

    >>> round(loop_ground(TALL).statistics["highest"], 3)
    0.3
    """
    if name in FALLS:
        return flat_landing(FALLS[name])
    return whoops(0.3, 5.0, 11, 7.0, length=72.0) if name == TALL else terrain_named(name)


@remembered(size=64)
def terrain_at(name: str, speed: float) -> Terrain:
    """A terrain of the trails; braking on the flat is laid out for the speed [m/s] at which it begins.

    >>> terrain_at("log", 5.0).name
    'log'
    """
    if name == BRAKING:
        return terrain_named(name, speed=speed, exit_speed=min(4.0, speed / 2))
    return loop_ground(name)


def usual_speed(name: str) -> float:
    """Speed at which the school rides a ground [m/s]."""
    return loop_ground(name).speed


def ridden(machine: Machine, name: str, speed: float) -> Ride:
    """A ride over a ground at a speed [m/s]."""
    return ride(machine, terrain_at(name, speed), speed)


@remembered(size=64)
def ridden_as_it_stands(name: str, speed: float) -> Ride:
    """The school's enduro, as it stands in its file, over a ground at a speed [m/s]."""
    return ridden(school_machine(), name, speed)


def landing_told(name: str, speed: float) -> str:
    """Where and how hard the wheel lands on a ground that begins with a flight, at a speed [m/s]; else nothing.

    >>> landing_told("low flat landing", 8.0), landing_told("log", 8.0)
    ('lands closing at 4.2 m/s', '')
    """
    ground = terrain_at(name, speed)
    if ground.flight and ground.flight.crest:
        return told(ground, speed)
    return f"lands closing at {touchdown(ground, speed).closing:.1f} m/s" if ground.flight else ""


@dataclass(frozen=True)
class FastestIn:
    """Where a ride drives the shaft in fastest: velocities [m/s] there, and whether wheel and fork stood the ride."""

    shaft: float
    wheel: float  # upwards
    bars: float  # upwards
    rim: bool  # whether the tyre met its rim on the ride
    metal: bool  # whether the fork ended metal on metal


@remembered(size=256)
def fastest_in(name: str, speed: float, pressure: float) -> FastestIn | None:
    """What the shaft of the school's enduro meets on a ground; None where it is too short to brake on at that speed.

    Parameters: name of a ground; speed at which it is begun [m/s]; pressure of the front tyre [Pa, gauge].

    >>> found = fastest_in("square edge", 30 / 3.6, 1e5)
    >>> [round(each, 1) for each in (found.shaft, found.wheel, found.bars)], found.rim
    ([3.3, 3.8, 0.8], False)
    >>> fastest_in("braking bumps", 17.0, 1e5) is None
    True
    """
    try:
        done = ridden(change(school_machine(), "tyre_pressure", pressure), name, speed)
    except InputError:  # the braking bumps end before the brake has done its work
        return None
    at = int(np.argmax(done.velocity))
    found = (float(each[at]) for each in (done.velocity, done.wheel_velocity, done.sprung_velocity))
    return FastestIn(*found, meets_rim(done), end_of_travel(done) == "metal")


def meets_rim(done: Ride) -> bool:
    """Whether the tyre was pressed down to its rim.

    >>> [meets_rim(ridden_as_it_stands(name, usual_speed(name))) for name in ("log", "crash")]
    [False, True]
    """
    squash = done.road - done.wheel_height
    return bool(squash.max() > done.vehicle.tyre.rim_squash)


def end_of_travel(done: Ride) -> str:
    """How the deepest stroke of a ride ends: at the "metal", at the "bumper", or with some to "spare"."""
    deepest = done.stroke.max()
    if deepest > done.fork.travel:
        return "metal"
    return "bumper" if deepest > bumper_from(done) else "spare"


@dataclass(frozen=True, eq=False)
class Rolling:
    """A ground and the wheel that rolls over it: heights [m], climb [-], every STEP of distance."""

    ground: Terrain
    wheel: np.ndarray  # m, over the ground from where it rolls on the flat
    climb: np.ndarray  # slope of its path, -

    @property
    def distance(self) -> np.ndarray:
        """Distance along the ground [m]."""
        return np.arange(len(self.wheel)) * STEP

    def follows(self, places) -> bool:
        """Whether the wheel follows nearly all of the ground at some places [n, steps], or its tyre rounds it off."""
        ground, wheel = self.ground.height[places], self.wheel[places]
        return bool(np.std(wheel - ground) < FOLLOWED * np.std(ground))

    def seen(self, window: tuple[float, float], points: int = 600) -> np.ndarray:
        """Places of steps within a window of distance [m], at most about that many."""
        near = (self.distance >= window[0]) & (self.distance <= window[1])
        return np.flatnonzero(near)[:: max(1, near.sum() // points)]


def stands_on(pressure: float) -> float:
    """Length on which the school enduro's front tyre stands [m] at a pressure [Pa, gauge], its rider aboard.

    >>> round(stands_on(1e5), 3), round(stands_on(0.7e5), 3)
    (0.1, 0.118)
    """
    machine = change(school_machine(), "tyre_pressure", pressure)
    return float(contact_length(front_load(machine), machine.tyre))


@remembered(size=128)
def rolling(name: str, contact_length: float) -> Rolling:
    """The wheel over a ground, contact_length [m] of its tyre given.

    >>> round(float(rolling("square edge", 0.11).climb.max()), 2)
    0.54
    """
    ground = loop_ground(name)
    wheel = tyre_envelope(ground.height, school_machine().tyre.radius, contact_length)
    return Rolling(ground, wheel, np.gradient(wheel, STEP))
