"""Coil springs: laws of scale, limits, preload, energy, and what is refused."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.parts import springs
from suspedu.parts.springs import CoilSpring
from suspedu.units import InputError

WIRE = {"wire": 4.8e-3, "mean_diameter": 36e-3, "active_coils": 28, "shear_modulus": 79.5e9}
strokes = st.floats(0, 0.3)
rates = st.floats(1e3, 2e4)
preloads = st.floats(0, 0.03)


def test_rate_scales_as_the_law_says():
    base = springs.coil_rate(*WIRE.values())
    assert springs.coil_rate(2 * 4.8e-3, 36e-3, 28, 79.5e9) == pytest.approx(16 * base)
    assert springs.coil_rate(4.8e-3, 72e-3, 28, 79.5e9) == pytest.approx(base / 8)
    assert springs.coil_rate(4.8e-3, 36e-3, 14, 79.5e9) == pytest.approx(2 * base)


def test_two_springs_end_to_end_have_the_coils_of_both():
    half = springs.coil_rate(4.8e-3, 36e-3, 14, 79.5e9)
    assert springs.coil_rate(*WIRE.values()) == pytest.approx(1 / (1 / half + 1 / half))


def test_factors_fall_to_one_for_a_straight_bar():
    index = np.array([3.0, 5.0, 8.0, 12.0, 1e6])
    for factor in (springs.wahl_factor, springs.bergstraesser_factor):
        values = factor(index)
        assert np.all(np.diff(values) < 0)
        assert values[-1] == pytest.approx(1, abs=2e-6)


def test_the_two_factors_agree_within_two_percent():
    index = np.linspace(4, 20)
    assert np.max(np.abs(springs.wahl_factor(index) / springs.bergstraesser_factor(index) - 1)) < 0.02


def test_stress_of_a_large_coil_is_that_of_a_twisted_bar():
    wire, diameter, force = 4e-3, 40.0, 1.0
    torque, radius, second_moment = force * diameter / 2, wire / 2, np.pi * wire**4 / 32
    assert springs.shear_stress(force, wire, diameter) == pytest.approx(torque * radius / second_moment, rel=2e-4)


@settings(max_examples=50)
@given(strokes, rates, preloads, st.floats(0, 0.02))
def test_preload_lifts_the_curve_and_leaves_its_slope(stroke, rate, preload, more):
    xs = np.array([stroke, stroke + 0.01])
    before, after = (springs.coil_force(xs, CoilSpring(preload=p, rate=rate)) for p in (preload, preload + more))
    assert after - before == pytest.approx(rate * more, abs=1e-8)
    assert np.diff(after) == pytest.approx(np.diff(before), abs=1e-8)


def test_a_loose_spring_never_pulls():
    loose = CoilSpring(preload=0.0, rate=4000.0)
    element = springs.coil_element(loose)
    assert [law(-0.003) for law in (element.force, element.rate, element.energy)] == [0.0, 0.0, 0.0]


def test_rate_given_or_from_the_wire():
    assert springs.spring_rate(CoilSpring(preload=0.0, **WIRE)) == springs.coil_rate(*WIRE.values())
    with pytest.raises(InputError, match="needs its rate"):
        CoilSpring(preload=0.0, wire=4.8e-3)
    with pytest.raises(InputError, match="not both"):
        CoilSpring(preload=0.0, rate=4000.0, **WIRE)


def test_room_before_the_coils_touch():
    spring = CoilSpring(preload=0.0, free_length=0.470, **WIRE)
    assert springs.coil_room(spring) == pytest.approx(0.470 - 30 * 4.8e-3)


@pytest.mark.parametrize(("change", "sentence"), [
    ({"active_coils": 1}, "active coils is 1; allowed: 2 to 100 (fewer than 2 are no spring"),
    ({"wire": 4.8}, "wire diameter is 4800 mm; allowed: 2 to 10 mm (was it given a thousand times too large?"),
    ({"mean_diameter": -0.036}, "mean coil diameter is −36 mm"),
    ({"wire": 9.9e-3, "mean_diameter": 0.02}, "spring index"),
])
def test_a_spring_that_cannot_be_is_refused(change, sentence):
    with pytest.raises(InputError) as refusal:
        CoilSpring(preload=0.0, **(WIRE | change))
    assert sentence in str(refusal.value)
