"""Friction of the fork: two legs are twice one, brakes rub on the caliper's leg, and it only ever takes energy."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.machine import breakaway_friction, fork_friction, front_load, load, names, rider_sag, sag_band
from suspedu.machine.friction import cross_force, friction_levels
from suspedu.units import STANDARD_GRAVITY

strokes, loads, brakes = st.floats(0, 0.28), st.floats(0, 8000), st.floats(0, 1500)


@pytest.fixture(params=names(), scope="module")
def bike(request):
    return load(request.param)


def at_the_axle(bike, slowing):
    """Load of the front wheel and force of its brake at a deceleration [m/s2]; three quarters of it in front."""
    mass = bike.chassis.mass + bike.rider.mass
    transfer = mass * slowing * bike.chassis.centre_height / bike.chassis.wheelbase
    return front_load(bike) + transfer, 0.75 * mass * slowing


def test_at_rest_a_leg_rubs_as_forks_are_said_to(bike):
    """20 to 60 N a leg (common practice), and more on the brakes."""
    rest = friction_levels(bike, 0.06, *at_the_axle(bike, 0.0))
    assert all(20.0 < float(level) < 60.0 for level in rest)
    held = [float(breakaway_friction(bike, 0.10, *at_the_axle(bike, slowing))) for slowing in (0.0, 5.0, 8.0)]
    assert held == sorted(held) and held[0] < held[2] / 1.8


def test_two_legs_are_twice_one():
    bike = load("enduro")
    twice = dataclasses.replace(bike, legs=bike.both_legs)
    for brake in (0.0, 500.0):
        assert friction_levels(bike, 0.1, 900.0, brake) == friction_levels(twice, 0.1, 900.0, brake)
    left, right = friction_levels(bike, 0.1, 900.0)
    assert left == right and fork_friction(bike, 5.0, 0.1, 900.0) == pytest.approx(2 * left)


def test_the_couple_of_the_caliper_bends_the_left_leg_alone(bike):
    bare = dataclasses.replace(bike, tyre=dataclasses.replace(bike.tyre, radius=0.15))
    left, right = (np.subtract(*pair) for pair in zip(friction_levels(bike, 0.1, 1500.0, 700.0),
                                                      friction_levels(bare, 0.1, 1500.0, 700.0), strict=True))
    assert left > 10.0 and right == 0.0


def test_cross_force_is_that_of_two_force_triangles():
    bike = load("enduro")
    carried = front_load(bike) - bike.chassis.unsprung_mass * STANDARD_GRAVITY
    assert cross_force(bike, front_load(bike)) == pytest.approx(carried * np.sin(np.radians(26.5)))
    assert cross_force(bike, bike.chassis.unsprung_mass * STANDARD_GRAVITY, 100.0) == pytest.approx(
        -100.0 * np.cos(np.radians(26.5)))


@settings(max_examples=60)
@given(st.sampled_from(names()), strokes, st.floats(-8, 8), loads, brakes)
def test_friction_takes_energy_and_stays_below_its_breakaway(name, stroke, velocity, ground, brake):
    bike = load(name)
    force = float(fork_friction(bike, velocity, stroke, ground, brake))
    assert force * velocity >= 0.0
    assert abs(force) <= breakaway_friction(bike, stroke, ground, brake) * (1 + 1e-12)


def test_worn_or_dry_bushings_widen_the_band_of_sag(bike):
    widths = []
    for friction in (0.0, 0.03, 0.08):
        legs = tuple(dataclasses.replace(leg, bushings=dataclasses.replace(leg.bushings, friction=friction))
                     for leg in bike.legs)
        rubbing = dataclasses.replace(bike, legs=legs)
        low, high = sag_band(rubbing)
        widths.append(high - low)
        assert low < rider_sag(rubbing) < high
    assert widths == sorted(widths)
