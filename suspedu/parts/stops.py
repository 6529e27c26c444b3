"""The two ends of a leg's stroke: the top-out spring, and the bottoming bumper with the metal behind it.

The bumper keeps a part of what it takes; the others give all of it back.
"""

from __future__ import annotations

import numpy as np

from suspedu.parts import Elastic
from suspedu.units import InputError, check_fields, part, quantity

METAL_RATE = 6e6  # N/m of one leg whose parts meet bare at full travel (guess of the course)


@part
class TopOutSpring:
    """The short spring that catches a leg near full extension; it works against the fork's own springs."""

    rate: float = quantity("N/mm", 1, 300, "top-out rate")
    length: float = quantity("mm", 0.5, 60, "top-out length")


@part
class Bumper:
    """The elastic bumper of the last millimetres, stiffer the more it is squeezed."""

    length: float = quantity("mm", 2, 60, "bumper length")
    rate: float = quantity("N/mm", 0.5, 300, "bumper rate at first touch")
    end_rate: float = quantity("N/mm", 0.5, 3000, "bumper rate when squeezed flat")
    # share of its force for each m/s; rubbers lose 0.2 to 0.3 (printed, from memory: handbooks of elastomers)
    loss: float = quantity("s/m", 0, 2, "loss of the bumper", default=0.25)

    def __post_init__(self):
        check_fields(self)
        if np.any(np.less(self.end_rate, self.rate)):
            raise InputError("a bumper's end_rate is below its rate: a bumper stiffens; were the two swapped?")


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


def top_out_element(spring: TopOutSpring) -> Elastic:
    """A top-out spring as an elastic element.

    >>> float(top_out_element(TopOutSpring(40e3, 0.005)).force(0.0))
    -200.0
    """
    return Elastic(lambda stroke: top_out_force(stroke, spring), lambda stroke: top_out_rate(stroke, spring),
                   lambda stroke: top_out_energy(stroke, spring))


def bumper_force(stroke, travel, bumper: Bumper, velocity=0.0):
    """Force of the bumper, from its first touch at L - l on; it never pulls.

    F = [k y + (k_end - k) y^3 / (3 l^2)] max(1 + beta v, 0), with y = x - (L - l)

    Parameters: stroke x [m]; travel L [m]; bumper with length l, rate k, end_rate k_end, loss beta; velocity v [m/s],
    compression > 0; any shape. Returns: force [N].
    Assumes: the rate rises with the square of the squeeze, a simple stiffening law of our own; the loss is
    proportional to force and speed, so that nothing jumps at the first touch.

    >>> bumper = Bumper(0.03, 10e3, 100e3)
    >>> [round(float(bumper_force(0.3, 0.3, bumper, v))) for v in (-5.0, -1.0, 0.0, 1.0)]
    [0, 900, 1200, 1500]
    """
    y = _squeeze(stroke, travel, bumper)
    elastic = bumper.rate * y + (bumper.end_rate - bumper.rate) * y**3 / (3 * bumper.length**2)
    return elastic * np.maximum(1.0 + bumper.loss * np.asarray(velocity, dtype=float), 0.0)


def metal_force(stroke, travel):
    """Force of one leg whose parts meet bare past its full travel [N], 6 kN/mm, at a stroke and travel [m].

    >>> float(metal_force(0.301, 0.3).round(6))
    6000.0
    """
    return METAL_RATE * np.maximum(np.subtract(stroke, travel), 0.0)


def metal_energy(stroke, travel):
    """Energy held by the bare metal of one leg past its full travel [J], at a stroke and travel [m], any shape.

    >>> round(float(metal_energy(0.301, 0.3)), 6)
    3.0
    """
    return METAL_RATE * np.maximum(np.subtract(stroke, travel), 0.0) ** 2 / 2


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


def bumper_element(travel, bumper: Bumper) -> Elastic:
    """A bumper at the end of a travel [m] as an elastic element.

    >>> round(float(bumper_element(0.3, Bumper(0.03, 10e3, 100e3)).force(0.3)))
    1200
    """
    return Elastic(lambda stroke: bumper_force(stroke, travel, bumper),
                   lambda stroke: bumper_rate(stroke, travel, bumper),
                   lambda stroke: bumper_energy(stroke, travel, bumper))


def _squeeze(stroke, travel, bumper):
    return np.maximum(stroke - (travel - bumper.length), 0.0)
