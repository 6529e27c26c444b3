"""Friction of the whole fork: the seals and bushings of both legs, moving and at rest."""

from __future__ import annotations

from suspedu.machine.model import Machine
from suspedu.parts.friction import friction_force, stiction_band


def fork_friction(machine: Machine, velocity):
    """Friction against the motion, both legs: the sum of their `friction_force`.

    Parameters: machine; velocity [m/s], any shape, of a machine of one setting.
    Returns: force [N], with the sign of the velocity.

    >>> from suspedu.machine import load
    >>> fork_friction(load("enduro"), [-1.0, 0.0, 1.0]).round(6).tolist()
    [-28.0, 0.0, 28.0]
    """
    return sum(friction_force(velocity, leg.friction) for leg in machine.both_legs)


def breakaway_friction(machine: Machine):
    """Friction that holds the fork where it is [N], both legs.

    >>> from suspedu.machine import load
    >>> breakaway_friction(load("enduro"))
    40.0
    """
    return sum(leg.friction.breakaway for leg in machine.both_legs)


def held_loads(machine: Machine, force):
    """Lowest and highest load along the fork [N] that leave it at rest where it pushes with `force` [N], any shape.

    >>> from suspedu.machine import load
    >>> held_loads(load("enduro"), 657.0)
    (617.0, 697.0)
    """
    low = high = force
    for leg in machine.both_legs:
        low, high = stiction_band(low, leg.friction)[0], stiction_band(high, leg.friction)[1]
    return low, high
