"""The machine at rest: where it settles, how sure that is with friction, and which spring a rider needs.

Sag is what a tape measures along the fork: from the wheel hanging free to the
wheel carrying its load. Hanging, a leg rests on its top-out spring, so full
extension (stroke 0) and the hanging wheel are not quite the same place.
"""

from __future__ import annotations

import numpy as np

from suspedu.machine.changing import adjusted
from suspedu.machine.forces import ISOTHERMAL, force_split, fork_force, fork_rate
from suspedu.machine.model import Machine
from suspedu.parts.springs import spring_rate
from suspedu.units import STANDARD_GRAVITY, InputError, require

MANY_STEPS = 200  # a bracketed Newton search halves its interval at worst: 60 steps reach the last bit


def front_load(machine: Machine, rider: bool = True):
    """Vertical load on the front wheel, level and at rest [N], with or without the rider.

    N = g (m_machine share_machine + m_rider share_rider)

    >>> from suspedu.machine import load
    >>> bool(front_load(load("enduro")) > front_load(load("enduro"), rider=False))
    True
    """
    carried = machine.chassis.mass * machine.chassis.front_share
    return STANDARD_GRAVITY * (carried + rider * machine.rider.mass * machine.rider.front_share)


def fork_load(machine: Machine, ground_load):
    """Force along the fork that balances a load between wheel and ground.

    F = (N - m_unsprung g) cos(rake)

    Parameters: machine; ground_load N [N], any shape, 0 for a hanging wheel. Returns: force [N], both legs.
    Assumes: no friction and no braking; by virtual work, for the wheel rises by cos(rake) of the stroke.

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> bool(fork_load(bike, 0.0) < 0.0 < fork_load(bike, front_load(bike)))  # hanging, the wheel pulls
    True
    """
    hanging = machine.chassis.unsprung_mass * STANDARD_GRAVITY
    return (ground_load - hanging) * np.cos(machine.chassis.rake)


def static_stroke(machine: Machine, axial_load, exponent=ISOTHERMAL):
    """Stroke at which the fork's springs and air carry an axial load.

    F(x) = load, and the end of the travel where the springs are beaten or not yet moved

    Parameters: machine; axial_load [N], any shape, both legs; exponent of the air [1].
    Returns: stroke [m], of the shape of the load and of the machine's settings together.

    >>> from suspedu.machine import load
    >>> float(static_stroke(load("enduro"), 1e5)) == load("enduro").travel
    True
    """
    extended, compressed = (fork_force(machine, end, exponent) for end in (0.0, machine.travel))
    shape = np.broadcast_shapes(np.shape(axial_load), np.shape(extended))
    held = np.broadcast_to(np.clip(axial_load, extended, compressed), shape)
    low, high = np.zeros(shape), np.full(shape, machine.travel)
    x, settled = (low + high) / 2, 4 * np.spacing(machine.travel)
    for _ in range(MANY_STEPS):
        error = fork_force(machine, x, exponent) - held
        low, high = np.where(error < 0, x, low), np.where(error > 0, x, high)
        newton = x - error / fork_rate(machine, x, exponent)
        following = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
        if np.all(np.abs(following - x) <= settled):
            break
        x = following
    return np.where(axial_load <= extended, 0.0, np.where(axial_load >= compressed, machine.travel, x))[()]


def hanging_stroke(machine: Machine):
    """Stroke [m] with the wheel off the ground: zero, or what the top-out spring holds the leg in by.

    >>> from suspedu.machine import load
    >>> bool(0.0 < hanging_stroke(load("enduro")) < load("enduro").legs[0].top_out.length)
    True
    """
    return static_stroke(machine, fork_load(machine, 0.0))


def sag(machine: Machine, ground_load):
    """Sag under a load between wheel and ground.

    sag = x(load) - x(hanging)

    Parameters: machine; ground_load [N], any shape. Returns: sag [m], along the fork.

    >>> from suspedu.machine import load
    >>> float(sag(load("enduro"), 0.0))
    0.0
    """
    return static_stroke(machine, fork_load(machine, ground_load)) - hanging_stroke(machine)


def free_sag(machine: Machine):
    """Sag of the machine alone [m], of the shape of its settings.

    >>> from suspedu.machine import load
    >>> bool(0.020 < free_sag(load("enduro")) < 0.045)
    True
    """
    return sag(machine, front_load(machine, rider=False))


def rider_sag(machine: Machine):
    """Sag with the rider in riding gear aboard [m], of the shape of the machine's settings.

    >>> from suspedu.machine import load
    >>> bool(0.060 < rider_sag(load("enduro")) < 0.085)
    True
    """
    return sag(machine, front_load(machine))


def breakaway_friction(machine: Machine):
    """Friction that holds the fork where it is [N], both legs.

    >>> from suspedu.machine import load
    >>> breakaway_friction(load("enduro"))
    40.0
    """
    return sum(leg.friction.breakaway for leg in machine.both_legs)


