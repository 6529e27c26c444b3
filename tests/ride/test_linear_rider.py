"""Three masses in a straight line: against scipy, against the forms in print in the limits, and out of the engine.

Source: scheibe-smith-2009; hedrick-butsuen-1990 (the two masses, as in tests/published); the larger model by scipy.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import signal
from scipy.integrate import quad

from suspedu.parts.tyre import Tyre
from suspedu.ride.linear import LinearVehicle, invariant_points, responses, white_noise_variances
from suspedu.ride.linear_rider import LinearRider, rider_frequencies, rider_matrices, rider_responses, rider_variances
from suspedu.ride.rider import RiderOnLegs
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import rough_ground
from suspedu.ride.vehicle import Vehicle

FRONT = LinearVehicle(39.0, 15.0, 12e3, 1500.0, 125e3)
ENDURO = LinearRider(FRONT, 36.0, 10.75e3, 498.0)
WHOLE = LinearVehicle(75.0, 15.0, 12e3, 1500.0, 125e3)
COMMON = ("acceleration", "travel", "tyre")
fronts = st.builds(LinearVehicle, st.floats(20, 300), st.floats(5, 50), st.floats(5e3, 6e4), st.floats(300, 4e3),
                   st.floats(6e4, 3e5))
riders = st.builds(LinearRider, fronts, st.floats(5, 100), st.floats(2e3, 1e5), st.floats(50, 3e3))


@given(riders, st.floats(0.1, 60.0))
@settings(max_examples=60)
def test_responses_are_those_of_the_state_matrices(rider, frequency):
    """C (sI - A)^-1 B s of `rider_matrices`, solved by numpy, for travel, limbs and tyre."""
    A, B = rider_matrices(rider)
    s = 2j * np.pi * frequency
    y = np.linalg.solve(s * np.eye(6) - A, B[:, 0]) * s
    found = rider_responses(frequency, rider)
    assert found["travel"] == pytest.approx(y[0], rel=1e-8, abs=1e-12)
    assert found["tyre"] == pytest.approx(rider.vehicle.tyre_rate * y[2], rel=1e-8, abs=1e-6)
    assert found["sprung"] - found["rider"] == pytest.approx(y[4], rel=1e-8, abs=1e-12)


def test_variances_are_the_integral_of_the_responses():
    """W/(2 pi) integral of |H|^2 over the circle frequency, by scipy's quadrature: another road to the same number."""
    found = rider_variances(ENDURO, 1e-3)
    for name, response in (("acceleration", "sprung"), ("rider", "rider"), ("travel", "travel"), ("tyre", "tyre")):
        def power(f, response=response):
            circle = 2 * np.pi * f
            lift = circle if response in ("sprung", "rider") else 1 / circle
            return abs(rider_responses(f, ENDURO)[response] * lift) ** 2

        pieces = [quad(power, a, b, limit=200)[0] for a, b in ((1e-6, 2), (2, 8), (8, 30), (30, 300), (300, 3e5))]
        assert found[name] == pytest.approx(2e-3 * sum(pieces), rel=1e-4)


@given(fronts)
@settings(max_examples=40)
def test_without_a_rider_the_two_masses_in_print_come_back(front):
    """A rider of a milligram, on limbs of his own frequency: Scheibe and Smith's variances to 1e-6."""
    light = LinearRider(front, 1e-6, 1e-6 * 298.0, 1e-6 * 13.8)
    wanted, found = white_noise_variances(front, 1e-3), rider_variances(light, 1e-3)
    assert [found[name] for name in COMMON] == pytest.approx([wanted[name] for name in COMMON], rel=1e-6)


