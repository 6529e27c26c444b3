"""Friction of seals and bushings: it works against the motion, and takes energy for good.

Three things make it: the seals' own grip, the pressure that presses their lips on, and the bushings, on which the
cross force at the axle and the couple of the brake caliper bend the leg.
"""

from __future__ import annotations

import numpy as np

from suspedu.units import STANDARD_ATMOSPHERE, check_fields, part, quantity


@part(kw_only=True)
class SealFriction:
    """Friction of the seals of one leg while sliding, and by how much more it and the bushings' break loose."""

    sliding: float = quantity("N", 0, 200, "sliding friction of the seals")
    stiction: float = quantity("", 1, 5, "breakaway over sliding friction", default=1.3)
    slow: float = quantity("mm/s", 0.1, 50, "speed below which friction is smoothed", default=0.005)
    pressure_rise: float = quantity("N/bar", 0, 30, "friction of the seals for each bar", default=0.0)

    def __post_init__(self):
        check_fields(self)


@part(kw_only=True)
class Bushings:
    """The two bushings of one leg: the lower one in the outer tube's mouth, the upper one at the inner tube's end."""

    friction: float = quantity("", 0, 0.3, "friction coefficient of the bushings",
                               "coated bushings in oil are near 0.03 to 0.08")
    overlap: float = quantity("mm", 60, 500, "distance of the bushings at full extension")
    reach: float = quantity("mm", 150, 900, "axle to lower bushing at full extension")

    def __post_init__(self):
        check_fields(self)


def friction_force(velocity, seals: SealFriction, level=None):
    """Coulomb friction against the motion, smoothed through standstill, highest as it breaks loose.

    F = F_level [1 + (s - 1) exp(-(v / 5 v_0)^2)] tanh(v / v_0)

    Parameters: velocity v [m/s], any shape; seals with stiction s and slow speed v_0; level [N] while sliding, any
    shape, see `friction_level`, that of the bare seals if not given.
    Returns: force [N], with the sign of v.
    Assumes: the smoothing is for integrators; a leg at rest holds anything within `stiction_band`.

    >>> seals = SealFriction(sliding=20.0, stiction=1.5)
    >>> [round(float(friction_force(v, seals)), 1) for v in (-1.0, 0.0, 1.0)]
    [-20.0, 0.0, 20.0]
    """
    return (seals.sliding if level is None else level) * friction_shape(velocity, seals)


def friction_shape(velocity, seals: SealFriction):
    """Friction over its level while sliding [-], at a velocity [m/s] of any shape: the same for all that rubs.

    >>> [round(float(friction_shape(v, SealFriction(sliding=20.0, stiction=1.5))), 2) for v in (-1.0, 0.01)]
    [-1.0, 1.37]
    """
    v = np.asarray(velocity, dtype=float)
    rise = (seals.stiction - 1.0) * np.exp(-((v / (5 * seals.slow)) ** 2))
    return (1.0 + rise) * np.tanh(v / seals.slow)


def friction_level(seals: SealFriction, air_pressure=STANDARD_ATMOSPHERE, bushing_load=0.0, friction=0.0):
    """Friction of one leg while it slides.

    F_level = F_seal + c_p (p_air - p_atm) + mu (|R_u| + |R_l|)

    Parameters: seals with F_seal and c_p; air_pressure, absolute [Pa]; bushing_load |R_u| + |R_l| [N] and friction mu
    [-] of the bushings; any shape.
    Returns: force [N]; a chamber below the open air presses no lip on, and takes none off.

    >>> round(float(friction_level(SealFriction(sliding=8.0, pressure_rise=4e-5), 3e5, 850.0, 0.03)), 2)
    41.45
    """
    pressed = seals.pressure_rise * np.maximum(np.subtract(air_pressure, STANDARD_ATMOSPHERE), 0.0)
    return seals.sliding + pressed + friction * bushing_load


def bushing_forces(stroke, cross_force, couple, bushings: Bushings):
    """Forces of the two bushings on the inner tube, which is bent like a beam on two supports.

    R_u = (Q a + M)/b, R_l = -(R_u + Q), with b = b_0 + x and a = a_0 - x

    Parameters: stroke x [m]; cross_force Q at the axle [N], forwards and upwards > 0; couple M on the tube's foot
    [N m], > 0 where it turns the foot the way that Q does; any shape; bushings.
    Returns: upper R_u, lower R_l [N], each with the sign of Q's direction.
    Assumes: stiff tubes, bushings that press at one height each; nothing else carries across.

    >>> upper, lower = bushing_forces(0.06, 200.0, 0.0, Bushings(friction=0.03, overlap=0.19, reach=0.48))
    >>> round(float(upper)), round(float(lower))
    (336, -536)

    Source: derivation, a beam on two supports (computed by sympy: the tests derive it)
    """
    upper = (cross_force * (bushings.reach - stroke) + couple) / (bushings.overlap + stroke)
    return upper, -(upper + cross_force)


def bushing_load(stroke, cross_force, couple, bushings: Bushings):
    """What both bushings carry together, |R_u| + |R_l| [N]: it rubs, whichever way it presses; see `bushing_forces`.

    Parameters: stroke [m]; cross_force at the axle [N]; couple [N m]; any shape; bushings.

    >>> round(float(bushing_load(0.06, 200.0, 0.0, Bushings(friction=0.03, overlap=0.19, reach=0.48))))
    872
    """
    upper, lower = bushing_forces(stroke, cross_force, couple, bushings)
    return np.abs(upper) + np.abs(lower)


def stiction_band(force, seals: SealFriction, level=None):
    """Lowest and highest outside force [N] that leave a leg at rest where its springs give `force` [N], any shape.

    Parameters: force [N]; seals; level of its sliding friction [N], that of the bare seals if not given; any shape.

    >>> stiction_band(165.0, SealFriction(sliding=20.0, stiction=1.5))
    (135.0, 195.0)
    """
    breakaway = seals.stiction * (seals.sliding if level is None else level)
    return force - breakaway, force + breakaway
