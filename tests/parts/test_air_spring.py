"""The air spring: monotone in stroke and oil, temperature, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.parts import air_spring
from suspedu.parts.air_spring import ADIABATIC, ISOTHERMAL, AirSpring
from suspedu.units import STANDARD_ATMOSPHERE, InputError

TRAVEL = 0.3
AIR = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
strokes = st.floats(0, TRAVEL)
heights = st.floats(0.06, 0.2)


def test_volume_by_hand():
    tube, column = np.pi / 4 * 48**2, np.pi / 4 * 44**2  # mm2
    assert air_spring.air_volume(0.1, TRAVEL, AIR) * 1e9 == pytest.approx(column * 110 - 55_000 + tube * 200)


def test_no_force_at_full_extension_when_bled():
    assert air_spring.air_force(0.0, TRAVEL, AIR) == pytest.approx(0, abs=1e-9)


def test_pumped_pressure_acts_on_the_tube_area():
    pumped = replace(AIR, gauge_pressure=1e5)
    assert air_spring.air_force(0.0, TRAVEL, pumped) == pytest.approx(1e5 * np.pi * 0.024**2)


def test_force_is_smooth_and_rises_with_stroke_and_with_oil():
    x, heights = np.linspace(0, TRAVEL, 3001), np.linspace(0.08, 0.14, 7)[:, None]
    force = air_spring.air_force(x, TRAVEL, replace(AIR, oil_height=heights))
    assert force.shape == (7, 3001)
    assert np.all(np.isfinite(force))
    steepest = air_spring.air_rate(x, TRAVEL, replace(AIR, oil_height=heights)).max(axis=1, keepdims=True)
    steps = np.diff(force, axis=1)
    assert np.all(steps > 0)
    assert np.all(steps <= steepest * (x[1] - x[0]) * (1 + 1e-9))  # continuous: no step above the steepest slope
    assert np.all(np.diff(force[:, 1:], axis=0) < 0)  # a larger oil height is less oil


def test_energy_does_not_jump_where_the_exponent_becomes_one():
    near = air_spring.air_energy(0.3, TRAVEL, AIR, np.array([1.0, 1.0 + 1e-9]))
    assert near[1] - near[0] == pytest.approx(0, abs=1e-6)
    assert near[0] == pytest.approx(air_spring.air_energy(0.3, TRAVEL, AIR, 1.0 + 1e-13), rel=1e-12)


@settings(max_examples=30)
@given(st.floats(0.05, TRAVEL), heights)
def test_fast_is_stiffer_than_slow(stroke, height):
    air = replace(AIR, oil_height=height)
    slow, fast = (air_spring.air_force(stroke, TRAVEL, air, n) for n in (ISOTHERMAL, ADIABATIC))
    assert fast > slow


@settings(max_examples=30)
@given(strokes, st.floats(273, 360))
def test_warm_air_pushes_in_proportion(stroke, temperature):
    cold, warm = (air_spring.air_pressure_absolute(stroke, TRAVEL, replace(AIR, temperature=t))
                  for t in (293.15, temperature))
    assert warm / cold == pytest.approx(temperature / 293.15, rel=1e-12)


def test_isothermal_air_is_boyles_law():
    x = np.linspace(0, TRAVEL)
    product = air_spring.air_pressure_absolute(x, TRAVEL, AIR, ISOTHERMAL) * air_spring.air_volume(x, TRAVEL, AIR)
    assert product == pytest.approx(STANDARD_ATMOSPHERE * air_spring.air_volume(0.0, TRAVEL, AIR), rel=1e-14)


def test_oil_height_acts_late_in_the_stroke():
    x = np.array([0.1, 0.2, 0.3])
    lower, higher = (air_spring.air_force(x, TRAVEL, replace(AIR, oil_height=h)) for h in (0.11, 0.10))
    gain = higher - lower
    assert gain[2] > 4 * gain[1] > 8 * gain[0]


FILLED = replace(AIR, inside_diameter=0.028, full_volume=480e-6, fill_temperature=293.15, displaced_volume=30e-6)


@settings(max_examples=50)
@given(heights, st.floats(0.0, 0.030))
def test_height_and_volume_of_the_oil_are_two_readings_of_one_thing(height, cartridge):
    air = replace(FILLED, inside_diameter=cartridge, oil_height=height)
    assert air_spring.oil_height(air_spring.oil_volume(air), air) == pytest.approx(height, rel=1e-12)
    assert air.replaced("oil_volume", air.oil_volume + 1e-5).oil_height < height
    ring = np.pi / 4 * (air.bore**2 - cartridge**2)  # dV = (A_outer - parts) dh, by hand
    assert air.replaced("oil_volume", air.oil_volume - 1e-5).oil_height - height == pytest.approx(1e-5 / ring)


def test_oil_poured_in_takes_the_room_of_the_air():
    more = FILLED.replaced("oil_volume", FILLED.oil_volume + 7e-6)
    room = [air_spring.air_volume(0.1, TRAVEL, air) for air in (FILLED, more)]
    assert room[0] - room[1] == pytest.approx(7e-6)


@settings(max_examples=30)
@given(st.floats(263.15, 363.15), strokes)
def test_warm_oil_takes_the_room_that_its_expansion_says(temperature, stroke):
    """350 cm3 or so, 8e-4 1/K: 60 K cost the air some 16 cm3, at every stroke alike."""
    cold, warm = (air_spring.air_volume(stroke, TRAVEL, replace(FILLED, temperature=t)) for t in (293.15, temperature))
    assert cold - warm == pytest.approx(FILLED.oil_volume * 8e-4 * (temperature - 293.15), rel=1e-9, abs=1e-15)


def test_at_the_end_warm_oil_does_as_much_as_warm_air():
    """What 60 K add to the force at the end, air and oil heated apart, by hand: T/dT V_grown/V_left times as much."""
    cold = air_spring.air_force(TRAVEL, TRAVEL, FILLED, ISOTHERMAL)
    hot = replace(FILLED, temperature=353.15)
    by_both = air_spring.air_force(TRAVEL, TRAVEL, hot, ISOTHERMAL) - cold
    by_air = air_spring.air_force(TRAVEL, TRAVEL, replace(hot, full_volume=None), ISOTHERMAL) - cold
    grown, left = FILLED.oil_volume * 8e-4 * 60.0, air_spring.air_volume(TRAVEL, TRAVEL, hot)
    assert (by_both - by_air) / by_air == pytest.approx(353.15 / 60.0 * grown / left, rel=1e-9)
    assert by_both - by_air > 0.5 * by_air


@settings(max_examples=50)
@given(st.floats(263.15, 363.15), strokes, st.floats(0.07, 0.2))  # 70 K warmer the oil takes 6 mm of a full room
def test_swollen_oil_loses_no_air(temperature, stroke, height):
    """p V/T of the gas that was shut in, slowly squeezed, cold or hot (moran-shapiro, 3.12, printed, from memory)."""
    shut_in = [air_spring.air_pressure_absolute(stroke, TRAVEL, air, ISOTHERMAL)
               * air_spring.air_volume(stroke, TRAVEL, air) / air.temperature
               for air in (replace(FILLED, temperature=t, oil_height=height) for t in (293.15, temperature))]
    assert shut_in[1] == pytest.approx(shut_in[0], rel=1e-12)


def test_a_rod_that_is_sealed_away_takes_force_and_leaves_room():
    """What the rod's area loses: on the push, and on what the stroke takes from the room."""
    rod = np.pi / 4 * 0.012**2
    sealed = replace(AIR, sealed_area=rod)
    assert air_spring.air_area(AIR) - air_spring.air_area(sealed) == pytest.approx(rod)
    swept = [air_spring.air_volume(0.0, TRAVEL, air) - air_spring.air_volume(TRAVEL, TRAVEL, air)
             for air in (AIR, sealed)]
    assert swept[0] - swept[1] == pytest.approx(rod * TRAVEL)
    loss = 1 - air_spring.air_force(TRAVEL, TRAVEL, sealed) / air_spring.air_force(TRAVEL, TRAVEL, AIR)
    assert 0.10 < loss < 0.18  # 15 % too much at the end without the rod


