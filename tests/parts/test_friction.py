"""Friction, top-out spring and bumper: signs, limits, and energy taken."""

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from suspedu.parts import friction, stops
from suspedu.parts.friction import Bushings, SealFriction
from suspedu.parts.stops import Bumper, TopOutSpring
from suspedu.units import STANDARD_ATMOSPHERE, InputError

SEALS = SealFriction(sliding=20.0, stiction=1.5)
BREAKAWAY = SEALS.stiction * SEALS.sliding
BUSHINGS = Bushings(friction=0.04, overlap=0.19, reach=0.48)
TOP_OUT = TopOutSpring(40e3, 0.005)
BUMPER = Bumper(0.03, 10e3, 100e3)
TRAVEL = 0.3


@settings(max_examples=50)
@given(st.floats(-10, 10))
def test_friction_opposes_the_motion_and_only_takes_energy(velocity):
    force = friction.friction_force(velocity, SEALS)
    assert force == pytest.approx(-friction.friction_force(-velocity, SEALS))
    assert force * velocity >= 0
    assert abs(force) <= BREAKAWAY


def test_friction_is_coulombs_once_it_slides():
    assert friction.friction_force(np.array([0.2, 1.0, 5.0]), SEALS) == pytest.approx(20.0, abs=1e-9)


def test_friction_peaks_as_it_breaks_loose():
    velocity = np.linspace(0, 0.1, 2001)
    peak = friction.friction_force(velocity, SEALS).max()
    assert 0.9 * BREAKAWAY < peak <= BREAKAWAY


def test_heat_of_a_slide_is_force_times_distance():
    time = np.linspace(0, 1, 4001)
    heat = np.trapezoid(friction.friction_force(np.full_like(time, 0.5), SEALS) * 0.5, time)
    assert heat == pytest.approx(20.0 * 0.5, rel=1e-9)


def test_stiction_band_is_symmetric():
    assert friction.stiction_band(np.array([100.0, 165.0]), SEALS)[1] == pytest.approx([130.0, 195.0])


@settings(max_examples=50)
@given(st.floats(-10, 10), st.floats(0, 500))
def test_any_level_of_friction_takes_energy_and_holds_its_breakaway(velocity, level):
    force = friction.friction_force(velocity, SEALS, level)
    assert force * velocity >= 0 and abs(force) <= SEALS.stiction * level * (1 + 1e-12)
    low, high = friction.stiction_band(100.0, SEALS, level)
    assert (high - low) / 2 == pytest.approx(SEALS.stiction * level)


def test_bushings_hold_the_leg_as_statics_of_a_beam_wants_it():
    """Both balances solved by the library sympy: forces across, moments about the axle (computed by sympy)."""
    q, m, a0, b0, x, upper, lower = sympy.symbols("Q M a_0 b_0 x R_u R_l")
    a, b = a0 - x, b0 + x
    forces = sympy.Eq(q + upper + lower, 0)
    # a couple M that acts the way Q does turns as a force would whose arm points from the axle away from the bushings
    moments = sympy.Eq(lower * a + upper * (a + b) - m, 0)
    found = sympy.solve([forces, moments], [upper, lower])
    values = {q: 300.0, m: -240.0, a0: BUSHINGS.reach, b0: BUSHINGS.overlap, x: 0.08}
    derived = [float(found[unknown].subs(values)) for unknown in (upper, lower)]
    assert friction.bushing_forces(0.08, 300.0, -240.0, BUSHINGS) == pytest.approx(derived, rel=1e-12)


@settings(max_examples=50)
@given(st.floats(0, TRAVEL), st.floats(-2000, 2000), st.floats(-500, 500))
def test_bushings_balance_force_and_moment_and_never_carry_less_than_the_cross_force(stroke, across, couple):
    upper, lower = friction.bushing_forces(stroke, across, couple, BUSHINGS)
    assert upper + lower + across == pytest.approx(0.0, abs=1e-9)
    load = friction.bushing_load(stroke, across, couple, BUSHINGS)
    assert load >= abs(across) - 1e-9
    assert load == pytest.approx(friction.bushing_load(stroke, -across, -couple, BUSHINGS), rel=1e-12)


def test_a_longer_overlap_carries_a_cross_force_better():
    loads = friction.bushing_load(np.linspace(0, TRAVEL, 31), 200.0, 0.0, BUSHINGS)
    assert np.all(np.diff(loads) < 0)


