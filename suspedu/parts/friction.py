"""Friction of seals and bushings: it works against the motion, and takes energy for good."""

from __future__ import annotations

import numpy as np

from suspedu.units import InputError, check_fields, part, quantity


@part(kw_only=True)
class SealFriction:
    """Friction of the seals and bushings of one leg: while sliding, and what it takes to break loose."""

    sliding: float = quantity("N", 0, 200, "sliding friction")
    breakaway: float = quantity("N", 0, 300, "breakaway friction")
    slow: float = quantity("mm/s", 0.1, 50, "speed below which friction is smoothed", default=0.005)

    def __post_init__(self):
        check_fields(self)
        if np.any(np.less(self.breakaway, self.sliding)):
            raise InputError("breakaway friction is below sliding friction: were the two swapped?")


def friction_force(velocity, seals: SealFriction):
    """Coulomb friction against the motion, smoothed through standstill, highest as it breaks loose.

    F = [F_s + (F_b - F_s) exp(-(v / 5 v_0)^2)] tanh(v / v_0)

    Parameters: velocity v [m/s], any shape; seals with sliding F_s, breakaway F_b and slow speed v_0.
    Returns: force [N], with the sign of v.
    Assumes: no side load. The smoothing is for integrators; a leg at rest holds anything within `stiction_band`.

    >>> seals = SealFriction(sliding=20.0, breakaway=30.0)
    >>> [round(float(friction_force(v, seals)), 1) for v in (-1.0, 0.0, 1.0)]
    [-20.0, 0.0, 20.0]
    """
    v = np.asarray(velocity, dtype=float)
    rise = (seals.breakaway - seals.sliding) * np.exp(-((v / (5 * seals.slow)) ** 2))
    return (seals.sliding + rise) * np.tanh(v / seals.slow)


def stiction_band(force, seals: SealFriction):
    """Lowest and highest outside force [N] that leave a leg at rest where its springs give `force` [N], any shape.

    >>> stiction_band(165.0, SealFriction(sliding=20.0, breakaway=30.0))
    (135.0, 195.0)
    """
    return force - seals.breakaway, force + seals.breakaway