@settings(max_examples=50)
@given(st.floats(0.01, 0.25), st.floats(1.0, 1.4), heights)
def test_a_ride_is_expanded_about_the_place_where_the_air_settled(settled, exponent, height):
    air = replace(AIR, oil_height=height)
    there = [air_spring.air_pressure_absolute(settled, TRAVEL, air, n, settled) for n in (exponent, ISOTHERMAL)]
    assert there[0] == pytest.approx(there[1], rel=1e-12)
    x = np.linspace(0, TRAVEL, 7)
    volume = air_spring.air_volume(x, TRAVEL, air)
    constant = air_spring.air_pressure_absolute(x, TRAVEL, air, exponent, settled) * volume**exponent
    assert constant == pytest.approx(constant[0], rel=1e-12)  # one polytrope
    at_extension = air_spring.air_pressure_absolute(x, TRAVEL, air, exponent)
    assert air_spring.air_pressure_absolute(x, TRAVEL, air, exponent, 0.0) == pytest.approx(at_extension, rel=0)


def test_the_peak_is_that_of_a_stroke_without_heat_from_full_extension():
    ratio = air_spring.air_volume(0.0, TRAVEL, AIR) / air_spring.air_volume(TRAVEL, TRAVEL, AIR)
    assert air_spring.peak_pressure(TRAVEL, AIR) == pytest.approx(STANDARD_ATMOSPHERE * (ratio**1.4 - 1))


def test_an_unknown_volume_is_refused_in_a_sentence():
    with pytest.raises(InputError, match="volume of oil is not known"):
        air_spring.oil_volume(AIR)


@pytest.mark.parametrize(("change", "sentence"), [
    ({"inside_diameter": 0.044}, "as wide as the bore"),
    ({"full_volume": 150e-6}, "oil stands below the bottom of the leg"),
    ({"oil_height": 0.03}, "oil height is 30 mm; allowed: 41.17 to 300 mm (so much oil leaves no air"),
    ({"oil_height": 0.45}, "oil height is 450 mm; allowed: 1 to 300 mm (was a decimal point shifted? 45 mm would do"),
    ({"oil_height": np.array([0.11, 0.02])}, "oil height is 20 mm"),
    ({"oil_height": 110.0}, "(was it given a thousand times too large? 110 mm would do)"),
    ({"exponent": 1.8}, "polytropic exponent is 1.8; allowed: 1 to 1.4"),
    ({"gauge_pressure": -1e4}, "air pressure (gauge) at full extension is −0.1 bar"),
])
def test_air_that_cannot_be_is_refused(change, sentence):
    with pytest.raises(InputError) as refusal:
        replace(AIR, **change)
    assert sentence in str(refusal.value)


@pytest.mark.parametrize("law", [air_spring.air_volume, air_spring.air_force, air_spring.air_rate,
                                 air_spring.air_energy])
def test_a_stroke_in_millimetres_is_refused(law):
    """No fractional power of a negative volume: 150 for 0.150 m is the commonest slip of all."""
    with pytest.raises(InputError, match=r"stroke is 1\.5e\+05 mm, but the travel only 300 mm: no air .*given in mm"):
        law(np.array([0.1, 150.0]), TRAVEL, AIR)
    assert np.isfinite(law(TRAVEL + 0.01, TRAVEL, AIR))  # a bumper squeezed flat and a little more is no slip