def test_friction_level_is_the_sum_of_its_three_parts():
    seals = SealFriction(sliding=8.0, pressure_rise=4e-5)
    assert friction.friction_level(seals) == 8.0
    assert friction.friction_level(seals, 2 * STANDARD_ATMOSPHERE, 1000.0, 0.05) == pytest.approx(8.0 + 4.053 + 50.0)
    assert friction.friction_level(seals, 0.5 * STANDARD_ATMOSPHERE) == 8.0


@settings(max_examples=50)
@given(st.floats(0.25, 0.302), st.floats(-8, 8))
def test_a_bumper_takes_energy_and_never_pulls(stroke, velocity):
    rest, moving = (stops.bumper_force(stroke, TRAVEL, BUMPER, v) for v in (0.0, velocity))
    assert moving >= 0 and (moving - rest) * velocity >= 0


def test_a_bumper_loses_a_share_of_a_hit_that_grows_with_its_loss():
    """A mass thrown into it and back out (solve_ivp): less comes out, and the missing energy is what the loss took."""
    def out(loss):
        bumper = Bumper(0.03, 10e3, 100e3, loss)
        def rates(_t, s):
            force = float(stops.bumper_force(s[0], TRAVEL, bumper, s[1]))
            return s[1], -force / 10.0, (force - float(stops.bumper_force(s[0], TRAVEL, bumper))) * s[1]
        left = lambda _t, s: s[0] - 0.2699  # noqa: E731
        left.terminal, left.direction = True, -1
        end = solve_ivp(rates, (0, 1), (0.27, 1.5, 0.0), rtol=1e-9, atol=1e-11, events=left).y[:, -1]
        assert 5.0 * (1.5**2 - end[1] ** 2) == pytest.approx(end[2], abs=1e-5)
        return -end[1] / 1.5
    returns = [out(loss) for loss in (0.0, 0.1, 0.25, 0.5)]
    assert returns[0] == pytest.approx(1.0, abs=1e-6) and np.all(np.diff(returns) < 0)
    # small losses: the restitution falls by two thirds of loss times speed (printed, from memory)
    assert 1 - returns[1] == pytest.approx(2 / 3 * 0.1 * 1.5, rel=0.12)


def test_metal_is_silent_within_the_travel_and_its_energy_is_the_integral():
    past = np.linspace(0.29, 0.303, 2001)
    assert stops.metal_force(TRAVEL, TRAVEL) == 0.0
    work = np.trapezoid(stops.metal_force(past, TRAVEL), past)
    assert stops.metal_energy(0.303, TRAVEL) == pytest.approx(work, rel=1e-5)


def test_top_out_pulls_only_near_full_extension():
    force = stops.top_out_force(np.array([0.0, 0.0025, 0.005, 0.3]), TOP_OUT)
    assert force == pytest.approx([-200, -100, 0, 0])


@settings(max_examples=30)
@given(st.floats(0.271, TRAVEL))
def test_a_bumper_stiffens_from_its_first_rate_to_its_last(stroke):
    assert BUMPER.rate <= stops.bumper_rate(stroke, TRAVEL, BUMPER) <= BUMPER.end_rate


def test_bumper_is_silent_before_it_is_touched():
    assert stops.bumper_force(0.2, TRAVEL, BUMPER) == 0
    assert stops.bumper_rate(0.2, TRAVEL, BUMPER) == 0


@pytest.mark.parametrize(("make", "sentence"), [
    (lambda: SealFriction(sliding=30.0, stiction=0.9), "breakaway over sliding friction is 0.9; allowed: 1 to 5"),
    (lambda: Bushings(friction=0.04, overlap=190.0, reach=0.48), "distance of the bushings at full extension is"),
    (lambda: SealFriction(sliding=-3.0), "sliding friction of the seals is −3 N; allowed: 0 to 200 N"),
    (lambda: Bumper(0.03, 100e3, 10e3), "a bumper stiffens"),
    (lambda: TopOutSpring(40.0, 0.005), "top-out rate is 0.04 N/mm; allowed: 1 to 300 N/mm"),
])
def test_what_cannot_be_is_refused(make, sentence):
    with pytest.raises(InputError) as refusal:
        make()
    assert sentence in str(refusal.value)
