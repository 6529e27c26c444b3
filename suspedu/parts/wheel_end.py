"""Between wheel and spring leg: how far the wheel rises for each millimetre of stroke.

A telescopic fork has one number for its whole stroke, the cosine of its rake. A linkage has a curve. Whatever it is, by
virtual work a force F along the leg carries F / (dz/dx) at the wheel, and a velocity divides alike.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np

from suspedu.units import part, quantity

STEP = 1e-5  # m, for slopes by differences: far above rounding, far below any linkage's bends


class WheelEnd(Protocol):
    """What a linkage between wheel and leg has to know of itself."""

    @property
    def path_slope(self) -> float:
        """Way backwards for each way upwards of the wheel [-]: what a brake pulls the leg in by."""

    def wheel_travel(self, stroke):
        """Rise of the wheel against the chassis [m] at a stroke [m, any shape], from full extension."""

    def motion_ratio(self, stroke):
        """Slope of `wheel_travel`, wheel over stroke [-], above zero, at a stroke [m, any shape]."""


@part
class TelescopicFork:
    """The wheel slides along the legs, which lean back by the rake."""

    rake: float = quantity("deg", 0, 45, "rake")

    @property
    def path_slope(self):
        """Way backwards for each way upwards of the wheel, tan r [-].

        >>> round(float(TelescopicFork(np.radians(45.0)).path_slope), 9)
        1.0
        """
        return np.tan(self.rake)

    def wheel_travel(self, stroke):
        """Rise of the wheel, z = x cos r [m], at a stroke [m, any shape].

        >>> round(float(TelescopicFork(np.radians(26.5)).wheel_travel(0.3)) * 1e3, 1)
        268.5
        """
        return stroke * np.cos(self.rake)

    def motion_ratio(self, stroke):
        """Slope of the wheel's rise, dz/dx = cos r [-], the same at any stroke [m].

        >>> round(float(TelescopicFork(np.radians(26.5)).motion_ratio(0.1)), 4)
        0.8949
        """
        return np.cos(self.rake)


def ratio_slope(stroke, wheel_end: WheelEnd):
    """How the motion ratio changes along the stroke, d2z/dx2 [1/m], at a stroke [m, any shape], by differences.

    >>> float(ratio_slope(0.1, TelescopicFork(0.45)))
    0.0
    """
    return (wheel_end.motion_ratio(stroke + STEP) - wheel_end.motion_ratio(stroke - STEP)) / (2 * STEP)
