"""A machine on the trail: its force laws as tables, a ride over a terrain, and which adjuster does what."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from suspedu.machine.adjusters import adjuster, charted
from suspedu.machine.changing import turned
from suspedu.machine.damping import quick_damping_table
from suspedu.machine.forces import force_split
from suspedu.machine.friction import CALIPER_LEG
from suspedu.machine.model import Machine, of_one_setting
from suspedu.machine.statics import front_load, resting_stroke, sprung_mass
from suspedu.numerics import remembered
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.parts.stops import TopOutSpring
from suspedu.ride.outcomes import OUTCOMES, outcomes
from suspedu.ride.rider import rider_on_legs
from suspedu.ride.simulate import Ride, on_all_cores, simulate
from suspedu.ride.terrain import TERRAINS, Terrain
from suspedu.ride.terrain import terrain as terrain_named
from suspedu.ride.vehicle import ForkLaw, Vehicle, close_speeds
from suspedu.units import InputError

SPEEDS = close_speeds(12.0)  # m/s of the damping tables; faster is drawn on in a straight line
SPEEDS.setflags(write=False)
METAL_TOP = TopOutSpring(300e3, 0.5e-3)  # of a leg whose parts meet bare as it comes out; going in, its metal meets


def vehicle(machine: Machine) -> Vehicle:
    """What the front wheel of a machine carries: chassis with bars, and its rider on arms and legs.

    >>> from suspedu.machine import load
    >>> front = vehicle(load("enduro"))
    >>> round(front.sprung_mass, 2), round(front.rider.mass, 2)  # 112 kg x 48 % - 15 kg; 82 kg x 44 %
    (38.76, 36.08)
    """
    chassis, rider = machine.chassis, machine.rider
    body = rider.mass * rider.front_share
    return Vehicle(sprung_mass(machine) - body, chassis.unsprung_mass, chassis.rake,
                   machine.tyre, chassis.mass + rider.mass, chassis.centre_height, chassis.wheelbase,
                   linkage=machine.linkage, rider=rider_on_legs(body, rider.posture), caliper_leg=CALIPER_LEG)


@remembered(size=48)  # tables of a quarter of a megabyte
def fork_law(machine: Machine) -> ForkLaw:
    """Tables of both legs together: coil, air (as in riding) and gas; damping; end stop; each leg's ends and friction.

    Raises: InputError for a machine that stands for many settings (arrays): a ride is of one.

    >>> from suspedu.machine import load
    >>> fork_law(load("enduro")).damping_force.shape
    (31, 481)
    """
    strokes, coarse = np.linspace(0.0, machine.travel, 301), np.linspace(0.0, machine.travel, 31)
    rest, legs = resting_stroke(of_one_setting(machine), front_load(machine)), machine.both_legs
    split, (zone, stop) = force_split(machine, strokes, None, rest), _stop_table(machine)
    return ForkLaw(machine.travel, strokes, split.coil + split.air + split.gas, SPEEDS,
                   quick_damping_table(machine, coarse, SPEEDS), coarse, zone, stop,
                   top_outs=tuple(leg.top_out or METAL_TOP for leg in legs),
                   bumpers=tuple(leg.bumper for leg in legs if leg.bumper is not None),
                   seals=tuple(leg.friction for leg in legs), bushings=tuple(leg.bushings for leg in legs),
                   air_pressures=tuple(air_pressure_absolute(strokes, leg.travel, leg.air, None, rest) for leg in legs))


def _stop_table(machine: Machine):
    """Grid over the end stop's zone and its forces, or nothing for a machine without one."""
    stops = [leg.damper.unit.end_stop for leg in machine.both_legs if leg.damper is not None]
    starts = [stop.start for stop in stops if stop is not None]
    if not starts or min(starts) >= machine.travel:
        return None, None
    fine = np.linspace(0.0, machine.travel, 1201)  # the table begins on a round stroke just before the zone
    zone = np.linspace(fine[np.searchsorted(fine, min(starts), side="right") - 1], machine.travel, 26)
    return zone, quick_damping_table(machine, zone, SPEEDS, part="stop_force")


def _terrain(terrain: str | Terrain) -> Terrain:
    return terrain if isinstance(terrain, Terrain) else terrain_named(terrain)


def ride(machine: Machine, terrain: str | Terrain, speed: float | None = None, *, drop_height: float = 0.0) -> Ride:
    """Ride a machine over a terrain.

    Parameters: machine; terrain, itself or its name; speed [m/s], the terrain's own if None; drop_height [m].

    >>> from suspedu.machine import load
    >>> round(1e3 * float(ride(load("enduro"), "log").stroke.max()), 1)
    151.2
    """
    return simulate(vehicle(machine), fork_law(machine), _terrain(terrain), speed, drop_height=drop_height)


