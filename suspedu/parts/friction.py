"""What else pushes on a leg: seals and bushings, the top-out spring, the bottoming bumper.

Friction takes energy for good; the top-out spring and the bumper give theirs back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.units import InputError, check_fields, quantity


@dataclass(frozen=True, kw_only=True)
class SealFriction:
    """Friction of the seals and bushings of one leg: while sliding, and what it takes to break loose."""

    sliding: float = quantity("N", 0, 200, "sliding friction")
    breakaway: float = quantity("N", 0, 300, "breakaway friction")
    slow: float = quantity("mm/s", 0.1, 50, "speed below which friction is smoothed", default=0.005)

    def __post_init__(self):
        check_fields(self)
        if np.any(np.less(self.breakaway, self.sliding)):
            raise InputError("breakaway friction is below sliding friction: were the two swapped?")


@dataclass(frozen=True)
class TopOutSpring:
    """The short spring that catches a leg near full extension; it works against the fork's own springs."""

    rate: float = quantity("N/mm", 1, 300, "top-out rate")
    length: float = quantity("mm", 0.5, 60, "top-out length")

    def __post_init__(self):
        check_fields(self)


@dataclass(frozen=True)
class Bumper:
    """The elastic bumper of the last millimetres, stiffer the more it is squeezed."""

    length: float = quantity("mm", 2, 60, "bumper length")
    rate: float = quantity("N/mm", 0.5, 300, "bumper rate at first touch")
    end_rate: float = quantity("N/mm", 0.5, 3000, "bumper rate when squeezed flat")

    def __post_init__(self):
        check_fields(self)
        if np.any(np.less(self.end_rate, self.rate)):
            raise InputError("a bumper's end_rate is below its rate: a bumper stiffens; were the two swapped?")


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


def friction_power(velocity, seals: SealFriction):
    """Heat that friction makes per second [W], F v, never negative, for a velocity [m/s] of any shape.

    >>> round(float(friction_power(-0.5, SealFriction(sliding=20.0, breakaway=30.0))), 3)
    10.0
    """
    return friction_force(velocity, seals) * velocity


def top_out_force(stroke, spring: TopOutSpring):
    """Force of the top-out spring: negative, for it pulls the leg together near full extension.

    F = -k (l - x) while x < l

    Parameters: stroke x [m], any shape; spring with rate k and length l. Returns: force [N].

    >>> [float(top_out_force(x, TopOutSpring(40e3, 0.005))) for x in (0.0, 0.005)]
    [-200.0, 0.0]
    """
    return spring.rate * np.minimum(stroke - spring.length, 0.0)


def top_out_rate(stroke, spring: TopOutSpring):
    """Slope of the top-out force [N/m] at a stroke [m] of any shape.

    >>> [float(top_out_rate(x, TopOutSpring(40e3, 0.005))) for x in (0.0, 0.006)]
    [40000.0, 0.0]
    """
    return np.where(np.less(stroke, spring.length), spring.rate, 0.0)


def top_out_energy(stroke, spring: TopOutSpring):
    """Energy held by the top-out spring, k (l - x)^2 / 2 [J], at a stroke [m] of any shape.

    >>> float(top_out_energy(0.0, TopOutSpring(40e3, 0.005)))
    0.5
    """
    return spring.rate * np.maximum(spring.length - stroke, 0.0) ** 2 / 2


def bumper_force(stroke, travel, bumper: Bumper):
    """Force of the bumper, from its first touch at L - l on.

    F = k y + (k_end - k) y^3 / (3 l^2), with y = x - (L - l)

    Parameters: stroke x [m], any shape; travel L [m]; bumper with length l, rate k, end_rate k_end.
    Returns: force [N]. Assumes: the rate rises with the square of the squeeze, a simple stiffening law of our own.

    >>> [round(float(bumper_force(x, 0.3, Bumper(0.03, 10e3, 100e3)))) for x in (0.27, 0.3)]
    [0, 1200]
    """
    y = _squeeze(stroke, travel, bumper)
    return bumper.rate * y + (bumper.end_rate - bumper.rate) * y**3 / (3 * bumper.length**2)


def bumper_rate(stroke, travel, bumper: Bumper):
    """Slope of the bumper's force [N/m] at a stroke [m] of any shape, for a travel [m].

    >>> round(float(bumper_rate(0.3, 0.3, Bumper(0.03, 10e3, 100e3))))
    100000
    """
    y = _squeeze(stroke, travel, bumper)
    return np.where(y > 0, bumper.rate + (bumper.end_rate - bumper.rate) * (y / bumper.length) ** 2, 0.0)


def bumper_energy(stroke, travel, bumper: Bumper):
    """Energy held by the bumper [J] at a stroke [m] of any shape, of a travel [m]: the integral of its force.

    >>> round(float(bumper_energy(0.3, 0.3, Bumper(0.03, 10e3, 100e3))), 2)
    11.25
    """
    y = _squeeze(stroke, travel, bumper)
    return bumper.rate * y**2 / 2 + (bumper.end_rate - bumper.rate) * y**4 / (12 * bumper.length**2)


def _squeeze(stroke, travel, bumper):
    return np.maximum(stroke - (travel - bumper.length), 0.0)
