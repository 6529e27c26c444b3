"""Restrictions: limits, scaling, inverses, and the sentences for slips."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.parts import restrictions as r
from suspedu.units import InputError

DROPS = np.geomspace(1e-1, 1e8, 91)
OIL = {"density": 850.0, "viscosity": 0.012}


@settings(max_examples=50)
@given(area=st.floats(1e-9, 1e-4), resistance=st.floats(0, 1e14), viscosity=st.floats(1e-4, 1.0))
def test_flow_and_drop_are_inverses(area, resistance, viscosity):
    options = {"density": 850.0, "viscosity": viscosity, "resistance": resistance}
    flow = r.orifice_flow(DROPS, area, **options)
    assert np.all(np.diff(flow) > 0)
    np.testing.assert_allclose(r.orifice_drop(flow, area, **options), DROPS, rtol=1e-12)


def test_flow_is_odd_and_nothing_at_rest():
    both = r.orifice_flow(np.array([-1e5, 0.0, 1e5]), 1e-6, 850.0, viscosity=0.01, resistance=1e11)
    assert both[0] == -both[2] != 0.0 and both[1] == 0.0
    assert r.orifice_flow(1e5, 0.0, 850.0) == 0.0


def test_jet_and_wall_are_the_two_limits():
    sharp = r.orifice_flow(DROPS, 1e-6, 850.0, discharge=0.7)
    np.testing.assert_allclose(sharp, 0.7e-6 * np.sqrt(2 * DROPS / 850.0), rtol=1e-14)
    wall = r.orifice_flow(1e-4, 1e-4, **OIL, resistance=1e13)  # creeping flow in a wide passage
    assert wall * 1e13 * 0.012 / 1e-4 == pytest.approx(1, rel=1e-6)


def test_creeping_flow_keeps_its_digits():
    """The textbook root of the quadratic has none left here: its relative error exceeds 1e-3."""
    resistance, area, drop = 1e14, 1e-5, 1e-6
    exact = drop / (resistance * 0.012)
    assert r.orifice_flow(drop, area, **OIL, resistance=resistance) / exact == pytest.approx(1, rel=1e-9)
    a, b = 0.5 * 850.0 / (0.61 * area) ** 2, resistance * 0.012
    textbook = (-b + np.sqrt(b * b + 4 * a * drop)) / (2 * a)
    assert abs(textbook / exact - 1) > 1e-3


def test_bore_and_clearance_scale_as_their_laws_say():
    assert r.bore_resistance(1e-3, 5e-3) / r.bore_resistance(2e-3, 5e-3) == pytest.approx(16)
    assert r.bore_resistance(1e-3, 5e-3, 4) == pytest.approx(r.bore_resistance(1e-3, 5e-3) / 4)
    gaps = r.clearance_resistance(0.02, np.array([2e-5, 4e-5]), 0.01)
    assert gaps[0] / gaps[1] == pytest.approx(8)


def test_needle_area_grows_to_the_bore_and_stays_there():
    lift = np.linspace(0, 20e-3, 4001)
    area = r.needle_area(lift, 2.5e-3, np.radians(30))
    assert area[0] == 0 and np.all(np.diff(area) >= 0)
    assert area[-1] / (np.pi / 4 * 2.5e-3**2) == pytest.approx(1, rel=1e-12)


def test_first_clicks_change_most():
    """What a click does to the flow, in per cent of what there is, falls from click to click."""
    area = r.needle_area(r.needle_lift(np.arange(1, 21), 5e-5, 24), 2.5e-3, np.radians(30))
    share = np.diff(area) / area[:-1]
    assert np.all(np.diff(share) < 0) and share[0] > 0.9 and share[-1] < 0.06


def test_clicks_for_area_is_the_inverse_of_needle_area():
    clicks = np.arange(1, 25)
    area = r.needle_area(r.needle_lift(clicks, 5e-5, 24), 2.5e-3, np.radians(30))
    np.testing.assert_allclose(r.clicks_for_area(area, 5e-5, 2.5e-3, np.radians(30)), clicks, rtol=1e-12)


@pytest.mark.parametrize(("call", "words"), [
    (lambda: r.needle_lift(31, 5e-5, 24), "clicks out is 31; allowed: 0 to 24"),
    (lambda: r.needle_lift(-1, 5e-5, 24), "clicks out is −1"),
    (lambda: r.needle_area(3e-3, 2.5e-3, 0.5, travel=2e-3), "needle lift is 3 mm; allowed: 0 to 2 mm"),
    (lambda: r.needle_area(-1e-4, 2.5e-3, 0.5), "needle lift is −0.1 mm"),
    (lambda: r.clearance_resistance(0.02, -5e-5, 0.01), "radial clearance is −0.05 mm"),
    (lambda: r.clearance_resistance(0.02, 5e-5, 0.01, 1.2), "eccentricity is 1.2; allowed: 0 to 1"),
    (lambda: r.clicks_for_area(9e-6, 5e-5, 2.5e-3, 0.5), "more than the whole seat"),
])
def test_slips_get_a_sentence(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value) and "\n" not in str(caught.value)
