"""The five elastic elements by their one face: rate is the slope of the force, energy its integral, at random settings.

No table is needed to judge them: calculus is the outside here, slopes by differences, integrals by the library `quad`.
"""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from suspedu.damper import stock_damper
from suspedu.damper.gas import gas_element
from suspedu.parts.air_spring import ADIABATIC, ISOTHERMAL, AirSpring, air_element
from suspedu.parts.springs import CoilSpring, coil_element
from suspedu.parts.stops import Bumper, TopOutSpring, bumper_element, top_out_element

TRAVEL = 0.3


def coil(draw):
    return coil_element(CoilSpring(preload=draw(st.floats(0, 0.03)), rate=draw(st.floats(1e3, 2e4)))), ()


def air(draw):
    # From 70 mm on, for oil that is 60 K warmer takes 5.6 mm of air room, and nothing may be left of 60.
    chamber = AirSpring(oil_height=draw(st.floats(0.07, 0.2)), tube_diameter=0.048, bore=0.044, displaced_volume=55e-6,
                        gauge_pressure=draw(st.floats(0, 2e5)), temperature=draw(st.floats(273, 333)),
                        fill_temperature=273.0,  # never colder than filled: else it sucks, and holds energy below zero
                        inside_diameter=draw(st.floats(0, 0.02)), full_volume=450e-6,
                        sealed_area=draw(st.floats(0, 3e-4)))
    return air_element(TRAVEL, chamber, draw(st.floats(ISOTHERMAL, ADIABATIC))), ()


def air_in_a_ride(draw):
    """Pumped so far that it pushes out at full extension too, where a ride's air is below where it settled."""
    chamber = AirSpring(oil_height=draw(st.floats(0.08, 0.2)), tube_diameter=0.048, bore=0.044, displaced_volume=55e-6,
                        gauge_pressure=draw(st.floats(1e5, 2e5)))
    return air_element(TRAVEL, chamber, draw(st.floats(ISOTHERMAL, ADIABATIC)), draw(st.floats(0.0, 0.15))), ()


def cartridge_gas(draw):
    closed = stock_damper("closed cartridge")
    held = dataclasses.replace(closed.pressuriser, charge=draw(st.floats(0, 6e5)), exponent=draw(st.floats(1.0, 1.4)))
    return gas_element(dataclasses.replace(closed, pressuriser=held), draw(st.floats(293.15, 373))), ()


def bumper(draw):
    length, rate = draw(st.floats(0.005, 0.06)), draw(st.floats(1e3, 3e4))
    return bumper_element(TRAVEL, Bumper(length, rate, rate * draw(st.floats(1, 10)))), (TRAVEL - length,)


def top_out(draw):
    length = draw(st.floats(0.001, 0.06))
    return top_out_element(TopOutSpring(draw(st.floats(1e3, 3e5)), length)), (length,)


ELEMENTS = {"coil": coil, "air": air, "air in a ride": air_in_a_ride, "cartridge gas": cartridge_gas, "bumper": bumper,
            "top-out": top_out}


@pytest.mark.parametrize("name", ELEMENTS)
@settings(max_examples=40)
@given(data=st.data())
def test_rate_is_the_slope_of_the_force(name, data):
    element, kinks = ELEMENTS[name](data.draw)
    step, inside = 1e-6, st.floats(1e-5, TRAVEL - 1e-5)
    stroke = data.draw(inside.filter(lambda x: all(abs(x - kink) > 2e-6 for kink in kinks)))
    behind, ahead = element.force(np.array([stroke - step, stroke + step]))
    # Central difference: its rounding is that of the force (1e-16 of it) over the step, its error the curvature's.
    rounding = 4e-16 * (abs(behind) + abs(ahead) + 1e3) / step
    assert (ahead - behind) / (2 * step) == pytest.approx(float(element.rate(stroke)), rel=1e-5, abs=rounding)


@pytest.mark.parametrize("name", ELEMENTS)
@settings(max_examples=30)
@given(data=st.data())
def test_energy_is_the_integral_of_the_force_and_never_below_zero(name, data):
    element, kinks = ELEMENTS[name](data.draw)
    stroke = data.draw(st.floats(1e-6, TRAVEL))
    work = quad(lambda x: float(element.force(x)), 0.0, stroke, points=[k for k in kinks if k < stroke] or None)[0]
    gained = float(element.energy(stroke)) - float(element.energy(0.0))
    assert gained == pytest.approx(work, rel=1e-8, abs=1e-8)  # quad's own promise is 1.5e-8
    assert element.energy(stroke) >= -1e-12  # J: rounding of a difference of two works of some joule


@pytest.mark.parametrize("name", ELEMENTS)
@settings(max_examples=10)
@given(data=st.data())
def test_strokes_of_any_shape_are_left_as_they_are(name, data):
    element, _ = ELEMENTS[name](data.draw)
    strokes = np.linspace(0.0, TRAVEL, 6).reshape(2, 3)
    kept = strokes.copy()
    for law in (element.force, element.rate, element.energy):
        found = law(strokes)
        assert found.shape == (2, 3) and np.array_equal(strokes, kept)
        assert found[1, 2] == pytest.approx(float(law(TRAVEL)), rel=1e-14)
