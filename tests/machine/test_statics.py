"""Balance, sag, its friction band and the spring a rider needs, against independent solutions."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from suspedu.machine import adjusted, load, names, spring_choice, statics
from suspedu.machine.forces import fork_force
from suspedu.machine.friction import breakaway_friction
from suspedu.units import STANDARD_GRAVITY, InputError


@pytest.fixture(params=names(), scope="module")
def bike(request):
    return load(request.param)


def test_school_machines_settle_where_the_trade_would_have_them(bike):  # (common practice)
    assert 0.020 <= statics.free_sag(bike) <= 0.045
    assert 0.060 <= statics.rider_sag(bike) <= 0.085
    assert 0.20 < statics.share_of_travel(bike, statics.rider_sag(bike)) < 0.33


def test_load_by_hand():
    bike = load("enduro")
    front = 112 * 0.48 + 82 * 0.44
    assert statics.front_load(bike) == pytest.approx(front * STANDARD_GRAVITY)
    axial = (front - 15) * STANDARD_GRAVITY * np.cos(np.radians(26.5))
    assert statics.fork_load(bike, statics.front_load(bike)) == pytest.approx(axial)


def test_virtual_work_of_a_raked_fork(bike):
    """Load times the wheel's rise equals fork force times stroke."""
    stroke, ground = 1e-3, 900.0
    rise = stroke * np.cos(bike.chassis.rake)
    hanging = bike.chassis.unsprung_mass * STANDARD_GRAVITY
    assert statics.fork_load(bike, ground) * stroke == pytest.approx((ground - hanging) * rise)


@settings(max_examples=50)
@given(st.sampled_from(names()), st.floats(0, 0.02), st.floats(0.09, 0.14), st.floats(40, 130))
def test_balance_closes(name, preload, oil_height, rider):
    bike = adjusted(load(name), preload=preload, oil_height=oil_height, rider_mass=rider)
    for ground in (0.0, statics.front_load(bike, rider=False), statics.front_load(bike)):
        load_along = statics.fork_load(bike, ground)
        assert abs(fork_force(bike, statics.static_stroke(bike, load_along)) - load_along) <= 1e-9


def test_balance_closes_over_the_whole_force_range(bike):
    low, high = fork_force(bike, 0.0), fork_force(bike, bike.travel)
    loads = np.linspace(low, high, 500)[1:-1]
    strokes = statics.static_stroke(bike, loads)
    assert np.max(np.abs(fork_force(bike, strokes) - loads)) <= 1e-9
    assert np.all(np.diff(strokes) > 0)


def test_search_agrees_with_a_library_root_finder(bike):
    axial = statics.fork_load(bike, statics.front_load(bike))
    root = brentq(lambda x: fork_force(bike, x) - axial, 0, bike.travel, xtol=1e-15)
    assert statics.static_stroke(bike, axial) == pytest.approx(root, abs=1e-13)


def test_without_air_and_stops_sag_is_load_over_rate():
    """A vast, bled chamber is no spring, and no cartridge pushes: sag = load/k - preload."""
    bike = load("enduro")
    leg = replace(bike.legs[0], top_out=None, bumper=None, damper=None)
    leg = replace(leg, air=replace(leg.air, tube_diameter=0.025, bore=0.075, oil_height=0.3, full_volume=None))
    bike = replace(bike, legs=(leg,))
    axial = statics.fork_load(bike, statics.front_load(bike))
    by_hand = axial / (2 * 4000.0) - 0.004
    assert statics.hanging_stroke(bike) == 0.0
    assert statics.rider_sag(bike) == pytest.approx(by_hand, rel=0.01)
    assert statics.rider_sag(bike) < by_hand  # what is left of the air still helps a little


def test_sag_falls_with_preload_by_what_statics_says(bike):
    step = 1e-6
    for rider in (True, False):
        ends = adjusted(bike, preload=0.008 + np.array([-step, step]))
        sags = statics.rider_sag(ends) if rider else statics.free_sag(ends)
        here = statics.sag_per_preload(adjusted(bike, preload=0.008), rider)
        # central difference of sags that are exact to about 1e-16 m
        assert np.diff(sags)[0] / (2 * step) == pytest.approx(here, rel=1e-7)
        assert -1 < here < 0


def test_integrated_slope_is_the_change_of_sag(bike):
    preload = np.linspace(0.002, 0.015, 261)
    slopes = statics.sag_per_preload(adjusted(bike, preload=preload))
    ends = statics.rider_sag(adjusted(bike, preload=preload[[0, -1]]))
    assert np.trapezoid(slopes, preload) == pytest.approx(ends[1] - ends[0], rel=1e-6)