def test_on_rigid_legs_he_is_one_with_the_chassis():
    """The stiffer the limbs, the nearer; at 1 GN/m on critical damping to 1e-3, and responses at any frequency."""
    wanted, off = white_noise_variances(WHOLE, 1e-3), []
    for rate in (1e6, 1e7, 1e8, 1e9):
        stiff = LinearRider(FRONT, 36.0, rate, 2 * np.sqrt(rate * 36.0))
        off.append(max(abs(rider_variances(stiff, 1e-3)[name] / wanted[name] - 1) for name in COMMON))
    assert np.all(np.diff(off) < 0) and off[-1] < 1e-3
    f = np.geomspace(0.1, 40, 50)
    assert rider_responses(f, stiff)["travel"] == pytest.approx(responses(f, WHOLE)["travel"], rel=1e-3)


@given(st.floats(5e3, 3e4), st.floats(300, 3e3), st.floats(2e3, 6e4), st.floats(50, 2e3))
@settings(max_examples=40)
def test_an_invariant_point_outlives_the_rider(rate, damping, limb_rate, limb_damping):
    """At sqrt(kt/mu) the wheel's own force vanishes: what all above bears is kt/ground, whatever springs lie between.

    |ms z_s'' + mr z_r''|/|h'| = sqrt(kt mu), hedrick-butsuen-1990 with the sum of both masses' forces for one mass's.
    """
    rider = LinearRider(LinearVehicle(39.0, 15.0, rate, damping, 125e3), 36.0, limb_rate, limb_damping)
    f = invariant_points(rider.vehicle)["acceleration"][0]
    found, circle = rider_responses(f, rider), 2 * np.pi * f
    force = abs(39.0 * found["sprung"] + 36.0 * found["rider"]) * circle
    assert force == pytest.approx(np.sqrt(125e3 * 15.0), rel=1e-9)


def test_frequencies_are_those_of_the_undamped_states():
    still = LinearRider(LinearVehicle(39.0, 15.0, 12e3, 0.0, 125e3), 36.0, 10.75e3, 0.0)
    poles = np.linalg.eigvals(rider_matrices(still)[0])
    assert np.sort(poles.imag)[3:] / (2 * np.pi) == pytest.approx(rider_frequencies(still), rel=1e-9)


@pytest.mark.parametrize("rake", [0.0, 26.5])
def test_the_engine_with_straight_laws_rides_the_theory(rake, linear_fork):
    """Against scipy.signal.lsim: travel, bars and body; lsim holds the input linear, 0.2 % of the largest swing."""
    cosine, body = np.cos(np.radians(rake)), RiderOnLegs(36.0)
    vehicle = Vehicle(44.0, 15.0, np.radians(rake), Tyre(pressure=1e5, damping=0.0, width=0.05), rider=body)
    ride = simulate(vehicle, linear_fork(), rough_ground("A", length=60.0), 6.0)
    linear = LinearRider(LinearVehicle(44.0, 15.0, 9000 / cosine**2, 900 / cosine**2, 125e3), 36.0, body.rate,
                         body.damping)
    A, B = rider_matrices(linear)
    _, states, _ = signal.lsim((A, B, np.eye(6), np.zeros((6, 1))), ride.ground.climb[::2], ride.time)
    assert ride.tyre_force.min() > 0 and ride.stroke.min() > 0.001
    ridden = ((ride.stroke - ride.static_stroke) * cosine, ride.sprung_velocity, ride.rider_velocity)
    for found, column in zip(ridden, (0, 1, 5), strict=True):
        assert found == pytest.approx(states[:, column], abs=2e-3 * np.abs(states[:, column]).max())


def test_a_rider_of_nothing_rides_as_none(vehicle, fork):
    """Ten grams of rider in the engine: the bars move as without, to a thousandth of a millimetre per gram."""
    import dataclasses

    terrain = rough_ground("D", length=40.0)
    alone = simulate(vehicle, fork, terrain)
    light = simulate(dataclasses.replace(vehicle, rider=RiderOnLegs(0.001)), fork, terrain)
    assert light.stroke == pytest.approx(alone.stroke, abs=1e-5)
    assert np.abs(light.rider_acceleration).max() < np.abs(alone.rider_acceleration).max()
    assert np.array_equal(alone.rider_acceleration, alone.sprung_acceleration)
