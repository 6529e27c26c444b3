"""Roark's Formulas for Stress and Strain, large deflection of circular plates (roark; printed, from memory).

Clamped and held at the edge under uniform pressure, nu = 0.3: p a^4/(E t^4) = K1 w/t + K2 (w/t)^3.

Source: roark, large deflection of circular plates (printed, from memory)
"""

import numpy as np
import pytest

from suspedu.parts.shim_stacks.plate import pressure_load
from suspedu.parts.shim_stacks.stretch import ThinPlate, large_deflection

K1, K2 = 5.86, 2.86  # (printed, from memory)
RADIUS, THICK, YOUNG = 10e-3, 0.2e-3, 206e9
TOLERANCE = 0.04  # the printed form is an approximation by energy; solved exactly, the centre differs by up to 2.8 %


def circle(poisson=0.3):
    """A whole plate: no tilt and no displacement in its middle, all held at its edge."""
    radii = np.linspace(1e-6, RADIUS, 25)
    last, second = 2 * len(radii) - 2, 2 * len(radii)
    return ThinPlate(radii, THICK, YOUNG, poisson, (1, last, last + 1, second, second + last))


def deflection(share, k2=K2, poisson=0.3):
    """Deflection of the middle over the thickness at the pressure that the printed form gives for a share."""
    plate = circle(poisson)
    pressure = (K1 * share + k2 * share**3) * YOUNG * THICK**4 / RADIUS**4
    return large_deflection(plate, pressure * pressure_load(plate.radii, 0.0, RADIUS))[0] / THICK


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.7, 1.0])
def test_clamped_circle(share):
    assert deflection(share) == pytest.approx(share, rel=TOLERANCE)


def test_a_wrong_coefficient_is_caught():
    assert deflection(1.0, k2=2 * K2) != pytest.approx(1.0, rel=TOLERANCE)