def test_a_fork_that_never_leaves_its_stop_has_no_sag():
    bike = load("enduro")
    bike = replace(bike, legs=(replace(bike.legs[0], top_out=None),))
    stiff = adjusted(bike, coil_rate=30e3, preload=0.05)
    assert statics.free_sag(stiff) == 0.0
    assert statics.sag_per_preload(stiff, rider=False) == 0.0
    assert statics.static_stroke(stiff, -50.0) == 0.0


def test_hanging_wheel_rests_on_the_top_out_spring(bike):
    assert 0 < statics.hanging_stroke(bike) < bike.legs[0].top_out.length
    assert fork_force(bike, statics.hanging_stroke(bike)) == pytest.approx(
        -bike.chassis.unsprung_mass * STANDARD_GRAVITY * np.cos(bike.chassis.rake))


def test_friction_band_holds_what_friction_can_hold(bike):
    axial = statics.fork_load(bike, statics.front_load(bike))
    band = np.array(statics.sag_band(bike)) + statics.hanging_stroke(bike)
    gap = fork_force(bike, band) - axial
    held = breakaway_friction(bike, band, statics.front_load(bike))
    assert gap == pytest.approx([-held[0], held[1]], abs=1e-9)
    low, high = statics.sag_band(bike)  # the trade's friction-corrected sag is the mean of both readings: off by no
    astray = 0.05 * (high - low) / 2  # more than a twentieth of the error of one, for springs stiffen, bushings ease
    assert (low + high) / 2 == pytest.approx(statics.rider_sag(bike), abs=astray)


def test_arrays_of_settings_give_arrays_of_sags(bike):
    preload, rider = np.array([0.0, 0.005, 0.010]), np.array([[60.0], [90.0]])
    sags = statics.rider_sag(adjusted(bike, preload=preload, rider_mass=rider))
    assert sags.shape == (2, 3)
    one = statics.rider_sag(adjusted(bike, preload=0.005, rider_mass=90.0))
    assert sags[1, 1] == pytest.approx(one, abs=1e-13)
    assert np.all(np.diff(sags, axis=1) < 0)
    assert np.all(np.diff(sags, axis=0) > 0)


@settings(max_examples=20)
@given(st.sampled_from(names()), st.floats(50, 120), st.floats(0.055, 0.090))
def test_rate_for_rider_gives_the_sag_aimed_at(name, mass, aim):
    bike = load(name)
    fitted = adjusted(bike, rider_mass=mass, coil_rate=spring_choice.rate_for_rider(bike, mass, aim))
    assert statics.rider_sag(fitted) == pytest.approx(aim, abs=1e-12)


def test_a_heavier_rider_needs_more_rate(bike):
    rates = spring_choice.rate_for_rider(bike, np.array([60.0, 80.0, 100.0]), 0.07)
    assert np.all(np.diff(rates) > 0)


def test_spring_for_sags_gives_both_sags(bike):
    aim, free = statics.rider_sag(bike), 0.9 * statics.free_sag(bike)
    rate, preload = spring_choice.spring_for_sags(bike, 85.0, aim, free)
    assert preload > 0
    fitted = adjusted(bike, rider_mass=85.0, coil_rate=rate, preload=preload)
    assert statics.rider_sag(fitted) == pytest.approx(aim, abs=1e-12)
    assert statics.free_sag(fitted) == pytest.approx(free, abs=1e-12)


def test_preload_alone_cannot_suit_a_heavier_rider(bike):
    """The trade's reading of the pair of sags: rider sag set right by preload leaves too little free sag."""
    aim, free = statics.rider_sag(bike), statics.free_sag(bike)
    heavy = adjusted(bike, rider_mass=bike.rider.mass + 20)
    preloads = np.linspace(0, 0.045, 451)
    sags = statics.rider_sag(adjusted(heavy, preload=preloads))
    reached = adjusted(heavy, preload=float(np.interp(-aim, -sags, preloads)))
    assert statics.rider_sag(reached) == pytest.approx(aim, abs=1e-5)
    assert statics.free_sag(reached) < 0.8 * free


def test_aims_that_no_spring_meets_are_refused(bike):
    with pytest.raises(InputError, match="target sag is 700 mm; allowed: 5 to"):
        spring_choice.rate_for_rider(bike, 80.0, 0.7)
    with pytest.raises(InputError, match="no such spring"):
        spring_choice.rate_for_rider(adjusted(bike, preload=0.0), 150.0, 0.008)
    with pytest.raises(InputError, match="were the two swapped"):
        spring_choice.spring_for_sags(bike, 80.0, 0.03, 0.07)
    with pytest.raises(InputError, match="rider in gear is 8000 kg"):
        spring_choice.rate_for_rider(bike, 8000.0, 0.07)
