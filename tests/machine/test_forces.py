"""The fork's force over its stroke: parts add up, slopes and work agree with calculus."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from suspedu.machine import adjusted, forces, load, names
from suspedu.parts.air_spring import ADIABATIC, ISOTHERMAL
from suspedu.parts.springs import spring_rate


@pytest.fixture(params=names(), scope="module")
def bike(request):
    return load(request.param)


def test_parts_add_up_to_the_total(bike):
    curve = forces.force_curve(bike, exponent=None)
    assert curve.coil + curve.air + curve.gas + curve.top_out + curve.bumper == pytest.approx(curve.total)
    assert np.all(np.diff(curve.total) > 0)
    assert curve.total[-1] == pytest.approx(forces.bottom_out_force(bike, exponent=None))


def test_two_unlike_legs_are_the_sum_of_each():
    trail = load("trail")
    first, second = (forces.leg_split(leg, 0.1).total for leg in trail.both_legs)
    assert first != second
    assert forces.fork_force(trail, 0.1) == pytest.approx(first + second)


@settings(max_examples=30)
@given(st.sampled_from(names()), st.floats(0.01, 0.26), st.floats(ISOTHERMAL, ADIABATIC))
def test_rate_is_the_slope(name, stroke, exponent):
    bike, step = load(name), 1e-6
    ends = forces.fork_force(bike, stroke + np.array([-step, step]), exponent)
    assert np.diff(ends)[0] / (2 * step) == pytest.approx(forces.fork_rate(bike, stroke, exponent), rel=1e-6)


@settings(max_examples=20)
@given(st.sampled_from(names()), st.floats(1e-6, 1), st.floats(ISOTHERMAL, ADIABATIC))
def test_stored_work_is_the_work_integral(name, share, exponent):
    bike = load(name)
    end = share * bike.travel
    kinks = [x for x in (0.005, 0.006, bike.travel - 0.012, bike.travel - 0.015) if x < end]
    work = quad(lambda x: forces.fork_force(bike, x, exponent), 0, end, points=kinks or None)[0]
    assert forces.stored_work(bike, end, exponent) == pytest.approx(work, abs=1e-7)


def test_preload_lifts_the_whole_curve_and_leaves_its_slope(bike):
    less, more = (adjusted(bike, preload=p) for p in (0.002, 0.007))
    stroke = np.linspace(0, bike.travel, 61)
    lift = forces.fork_force(more, stroke) - forces.fork_force(less, stroke)
    coils = sum(spring_rate(leg.spring) for leg in bike.both_legs)
    assert lift == pytest.approx(coils * 0.005)
    assert forces.fork_rate(more, stroke) == pytest.approx(forces.fork_rate(less, stroke), rel=1e-14)


def test_oil_height_leaves_the_start_and_lifts_the_end(bike):
    less, more = (adjusted(bike, oil_height=h) for h in (0.13, 0.11))
    stroke = bike.travel * np.array([1 / 3, 1.0])
    early, late = forces.fork_force(more, stroke) - forces.fork_force(less, stroke)
    assert late > 30 * early > 0


def test_stiffer_coils_act_in_proportion_to_stroke(bike):
    softer, stiffer = (adjusted(bike, coil_rate=k, preload=0.0) for k in (4000.0, 4400.0))
    stroke = np.array([0.1, 0.2])
    gain = forces.fork_force(stiffer, stroke) - forces.fork_force(softer, stroke)
    assert gain[1] == pytest.approx(2 * gain[0])


def test_bottoming_takes_more_force_when_fast(bike):
    slow, riding, fast = (forces.bottom_out_force(bike, n) for n in (ISOTHERMAL, None, ADIABATIC))
    assert slow < riding < fast


def test_settings_and_strokes_broadcast_together(bike):
    many = adjusted(bike, oil_height=np.linspace(0.1, 0.13, 4)[:, None], rider_mass=80.0)
    assert forces.fork_force(many, np.linspace(0, 0.25, 7)).shape == (4, 7)
    assert forces.stored_work(many, np.linspace(0, 0.25, 7)).shape == (4, 7)
