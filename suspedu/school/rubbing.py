"""What rubs in the school's fork: seals, the air that presses them, and the bushings on which the legs are bent."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.friction import CALIPER_LEG, breakaway_friction, caliper_couples, cross_force, friction_levels
from suspedu.machine.riding import vehicle
from suspedu.machine.statics import front_load
from suspedu.parts.air_spring import ISOTHERMAL, air_pressure_absolute
from suspedu.parts.friction import bushing_forces, friction_level
from suspedu.school.machines import school_machine
from suspedu.school.tables import Tabulated

SLOWINGS = np.linspace(0.0, 9.0, 37)  # m/s2


@dataclass(frozen=True, eq=False)
class Rubbing:
    """Friction of both legs while they slide, over the stroke [m] by its causes [N]; and what the bushings bear."""

    seals: Tabulated
    air: Tabulated  # what the air adds at the seals' lips
    bushings: Tabulated
    holds: float  # N, what keeps the fork where it is, at the stroke asked for
    across: float  # N across both legs at the axle
    upper: Tabulated  # N of the upper bushing of the leg with the caliper, over deceleration [m/s2]
    lower: Tabulated


def bushed(overlap: float, friction: float) -> Machine:
    """The school's enduro with other bushings.

    Parameters: overlap, how far they are apart when extended [m]; friction, their coefficient [-].

    >>> bushed(0.12, 0.05).legs[0].bushings.overlap
    0.12
    """
    machine = school_machine()
    leg = machine.legs[0]
    worn = replace(leg.bushings, overlap=overlap, friction=friction)
    return replace(machine, legs=(replace(leg, bushings=worn),))


def loads(machine: Machine, slowing):
    """Load and brake of the front wheel [N] on the brakes: see `ride.vehicle`.

    Parameters: machine; slowing [m/s2], any shape.

    >>> [round(float(each)) for each in loads(school_machine(), 5.0)]
    [1484, 728]
    """
    front = vehicle(machine)
    return front_load(machine) + front.load_transfer * slowing, front.front_braking * slowing


def rubbing(machine: Machine, stroke: float, slowing: float) -> Rubbing:
    """What rubs over the whole travel, and at one stroke.

    Parameters: machine; stroke [m]; slowing, deceleration [m/s2].

    >>> found = rubbing(school_machine(), 0.062, 0.0)
    >>> round(found.bushings.at(0.062)), round(found.across)
    (42, 327)
    """
    strokes = np.linspace(0.0, machine.travel, 61)
    load, brake = loads(machine, slowing)
    seals = sum(leg.friction.sliding for leg in machine.both_legs) + 0.0 * strokes
    lips = sum(friction_level(leg.friction, air_pressure_absolute(strokes, leg.travel, leg.air, ISOTHERMAL))
               for leg in machine.both_legs)
    whole = sum(friction_levels(machine, strokes, load, brake))
    upper, lower = caliper_bushings(machine, stroke, SLOWINGS)
    return Rubbing(Tabulated(strokes, seals), Tabulated(strokes, lips - seals), Tabulated(strokes, whole - lips),
                   float(breakaway_friction(machine, stroke, load, brake)), float(cross_force(machine, load, brake)),
                   Tabulated(SLOWINGS, upper), Tabulated(SLOWINGS, lower))


def caliper_bushings(machine: Machine, stroke, slowing):
    """Forces of the upper and the lower bushing [N] of the leg with the caliper.

    Parameters: machine; stroke [m]; slowing, deceleration [m/s2]; any shape.

    >>> [round(float(force)) for force in caliper_bushings(school_machine(), 0.062, 0.0)]
    [272, -435]
    """
    load, brake = loads(machine, slowing)
    couple = caliper_couples(machine, brake)[CALIPER_LEG]
    return bushing_forces(stroke, cross_force(machine, load, brake) / 2, couple, machine.both_legs[0].bushings)
