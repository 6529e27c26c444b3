"""Invariant points of the quarter vehicle.

Source: hedrick-butsuen-1990, invariant properties (printed, from memory)
"""

import itertools

import numpy as np
import pytest

from suspedu.ride.linear import LinearVehicle, invariant_points, responses

SETTINGS = list(itertools.product([5e3, 20e3, 60e3], [100.0, 900.0, 4000.0]))
MASSES = [(250.0, 35.0, 150e3), (80.0, 15.0, 130e3)]


def by_velocity(name, frequency, v):
    """|response to ground velocity|; acceleration from the sprung height."""
    omega = 2 * np.pi * frequency
    height = {"acceleration": "sprung", "travel": "travel", "sprung": "sprung"}[name]
    return abs(responses(frequency, v)[height]) * (omega if name == "acceleration" else 1 / omega)


@pytest.mark.parametrize("ms, mu, kt", MASSES)
@pytest.mark.parametrize("rate, damping", SETTINGS)
@pytest.mark.parametrize("name", ["acceleration", "travel"])
def test_no_setting_moves_the_point(name, rate, damping, ms, mu, kt):
    """That there is such a point (printed, from memory), whatever the setting."""
    v = LinearVehicle(ms, mu, rate, damping, kt)
    frequency, size = invariant_points(v)[name]
    assert by_velocity(name, frequency, v) == pytest.approx(size, rel=1e-9)


@pytest.mark.parametrize("ms, mu, kt", MASSES)
def test_forms(ms, mu, kt):
    """Where the points lie, and how high (printed, from memory)."""
    points = invariant_points(LinearVehicle(ms, mu, 2e4, 900.0, kt))
    assert points["acceleration"] == pytest.approx((np.sqrt(kt / mu) / 2 / np.pi, np.sqrt(kt * mu) / ms))
    assert points["travel"] == pytest.approx((np.sqrt(kt / (ms + mu)) / 2 / np.pi,
                                              (1 + mu / ms) * np.sqrt((ms + mu) / kt)))


def test_beside_the_point_the_setting_counts():
    """Wrong on purpose: 20 % off in frequency, or with a damped tyre, the point (printed, from memory) is none."""
    def scatter(factor, tyre_damping):
        sizes = [by_velocity("acceleration", factor * invariant_points(v)["acceleration"][0], v) for v in
                 (LinearVehicle(250.0, 35.0, rate, damping, 150e3, tyre_damping) for rate, damping in SETTINGS)]
        return np.ptp(sizes) / np.mean(sizes)

    assert scatter(1.0, 0.0) < 1e-9
    assert scatter(1.2, 0.0) > 0.01 and scatter(1.0, 500.0) > 0.01
