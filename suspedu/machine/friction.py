"""Friction of the whole fork, one law at rest, let go and riding: seals, their pressure, and bushings under side load.

The ground's push N and the front brake's pull B meet at the axle. Across the legs stand N sin r and B cos r, shared by
both; the couple of the brake, B times the wheel's radius, bends the leg that carries the caliper.
"""

from __future__ import annotations

import numpy as np

from suspedu.machine.model import Machine
from suspedu.parts.air_spring import ISOTHERMAL, air_pressure_absolute
from suspedu.parts.friction import bushing_load, friction_level, friction_shape, stiction_band
from suspedu.units import STANDARD_GRAVITY

CALIPER_LEG = 0  # the left one, as on most machines (common practice)


def cross_force(machine: Machine, ground_load, braking_force=0.0):
    """Force at the axle across the legs, forwards and upwards, both together.

    Q = (N - m_unsprung g) sin r - B cos r

    Parameters: machine; ground_load N [N]; braking_force B of the front wheel [N]; any shape.
    Returns: force [N]; none for a linkage, whose links take it.
    Assumes: the wheel does not speed up across the legs.

    >>> from suspedu.machine import front_load, load
    >>> bike = load("enduro")
    >>> [round(float(cross_force(bike, front_load(bike), brake))) for brake in (0.0, 700.0)]
    [327, -299]
    """
    if machine.linkage is not None:
        return np.zeros(np.broadcast_shapes(np.shape(ground_load), np.shape(braking_force)))
    carried = np.subtract(ground_load, machine.chassis.unsprung_mass * STANDARD_GRAVITY)
    return carried * np.sin(machine.chassis.rake) - np.multiply(braking_force, np.cos(machine.chassis.rake))


def caliper_couples(machine: Machine, braking_force):
    """Couple of the caliper on the foot of each leg, left and right [N m]: it turns the foot the way the wheel rolls.

    M = -B R_wheel, against the way that a cross force upwards turns it

    Parameters: machine; braking_force B of the front wheel [N], any shape.

    >>> from suspedu.machine import load
    >>> [round(float(couple)) + 0 for couple in caliper_couples(load("enduro"), 700.0)]
    [-242, 0]
    """
    turned = -np.multiply(braking_force, machine.tyre.radius * (machine.linkage is None))
    return tuple(turned if leg == CALIPER_LEG else 0.0 * turned for leg in range(2))


def friction_levels(machine: Machine, stroke, ground_load, braking_force=0.0, exponent=ISOTHERMAL):
    """Friction of each leg while it slides, left and right [N]: see `parts.friction.friction_level`.

    Parameters: machine; stroke [m]; ground_load, braking_force of the front wheel [N]; any shape; exponent of the air
    [1].

    >>> from suspedu.machine import front_load, load
    >>> bike = load("enduro")
    >>> [round(float(level), 1) for level in friction_levels(bike, 0.06, front_load(bike))]
    [29.8, 29.8]
    """
    across, couples = cross_force(machine, ground_load, braking_force) / 2, caliper_couples(machine, braking_force)
    return tuple(_level(leg, stroke, across, couple, exponent)
                 for leg, couple in zip(machine.both_legs, couples, strict=True))


def _level(leg, stroke, across, couple, exponent):
    pressure = air_pressure_absolute(stroke, leg.travel, leg.air, exponent)
    if leg.bushings is None:
        return friction_level(leg.friction, pressure)
    return friction_level(leg.friction, pressure, bushing_load(stroke, across, couple, leg.bushings),
                          leg.bushings.friction)


def fork_friction(machine: Machine, velocity, stroke, ground_load, braking_force=0.0):
    """Friction against the motion, both legs: the sum of their `friction_force`.

    Parameters: machine, of one setting; velocity [m/s]; stroke [m]; ground_load, braking_force of the front wheel
    [N]; any shape.
    Returns: force [N], with the sign of the velocity.

    >>> from suspedu.machine import front_load, load
    >>> bike = load("enduro")
    >>> fork_friction(bike, [-1.0, 0.0, 1.0], 0.06, front_load(bike)).round(1).tolist()
    [-59.6, 0.0, 59.6]
    """
    levels = friction_levels(machine, stroke, ground_load, braking_force)
    return sum(level * friction_shape(velocity, leg.friction)
               for level, leg in zip(levels, machine.both_legs, strict=True))


def breakaway_friction(machine: Machine, stroke, ground_load, braking_force=0.0):
    """Friction that holds the fork where it is [N], both legs.

    Parameters: machine; stroke [m]; ground_load, braking_force of the front wheel [N]; any shape.

    >>> from suspedu.machine import load
    >>> at_rest, braking, hard = (881.0, 0.0), (1484.0, 727.0), (1846.0, 1164.0)  # load and brake at 0, 5, 8 m/s2
    >>> [round(float(breakaway_friction(load("enduro"), 0.1, *at_axle))) for at_axle in (at_rest, braking, hard)]
    [69, 98, 171]
    """
    low, high = held_loads(machine, 0.0, stroke, ground_load, braking_force)
    return (high - low) / 2


def held_loads(machine: Machine, force, stroke, ground_load, braking_force=0.0):
    """Lowest and highest load along the fork [N] that leave it at rest where it pushes with `force` [N], any shape.

    Parameters: machine; force [N] at that stroke [m]; ground_load, braking_force of the front wheel [N]; any shape.

    >>> from suspedu.machine import front_load, load
    >>> bike = load("enduro")
    >>> [round(float(held)) for held in held_loads(bike, 657.0, 0.06, front_load(bike))]
    [579, 735]
    """
    low = high = force
    levels = friction_levels(machine, stroke, ground_load, braking_force)
    for leg, level in zip(machine.both_legs, levels, strict=True):
        low, high = stiction_band(low, leg.friction, level)[0], stiction_band(high, leg.friction, level)[1]
    return low, high
