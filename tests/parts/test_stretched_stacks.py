"""Stacks that stretch: the lift curve against the plate itself, its limits, and what a drawing says of it."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.parts.shim_stacks import Port, Shim, Stack, bent_stack, lift_curve
from suspedu.parts.shim_stacks.lift import LiftCurve, stretch_stiffening
from suspedu.parts.shim_stacks.plate import pressure_load, radial_mesh
from suspedu.parts.shim_stacks.stretch import ThinPlate, large_deflection

PORT = Port(0.011, 0.0174)


def stack_of(*shims, clamp=9.0):
    return Stack(tuple(Shim(d * 1e-3, t * 1e-3) for d, t in shims), clamp * 1e-3)


ONE = stack_of((19, 0.15))
TAPER = stack_of((19, 0.15), (19, 0.15), (17, 0.15), (15, 0.15), (13, 0.2))
GAPPED = stack_of((19, 0.15), (11, 0.1), (18, 0.15))


@pytest.mark.parametrize("ratio", [0.3, 0.8, 1.4])
def test_one_shim_lies_between_a_bore_held_and_a_bore_free(ratio):
    """The plate of von Karman itself with either bore; 2 % is what one coefficient for all deflections costs."""
    curve, radii = lift_curve(ONE, PORT), radial_mesh((4.5e-3, 5.5e-3, 8.7e-3, 9.5e-3), 24)
    pressure = float(np.interp(ratio * 0.15e-3, curve.straight(np.linspace(0, 5e6, 2001)), np.linspace(0, 5e6, 2001)))
    rim = 2 * int(np.argmin(np.abs(radii - 8.7e-3)))
    lifts = [large_deflection(ThinPlate(radii, 0.15e-3, 206e9, 0.3, held), pressure * pressure_load(
        radii, 5.5e-3, 8.7e-3))[rim] for held in ((0, 1, 2 * len(radii)), (0, 1))]
    assert lifts[0] * 0.98 < float(curve(pressure)) < lifts[1] * 1.02
    assert lifts[1] < float(curve.straight(pressure))


@pytest.mark.parametrize("stack", [ONE, TAPER, GAPPED], ids=["one", "taper", "gapped"])
def test_the_curve_solves_its_own_cubic_and_small_loads_are_straight(stack):
    curve = lift_curve(stack, PORT)
    pressure = np.geomspace(1e-3, 5e7, 400)
    lift = curve(pressure)
    assert np.all(np.diff(lift) > 0) and np.all(lift <= curve.straight(pressure) * (1 + 1e-12))
    bending = np.interp(lift, curve.lift, curve.bending)
    inside = lift < curve.lift[-1]
    np.testing.assert_allclose((bending + curve.stiffening * lift**3)[inside], pressure[inside], rtol=1e-9)
    np.testing.assert_allclose(lift[:60], curve.straight(pressure[:60]), rtol=1e-6)


def test_equal_shims_share_the_load_when_they_stretch_too():
    """n shims at n times the pressure lift as one does: each holds its own share, bent and stretched."""
    for count in (2, 5):
        many = lift_curve(stack_of(*[(19, 0.15)] * count), PORT)
        pressure = np.geomspace(1e4, 3e6, 30)
        np.testing.assert_allclose(many(count * pressure), lift_curve(ONE, PORT)(pressure), rtol=1e-9)


@settings(max_examples=40)
@given(st.lists(st.floats(1e4, 1e6), min_size=2, max_size=5), st.lists(st.floats(1e-6, 1e-4), min_size=2, max_size=5),
       st.floats(0.0, 1e19))
def test_any_curve_is_continuous_at_its_kinks_and_rises(steps, lifts, kappa):
    n = min(len(steps), len(lifts))
    lift = np.concatenate([[0.0], np.cumsum(lifts[:n])])
    pressure = np.concatenate([[0.0], np.cumsum(steps[:n])]) + kappa * lift**3
    curve = LiftCurve(pressure, lift, kappa)
    np.testing.assert_allclose(curve(pressure), lift, rtol=1e-9, atol=1e-15)
    near = [curve(pressure[1:] * (1 + h)) for h in (-1e-10, 1e-10)]
    np.testing.assert_allclose(near[0], near[1], rtol=1e-6)
    assert np.all(np.diff(curve(np.linspace(0, 2 * pressure[-1], 300))) > 0)


def test_shims_that_end_short_add_little_and_those_behind_a_gap_no_more():
    whole, short = (stretch_stiffening(stack_of((19, 0.15), (d, 0.15)), PORT) for d in (18, 13))
    one = stretch_stiffening(ONE, PORT)
    assert whole == pytest.approx(2 * one, rel=1e-9)
    assert short / one - 1 == pytest.approx(((6.5 - 4.5) / (8.7 - 4.5)) ** 5, rel=1e-9)
    tiny = ((5.5 - 4.5) / (8.7 - 4.5)) ** 5
    assert stretch_stiffening(GAPPED, PORT) == pytest.approx(one * (1 + tiny * (0.1 + 0.15) / 0.15), rel=1e-9)


def test_the_rims_slope_is_that_of_the_drawn_shim():
    pressure = 8e5
    bent, curve = bent_stack(TAPER, PORT, pressure), lift_curve(TAPER, PORT)
    drawn = np.interp(8.7e-3, bent.radii, np.gradient(bent.deflection[0], bent.radii))
    assert float(curve.rim_slope(curve(pressure))) == pytest.approx(drawn, rel=0.02)  # a quotient


def test_a_drawing_bends_by_what_the_curve_says_and_its_contacts_hold_the_bending_share():
    pressure = 2e6
    bent, curve = bent_stack(TAPER, PORT, pressure), lift_curve(TAPER, PORT)
    lift = np.interp(8.7e-3, bent.radii, bent.deflection[0])
    assert lift == pytest.approx(float(curve(pressure)), rel=1e-6)
    assert bent.bending_share == pytest.approx(float(curve.bending_pressure(pressure)) / pressure)
    less = bent_stack(TAPER, PORT, pressure * bent.bending_share)
    pushes = [sum(newton for *_, newton in each.contacts) for each in (bent, less)]
    assert 1.0 > bent.bending_share > pushes[1] / pushes[0] * bent.bending_share > 0.5
    stiff = dataclasses.replace(TAPER, young=250e9)
    assert bent_stack(stiff, PORT, pressure).bending_share > bent.bending_share
