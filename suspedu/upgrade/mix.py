"""One terrain mix for all dampers: what is ridden, and the four wishes that a lap of it is judged by."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.riding import fork_law, vehicle
from suspedu.numerics import remembered
from suspedu.ride.outcomes import OUTCOMES, early_dive, heating_power, load_variation
from suspedu.ride.profile import RUN_IN, STEP, Flight, Terrain
from suspedu.ride.simulate import Ride, simulate
from suspedu.ride.terrain import braking_bumps, rock_garden
from suspedu.ride.vehicle import ForkLaw, Vehicle
from suspedu.ride.weighting import weighted
from suspedu.school.noticed import noticed
from suspedu.units import STANDARD_GRAVITY

FALL, LANDED = 1.6, 1.0  # m of the landing's fall; s that the ride goes on after it
BRAKING, FAST, SLOW = 7.0, 10.0, 5.0  # m/s2; m/s before and after
SHARED = ("rocks", "bumps")  # grounds that grip is judged on; hands feel these and the landing


@dataclass(frozen=True)
class Wish:
    """Something that a lap should have little or much of, and the outcome whose step a rider notices likewise."""

    name: str
    label: str
    unit: str
    better: str  # "less" or "more"
    felt_as: str  # an outcome of `school.noticed`

    def gain(self, change):
        """A change [SI, any shape] as something good when above zero."""
        return change if self.better == "more" else -np.asarray(change)

    def cost(self, value):
        """A value [SI, any shape] as something to be made small."""
        return -np.asarray(value) if self.better == "more" else np.asarray(value)

    def steps(self, change, usual):
        """A change [SI] counted in steps that a rider notices [-], for the better above zero, against a usual [SI]."""
        return self.gain(change) / noticed(self.felt_as, usual)


WISHES = {wish.name: wish for wish in (
    Wish("hands", "shake and blows of the bars", "m/s^2", "less", "comfort"),
    Wish("spare", "travel left by the landing", "mm", "more", "margin"),
    Wish("grip", "swing of the tyre's load", "", "less", "load_variation"),
    Wish("dive", "dive 0.3 s after the bite", "mm", "less", "early_dive"),
)}  # fmt: skip


@remembered
def grounds(seed: int = 2, share: float = 1.0) -> dict[str, Terrain]:
    """The grounds of a lap, by name.

    Parameters: seed of the rocks; share of the usual speed over rocks and bumps [-].

    >>> {name: round(ground.length) for name, ground in grounds().items()}
    {'rocks': 32, 'bumps': 35, 'landing': 13, 'brake': 12}
    """
    fallen = np.sqrt(2 * FALL / STANDARD_GRAVITY) + LANDED
    stop = RUN_IN + (FAST**2 - SLOW**2) / (2 * BRAKING)
    rocks, bumps = rock_garden(length=32.0, seed=seed), braking_bumps(count=10)
    return {"rocks": _at(rocks, share), "bumps": _at(bumps, share),
            "landing": Terrain(f"landing from {FALL:g} m", np.zeros(round(8.0 * fallen / STEP)), 8.0, quiet_from=0.0,
                               flight=Flight(FALL)),
            "brake": Terrain("brake", np.zeros(round((stop + 3.0) / STEP)), FAST, None, RUN_IN, BRAKING, SLOW)}


def _at(ground: Terrain, share: float) -> Terrain:
    return ground if share == 1.0 else replace(ground, speed=share * ground.speed)


def fourth_power_mean(acceleration, rate: float) -> float:
    """Fourth-power mean of the weighted acceleration, in which single blows count for what they are.

    a = (mean(a_w(t)^4))^(1/4)

    Parameters: acceleration [n, m/s2]; rate, samples per second [Hz].
    Returns: a [m/s2]; times T^(1/4) it is the vibration dose value of a ride of T seconds.

    >>> time = np.arange(40000) / 2000
    >>> round(fourth_power_mean(np.sqrt(2) * np.sin(2 * np.pi * 8 * time), 2000.0), 2)  # (3/2)^(1/4) of the r.m.s.
    1.15

    Source: iso-2631-1, section 6.3.3, fourth power vibration dose (printed, from memory)
    """
    return float(np.mean(weighted(acceleration, rate) ** 4) ** 0.25)


@dataclass(frozen=True)
class Lap:
    """A lap in one state of the oil: the four wishes [SI], and what else a mechanic asks for [SI]."""

    hands: float
    spare: float
    grip: float
    dive: float
    throw: float  # m/s, fastest upwards of the bars after the landing
    blow: float  # m/s2, hardest on the bars as it lands
    heating: float  # W over the rough grounds


def lap(front: Vehicle, law: ForkLaw, over: Mapping[str, Terrain] | None = None) -> Lap:
    """A lap of the mix: four rides.

    Parameters: front, the vehicle; law, its fork; over, grounds by name, those of `grounds` if None.

    >>> from suspedu.machine import load
    >>> round(lap(*as_it_stands(load("enduro"))).dive * 1e3)
    121
    """
    rides = {name: simulate(front, law, ground) for name, ground in (over or grounds()).items()}
    landing, rough = rides["landing"], [rides[name] for name in SHARED]
    shaken = [(fourth_power_mean(each.sprung_acceleration, 1 / each.ground.step), each) for each in (*rough, landing)]
    return Lap(_over_time(shaken, 4.0), law.travel - float(landing.stroke.max()),
               _over_time([(load_variation(each), each) for each in rough], 2.0), early_dive(rides["brake"]),
               OUTCOMES["kick"].measure(landing), float(landing.sprung_acceleration.max()),
               _over_time([(heating_power(each), each) for each in rough], 1.0))


def as_it_stands(machine: Machine) -> tuple[Vehicle, ForkLaw]:
    """What `lap` takes, of a machine as it stands."""
    return vehicle(machine), fork_law(machine)


def _over_time(found: Sequence[tuple[float, Ride]], power: float) -> float:
    """Mean of a power over rides, each for as long as it lasts."""
    values, lasting = np.array([value for value, _ in found]), [float(ride.time[-1]) for _, ride in found]
    return float(np.average(values**power, weights=lasting) ** (1.0 / power))


_TOGETHER: dict[str, Callable] = {"hands": lambda a: np.mean(a**4) ** 0.25, "spare": np.min,
                                  "grip": lambda a: np.sqrt(np.mean(a**2)), "dive": np.max}


def whole_day(laps: Sequence[Lap]) -> dict[str, float]:
    """The wishes over laps in several states of the oil: means of their powers, and the worst of landing and dive.

    Parameters: laps, each as long as the others. Returns: wishes by name [SI].

    >>> easy, hard = Lap(1.0, 0.05, 0.5, 0.10, 1.0, 70.0, 200.0), Lap(2.0, 0.04, 0.5, 0.12, 1.0, 80.0, 210.0)
    >>> {name: round(value, 3) for name, value in whole_day([easy, hard]).items()}
    {'hands': 1.707, 'spare': 0.04, 'grip': 0.5, 'dive': 0.12}
    """
    return {name: float(of(np.array([getattr(each, name) for each in laps]))) for name, of in _TOGETHER.items()}
