"""Friction, top-out spring and bumper: signs, limits, and energy taken."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.parts import friction, stops
from suspedu.parts.friction import SealFriction
from suspedu.parts.stops import Bumper, TopOutSpring
from suspedu.units import InputError

SEALS = SealFriction(sliding=20.0, breakaway=30.0)
TOP_OUT = TopOutSpring(40e3, 0.005)
BUMPER = Bumper(0.03, 10e3, 100e3)
TRAVEL = 0.3


@settings(max_examples=50)
@given(st.floats(-10, 10))
def test_friction_opposes_the_motion_and_only_takes_energy(velocity):
    force = friction.friction_force(velocity, SEALS)
    assert force == pytest.approx(-friction.friction_force(-velocity, SEALS))
    assert force * velocity >= 0
    assert abs(force) <= SEALS.breakaway


def test_friction_is_coulombs_once_it_slides():
    assert friction.friction_force(np.array([0.2, 1.0, 5.0]), SEALS) == pytest.approx(20.0, abs=1e-9)


def test_friction_peaks_as_it_breaks_loose():
    velocity = np.linspace(0, 0.1, 2001)
    peak = friction.friction_force(velocity, SEALS).max()
    assert 0.9 * SEALS.breakaway < peak <= SEALS.breakaway


def test_heat_of_a_slide_is_force_times_distance():
    time = np.linspace(0, 1, 4001)
    heat = np.trapezoid(friction.friction_force(np.full_like(time, 0.5), SEALS) * 0.5, time)
    assert heat == pytest.approx(20.0 * 0.5, rel=1e-9)


def test_stiction_band_is_symmetric():
    assert friction.stiction_band(np.array([100.0, 165.0]), SEALS)[1] == pytest.approx([130.0, 195.0])


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
    (lambda: SealFriction(sliding=30.0, breakaway=20.0), "were the two swapped?"),
    (lambda: SealFriction(sliding=-3.0, breakaway=20.0), "sliding friction is -3 N; allowed: 0 to 200 N"),
    (lambda: Bumper(0.03, 100e3, 10e3), "a bumper stiffens"),
    (lambda: TopOutSpring(40.0, 0.005), "top-out rate is 0.04 N/mm; allowed: 1 to 300 N/mm"),
])
def test_what_cannot_be_is_refused(make, sentence):
    with pytest.raises(InputError) as refusal:
        make()
    assert sentence in str(refusal.value)
