"""The machine at rest: where it settles, and how sure that is with friction.

Sag is what a tape measures along the fork: from the wheel hanging free to the
wheel carrying its load. Hanging, a leg rests on its top-out spring, so full
extension (stroke 0) and the hanging wheel are not quite the same place.
"""

from __future__ import annotations

import numpy as np

from suspedu.machine.forces import ISOTHERMAL, Split, force_split, fork_force, fork_rate
from suspedu.machine.friction import breakaway_friction
from suspedu.machine.model import Machine
from suspedu.numerics import bracketed_root, remembered
from suspedu.parts.springs import spring_rate
from suspedu.parts.wheel_end import ratio_slope
from suspedu.units import STANDARD_GRAVITY

BALANCED = 1e-10  # N of excess that is rounding: a stroke of 1e-14 m


def front_load(machine: Machine, rider: bool = True):
    """Vertical load on the front wheel, level and at rest [N], with or without the rider.

    N = g (m_machine share_machine + m_rider share_rider)

    Parameters: machine; rider aboard or not.

    >>> from suspedu.machine import load
    >>> round(front_load(load("enduro")), 1), round(front_load(load("enduro"), rider=False), 1)
    (881.0, 527.2)
    """
    carried = machine.chassis.mass * machine.chassis.front_share
    return STANDARD_GRAVITY * (carried + rider * machine.rider.mass * machine.rider.front_share)


def sprung_mass(machine: Machine):
    """Mass that the fork carries in front [kg]: that of the front load, rider aboard, less the unsprung mass.

    >>> from suspedu.machine import load
    >>> round(sprung_mass(load("enduro")), 2)  # 112 kg x 48 % + 82 kg x 44 % - 15 kg
    74.84
    """
    return front_load(machine) / STANDARD_GRAVITY - machine.chassis.unsprung_mass


def fork_load(machine: Machine, ground_load, stroke=0.0):
    """Force along the fork that balances a load between wheel and ground.

    F = (N - m_unsprung g) dz/dx, and dz/dx = cos(rake) for a telescopic fork

    Parameters: machine; ground_load N [N], any shape, 0 for a hanging wheel; stroke [m], any shape, which only a
    linkage asks for.
    Returns: force [N], both legs.
    Assumes: no friction and no braking; by virtual work, for the wheel rises by dz/dx of the stroke.

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> round(float(fork_load(bike, front_load(bike)))), round(float(fork_load(bike, 0.0)))  # hanging, the wheel pulls
    (657, -132)
    """
    hanging = machine.chassis.unsprung_mass * STANDARD_GRAVITY
    return (ground_load - hanging) * machine.wheel_end.motion_ratio(stroke)


def static_stroke(machine: Machine, axial_load, exponent=ISOTHERMAL):
    """Stroke at which the fork's springs and air carry an axial load.

    F(x) = load, and the end of the travel where the springs are beaten or not yet moved

    Parameters: machine; axial_load [N], any shape, both legs; exponent of the air [1].
    Returns: stroke [m], of the shape of the load and of the machine's settings together.

    >>> from suspedu.machine import load
    >>> static_stroke(load("enduro"), [-1e5, 657.0, 1e5]).round(4).tolist()
    [0.0, 0.0622, 0.3]
    """
    return _balance(machine, lambda stroke: fork_force(machine, stroke, exponent) - np.asarray(axial_load))


def resting_stroke(machine: Machine, ground_load, friction=0.0):
    """Stroke at which the fork carries a load between wheel and ground, the air having had time.

    F(x) = fork_load(x) + friction

    Parameters: machine; ground_load [N], any shape; friction that helps the load [N], any shape, or a function of the
    stroke that gives it.
    Returns: stroke [m], of the shape of load, friction and settings together.

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> resting_stroke(bike, front_load(bike), [-40.0, 0.0, 40.0]).round(4).tolist()
    [0.058, 0.0622, 0.0664]
    """
    helping = friction if callable(friction) else lambda stroke: np.asarray(friction)
    return _balance(machine, lambda stroke: fork_force(machine, stroke) - fork_load(machine, ground_load, stroke)
                    - helping(stroke))


def riding_split(machine: Machine, stroke) -> Split:
    """Force of the fork by its parts in a ride: the air works about the stroke where it settled with the rider.

    Parameters: machine; stroke [m], any shape.
    Returns: `Split` of forces [N]; where the fork rests, that of `force_split`: a ride rests where the sag says.

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> rest = resting_stroke(bike, front_load(bike))
    >>> [round(float(law(bike, rest).total), 6) for law in (riding_split, force_split)]
    [656.818895, 656.818895]
    """
    return force_split(machine, stroke, None, resting_stroke(machine, front_load(machine)))