def ride_all(machines: Sequence[Machine], terrain: str | Terrain, speed: float | None = None, *,
             names: Sequence[str] | None = None, progress: Callable[[int, int], None] | None = None) -> list:
    """Outcomes of many machines or settings over one terrain, on all cores; None for one that cannot be ridden.

    Parameters: machines; terrain, itself or its name; speed [m/s], the terrain's own if None; names of outcomes;
    progress(done, total), called after each.
    Raises: InputError where none can be ridden, or one holds arrays.
    Assumes: the tables of one machine are made while another is ridden; machines share the curves of like valves.

    >>> from suspedu.machine import load
    >>> told = ride_all([turned(load("enduro"), "oil_height", n) for n in (0, 3)], "log", names=("deepest",))
    >>> [round(1e3 * one["deepest"], 1) for one in told]  # less air, less travel
    [151.2, 150.7]
    """
    ground, machines = _terrain(terrain), [of_one_setting(machine) for machine in machines]
    return on_all_cores(lambda machine: outcomes(ride(machine, ground, speed), names), machines, progress)


@dataclass(frozen=True, eq=False)
class Sensitivity:
    """What one step of each adjuster does to each outcome on each terrain."""

    terrains: tuple[str, ...]
    adjusters: tuple[str, ...]
    outcomes: tuple[str, ...]
    present: np.ndarray  # [terrain, outcome], SI: as the machine stands
    change: np.ndarray  # [terrain, adjuster, outcome], SI per step; nan where a terrain does not ask

    def of(self, terrain: str, adjuster: str, outcome: str) -> float:
        """One entry [SI of the outcome, per step]."""
        return float(self.change[self.terrains.index(terrain), self.adjusters.index(adjuster),
                                 self.outcomes.index(outcome)])

    def gain(self) -> np.ndarray:
        """Change for the better as a share of the spread over all entries [terrain, adjuster, outcome], > 0 = better.

        Outcomes that aim at a target (ride height, drift, deepest) have no better direction and show as nan.
        """
        better = {"less": -1.0, "more": 1.0, "target": np.nan}
        sign = np.array([better[OUTCOMES[name].better] for name in self.outcomes])
        size = np.nanmax(np.abs(self.change), axis=(0, 1), initial=0.0)
        return sign * self.change / np.where(size > 0, size, 1.0)


def sensitivity(machine: Machine, terrains: Sequence[str | Terrain] | None = None, *,
                adjusters: Sequence[str] | None = None, names: Sequence[str] | None = None,
                progress: Callable[[int, int], None] | None = None) -> Sensitivity:
    """The rider's chart: every outcome against every adjuster over every terrain, by riding each.

    change = (outcome at +reach steps - outcome at -reach steps)/(2 reach); one-sided at the end of an adjuster

    Parameters: machine; terrains, adjusters, names of outcomes, all there are if None; progress(done, total).

    >>> from suspedu.machine import load
    >>> chart = sensitivity(load("enduro"), ["log"], adjusters=["preload"], names=("deepest",))
    >>> round(1e3 * chart.of("log", "preload", "deepest"), 2)  # mm for a millimetre more
    -0.83
    """
    names, grounds = tuple(names or OUTCOMES), [_terrain(terrain) for terrain in terrains or TERRAINS]
    sides = {name: _sides(machine, name) for name in (adjusters or charted())}
    sides = {name: pair for name, pair in sides.items() if pair is not None}
    settings = [machine, *(m for (low, high, _) in sides.values() for m in (low, high))]
    found = []
    for count, ground in enumerate(grounds):
        found.append(ride_all(settings, ground, names=names))
        if progress:
            progress((count + 1) * len(settings), len(grounds) * len(settings))
    values = np.array([[[np.nan] * len(names) if o is None else [o[n] for n in names] for o in row] for row in found])
    steps = np.array([steps for *_, steps in sides.values()])[None, :, None]
    change = (values[:, 2::2] - values[:, 1::2]) / steps
    return Sensitivity(tuple(g.name for g in grounds), tuple(sides), tuple(names), values[:, 0], change)


def _sides(machine: Machine, name: str):
    """The machine a few steps back and a few on, and how many steps lie between; None where it cannot be adjusted."""
    found, reach = {}, adjuster(name).reach
    for count in (-reach, 0, reach):
        try:
            found[count] = turned(machine, name, count)
        except InputError:  # past an end, or no such adjuster
            continue
    if len(found) < 2:
        return None
    return found[min(found)], found[max(found)], max(found) - min(found)