def sag_band(machine: Machine, rider: bool = True):
    """Least and greatest sag at which friction lets the fork come to rest.

    |F(x) - load| <= friction

    Parameters: machine; rider aboard or not. Returns: two sags [m]: let down from above, and pressed in and let up.
    Assumes: the hanging wheel, from which both are measured, was shaken free of friction.

    >>> from suspedu.machine import load
    >>> low, high = sag_band(load("enduro"))
    >>> bool(low < rider_sag(load("enduro")) < high)
    True
    """
    load, friction = fork_load(machine, front_load(machine, rider)), breakaway_friction(machine)
    start = hanging_stroke(machine)
    return tuple(static_stroke(machine, load + way * friction) - start for way in (-1, 1))


def share_of_travel(machine: Machine, stroke):
    """A stroke or sag [m] of any shape as a share of the travel [1].

    >>> from suspedu.machine import load
    >>> share_of_travel(load("enduro"), 0.075)
    0.25
    """
    return stroke / machine.travel


def sag_per_preload(machine: Machine, rider: bool = True):
    """How much sag a metre of preload takes away, on both legs together.

    dx/dp = -sum(k)/F'(x) for the loaded stroke, less the same for the hanging wheel; 0 where a stop holds it

    Parameters: machine; rider aboard or not. Returns: slope d(sag)/d(preload) [m/m], negative.

    >>> from suspedu.machine import load
    >>> bool(-1 < sag_per_preload(load("enduro")) < -0.5)
    True
    """
    loaded = static_stroke(machine, fork_load(machine, front_load(machine, rider)))
    return _stroke_per_preload(machine, loaded) - _stroke_per_preload(machine, hanging_stroke(machine))


def _stroke_per_preload(machine, stroke):
    coils = sum(spring_rate(leg.spring) for leg in machine.both_legs)
    free = (stroke > 0) & (stroke < machine.travel)
    return np.where(free, -coils / fork_rate(machine, stroke), 0.0)[()]


def rate_for_rider(machine: Machine, rider_mass, target_sag):
    """Coil rate, alike in both legs, that gives a rider the sag aimed at, with the present preload.

    k = (load - air - top-out - bumper - gas) / sum(x + preload)

    Parameters: machine; rider_mass in gear [kg]; target_sag, rider sag [m]; any shape.
    Returns: rate [N/m]. Raises: InputError where no coil of the trade's range does it.

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> rate = rate_for_rider(bike, 95.0, 0.070)
    >>> round(float(rider_sag(adjusted(bike, coil_rate=rate, rider_mass=95.0))), 9)
    0.07
    """
    machine = adjusted(machine, rider_mass=rider_mass)
    require("target sag", target_sag, 0.005, machine.travel / 2, "mm")
    load, rate = fork_load(machine, front_load(machine)), 4000.0
    for _ in range(MANY_STEPS):  # the hanging stroke depends, weakly, on the rate that is sought
        trial = adjusted(machine, coil_rate=np.clip(rate, 500.0, 30e3))
        stroke = target_sag + hanging_stroke(trial)
        before, rate = rate, _coil_share(machine, stroke, load) / _squeeze(machine, stroke)
        if np.allclose(rate, before, rtol=1e-14, atol=0):
            break
    return require("coil rate for this rider and sag", rate, 500.0, 30e3, "N/mm", "no such spring: look at the "
                   "sag aimed at, the preload and the oil height")


def spring_for_rider(machine: Machine, rider_mass, target_rider_sag, target_free_sag):
    """Coil rate and preload, alike in both legs, that give both sags at once: two springs' worth of facts.

    k = (load_rider - load_free - change of air and stops) / (2 (x_rider - x_free)), then preload from the free sag

    Parameters: machine; rider_mass in gear [kg]; target_rider_sag, target_free_sag [m]; any shape.
    Returns: rate [N/m], preload [m]; a negative preload is a spring that would have to be shortened
    (its size is then approximate).
    Raises: InputError where no coil of the trade's range does it.

    >>> from suspedu.machine import load
    >>> rate, preload = spring_for_rider(load("enduro"), 80.0, 0.070, 0.032)
    >>> bool(3000 < rate < 6000)
    True
    """
    machine = adjusted(machine, rider_mass=rider_mass)
    if np.any(np.less_equal(target_rider_sag, target_free_sag)):
        raise InputError("rider sag must be more than free sag: were the two swapped?")
    loads = [fork_load(machine, front_load(machine, rider)) for rider in (False, True)]
    rate, preload = 4000.0, 0.0
    for _ in range(MANY_STEPS):
        trial = adjusted(machine, coil_rate=np.clip(rate, 500.0, 30e3), preload=np.clip(preload, 0.0, 0.06))
        start, before = hanging_stroke(trial), rate
        free, loaded = target_free_sag + start, target_rider_sag + start
        low, high = (_coil_share(machine, x, load) for x, load in zip((free, loaded), loads, strict=True))
        rate = (high - low) / (2 * (loaded - free))
        preload = low / (2 * rate) - free
        if np.allclose(rate, before, rtol=1e-14, atol=0):
            break
    return require("coil rate for these two sags", rate, 500.0, 30e3, "N/mm", "no such spring"), preload


def _coil_share(machine, stroke, load):
    """What of a load [N] the coils must carry at a stroke [m], air and stops having taken theirs."""
    split = force_split(machine, stroke)
    return load - (split.total - split.coil)


def _squeeze(machine, stroke):
    return sum(stroke + leg.spring.preload for leg in machine.both_legs)