def _balance(machine: Machine, excess):
    """Where an excess of the fork's force, rising over the stroke, is nought; an end of the travel where it is not."""
    extended, compressed = excess(0.0), excess(machine.travel)
    low = np.zeros(np.broadcast_shapes(np.shape(extended), np.shape(compressed)))
    end, inside = np.where(compressed <= 0.0, machine.travel, low), (extended < 0.0) & (compressed > 0.0)
    ends = np.where(inside, extended, low - end), np.where(inside, compressed, low + machine.travel - end)
    root = bracketed_root(lambda stroke: np.where(inside, excess(stroke), stroke - end), low, low + machine.travel,
                          ends=ends, tolerance=BALANCED)
    return np.asarray(root)[()] + 0.0  # no minus nought


@remembered
def hanging_stroke(machine: Machine):
    """Stroke [m] with the wheel off the ground: zero, or what the top-out spring holds the leg in by.

    >>> from suspedu.machine import load
    >>> round(float(hanging_stroke(load("enduro"))), 5)
    0.00215
    """
    return resting_stroke(machine, 0.0)


def sag(machine: Machine, ground_load):
    """Sag under a load between wheel and ground.

    sag = x(load) - x(hanging)

    Parameters: machine; ground_load [N], any shape. Returns: sag [m], along the fork.

    >>> from suspedu.machine import load
    >>> float(sag(load("enduro"), 0.0))
    0.0
    """
    return resting_stroke(machine, ground_load) - hanging_stroke(machine)


@remembered
def free_sag(machine: Machine):
    """Sag of the machine alone [m], of the shape of its settings.

    >>> from suspedu.machine import load
    >>> round(float(free_sag(load("enduro"))), 4)
    0.0265
    """
    return sag(machine, front_load(machine, rider=False))


@remembered
def rider_sag(machine: Machine):
    """Sag with the rider in riding gear aboard [m], of the shape of the machine's settings.

    >>> from suspedu.machine import load
    >>> round(float(rider_sag(load("enduro"))), 4)
    0.0601
    """
    return sag(machine, front_load(machine))


def sag_band(machine: Machine, rider: bool = True):
    """Least and greatest sag at which friction lets the fork come to rest.

    |F(x) - load| <= friction

    Parameters: machine; rider aboard or not.
    Returns: two sags [m]: let down from above, and pressed in and let up.
    Assumes: the hanging wheel, from which both are measured, was shaken free of friction.

    >>> from suspedu.machine import load
    >>> [round(float(sag), 4) for sag in sag_band(load("enduro"))]
    [0.0518, 0.0679]
    """
    ground, start = front_load(machine, rider), hanging_stroke(machine)

    def held(sign):
        return resting_stroke(machine, ground, lambda x: sign * breakaway_friction(machine, x, ground)) - start

    return held(-1.0), held(1.0)


def share_of_travel(machine: Machine, stroke):
    """A stroke or sag [m] of any shape as a share of the travel [1].

    >>> from suspedu.machine import load
    >>> share_of_travel(load("enduro"), 0.075)
    0.25
    """
    return stroke / machine.travel


def sag_per_preload(machine: Machine, rider: bool = True):
    """How much sag a metre of preload takes away, on both legs together.

    dx/dp = -sum(k)/(F'(x) - load'(x)) for the loaded stroke, less the same for the hanging wheel; 0 where a stop holds

    Parameters: machine; rider aboard or not.
    Returns: slope d(sag)/d(preload) [m/m], negative.

    >>> from suspedu.machine import load
    >>> round(float(sag_per_preload(load("enduro"))), 3)
    -0.745
    """
    return _stroke_per_preload(machine, front_load(machine, rider)) - _stroke_per_preload(machine, 0.0)


def _stroke_per_preload(machine: Machine, ground_load):
    stroke = resting_stroke(machine, ground_load)
    hanging = machine.chassis.unsprung_mass * STANDARD_GRAVITY
    slope = fork_rate(machine, stroke) - (ground_load - hanging) * ratio_slope(stroke, machine.wheel_end)
    coils = sum(spring_rate(leg.spring) for leg in machine.both_legs)
    free = (stroke > 0) & (stroke < machine.travel)
    return np.where(free, -coils / slope, 0.0)[()]
