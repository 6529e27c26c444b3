"""Panels of springs, sag, air and the whole fork: every corner, and numbers that are the library's own."""

import dataclasses

import numpy as np
import pytest

from suspedu.machine import adjusted, load
from suspedu.machine.forces import bottom_out_force, force_split, rate_split, stored_work
from suspedu.machine.statics import (
    fork_load,
    free_sag,
    front_load,
    rider_sag,
    sag_band,
    spring_for_rider,
    static_stroke,
)
from suspedu.show import panels
from suspedu.show.panels.setting import AIM_SLACK, FREE_AIM, RIDER_AIM, UNITS, set_machine
from suspedu.show.panels.springs.air import CONTROLS_AIR_SPRING, view_air_spring
from suspedu.show.panels.springs.sag import CONTROLS_SAG, view_sag
from suspedu.show.panels.springs.springs import CONTROLS_COIL_SPRING, view_coil_spring
from suspedu.show.panels.springs.whole_fork import CONTROLS_WHOLE_FORK, view_whole_fork
from suspedu.show.view import every_corner
from suspedu.units import from_si

ALL = {
    "coil_spring": (view_coil_spring, CONTROLS_COIL_SPRING),
    "air_spring": (view_air_spring, CONTROLS_AIR_SPRING),
    "sag": (view_sag, CONTROLS_SAG),
    "whole_fork": (view_whole_fork, CONTROLS_WHOLE_FORK),
}
ENDURO = load("enduro")


def item(view, name):
    return next(found for found in view.items if found.name == name)


def number(view, label) -> float:
    return float(dict(view.numbers)[label].split()[0])


def start_of(controls, **changed) -> dict:
    return {control.name: control.start for control in controls} | changed


@pytest.mark.parametrize("name", ALL)
def test_every_corner_is_finite_and_keeps_its_items(name):
    view, controls = ALL[name]
    names = {tuple(item.name for item in view(**values).items) for values in every_corner(controls)}
    assert len(names) == 1
    for values in every_corner(controls):
        shown = view(**values)
        assert all(np.isfinite(item.x).all() and np.isfinite(item.y).all() for item in shown.items), values
        assert not any(word in shown.text for word in ("nan", "inf ", "-0.0", "None")), shown.text
        assert 3 <= len(shown.numbers) <= 6


@pytest.mark.parametrize("name", ALL)
def test_the_panel_draws_its_extreme_corners(name):
    panel = getattr(panels, name)()
    corners = list(every_corner(ALL[name][1]))
    for values in (corners[0], corners[1], corners[-1]):
        panel.move(**values)
        assert panel.problem == "" and panel.picture.startswith(b"\x89PNG")


@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_setting_puts_every_workshop_value_where_it_belongs(machine):
    given = {"preload": 7.5, "coil_rate": 4.4, "oil_height": 97.0, "air_temperature": 35.0, "rider_mass": 71.0}
    fork = set_machine(machine, **given)
    for leg in fork.both_legs:
        held = {"preload": leg.spring.preload, "coil_rate": leg.spring.rate, "oil_height": leg.air.oil_height,
                "air_temperature": leg.air.temperature, "rider_mass": fork.rider.mass}  # fmt: skip
        assert {name: from_si(held[name], UNITS[name]) for name in held} == pytest.approx(given, rel=1e-12)


@pytest.mark.parametrize(("rate", "preload", "mass"), [(3.4, 0, 60), (4.0, 4, 82), (5.2, 18, 110)])
def test_sags_are_those_of_the_statics(rate, preload, mass):
    fork = adjusted(ENDURO, coil_rate=rate * 1e3, preload=preload / 1e3, rider_mass=float(mass))
    setting = {"coil_rate": rate, "preload": preload, "rider_mass": mass}
    others = {"machine": "School enduro 300", "oil_height": 110}
    for view in (view_coil_spring(**setting), view_sag(**setting), view_whole_fork(**setting, **others)):
        assert number(view, "Free sag") == pytest.approx(float(free_sag(fork)) * 1e3, abs=0.0501)  # shown to 0.1 mm
        assert number(view, "Rider sag") == pytest.approx(float(rider_sag(fork)) * 1e3, abs=0.0501)


def test_preload_lifts_the_coils_by_its_force_and_leaves_their_slope():
    before, after = (view_coil_spring(coil_rate=4.0, preload=preload, rider_mass=82) for preload in (4, 14))
    slopes = [item(view, "coil slope").y for view in (before, after)]
    np.testing.assert_array_equal(slopes[0], slopes[1])
    steps = [np.diff(item(view, "coils").y) for view in (before, after)]
    np.testing.assert_allclose(steps[0], steps[1], rtol=1e-11)  # rounding in differences of 1000 N
    label = "Force of the coils before the stroke begins"
    assert number(after, label) - number(before, label) == 2 * 4.0 * 10
    slope = "Slope of the coils, both legs"
    assert dict(before.numbers)[slope] == dict(after.numbers)[slope] == "8.00 N/mm"


def test_a_pin_shows_that_preload_leaves_the_slope_and_the_rate_does_not():
    panel = panels.coil_spring()
    panel.pin()
    panel.move(preload=14)
    compared = {row[0]: row[1:] for row in panel.numbers}
    assert compared["Slope of the coils, both legs"] == ["8.00 N/mm", "8.00 N/mm", "same"]
    assert compared["Rider sag"][2].startswith("−")
    panel.move(preload=4, coil_rate=5.0)
    assert {row[0]: row[3] for row in panel.numbers}["Slope of the coils, both legs"] == "+2.00 N/mm"


def test_marks_of_sag_lie_on_the_curve_and_on_the_load():
    view = view_coil_spring(coil_rate=4.0, preload=4, rider_mass=82)
    curve, mark = item(view, "fork"), item(view, "rider")
    assert mark.y == pytest.approx(float(fork_load(ENDURO, front_load(ENDURO))), rel=1e-12)
    assert np.interp(mark.x, curve.x, curve.y) == pytest.approx(mark.y, abs=0.1)  # N; straight between points


def test_the_sag_per_preload_that_is_shown_is_what_the_sags_do():
    low, high = (view_coil_spring(coil_rate=4.0, preload=preload, rider_mass=82) for preload in (3.5, 4.5))
    change = (item(low, "rider").x - item(high, "rider").x) / 1.0
    shown = number(view_coil_spring(coil_rate=4.0, preload=4, rider_mass=82),
                   "Sag that one more millimetre of preload takes away")  # fmt: skip
    assert shown == pytest.approx(change, abs=0.006)  # shown to 0.01 mm


def test_air_is_that_of_the_library_with_heat_haste_and_pressure():
    view = view_air_spring(oil_height=95, air_temperature=60, exponent=1.35, gauge_pressure=0.2)
    leg = ENDURO.legs[0]
    air = dataclasses.replace(leg.air, oil_height=0.095, temperature=333.15, exponent=1.35, gauge_pressure=2e4)
    fork = dataclasses.replace(ENDURO, legs=(dataclasses.replace(leg, air=air),))
    curve = item(view, "air")
    np.testing.assert_allclose(curve.y, force_split(fork, curve.x / 1e3, None).air, rtol=1e-12)
    total = item(view, "both").y
    np.testing.assert_allclose(np.gradient(total, curve.x)[5:60], item(view, "slope").y[5:60], rtol=1e-3)  # 2 mm steps
    bottoms = number(view, "Force that bottoms it, bumper included")
    assert bottoms == pytest.approx(bottom_out_force(fork, None), abs=0.51)  # shown to 1 N
    assert number(view, "Air at the end") == pytest.approx(curve.y[-1], abs=0.51)


def test_oil_height_acts_late_and_leaves_the_coils():
    less, more = (view_air_spring(**start_of(CONTROLS_AIR_SPRING, oil_height=height)) for height in (120, 100))
    gain = [number(more, label) - number(less, label)
            for label in ("Air after one third of the stroke", "Air after two thirds", "Air at the end")]  # fmt: skip
    assert 0 < gain[0] < gain[1] / 3 < gain[2] / 9
    np.testing.assert_array_equal(item(less, "coils").y, item(more, "coils").y)


def test_the_spring_that_the_sag_panel_names_brings_both_sags():
    view = view_sag(rider_mass=97, coil_rate=4.0, preload=4)
    aims = RIDER_AIM * ENDURO.travel, FREE_AIM * ENDURO.travel
    rate, preload = spring_for_rider(ENDURO, 97.0, *aims)
    named = number(view, "Rate that gives this rider both sags")
    assert named == pytest.approx(rate / 1e3, abs=0.011)  # shown to 0.01 N/mm, straight between riders 5 kg apart
    right = view_sag(rider_mass=97, coil_rate=named, preload=preload * 1e3)
    assert "Both are right" in right.sentence and "Both are right" not in view.sentence


@pytest.mark.parametrize(("setting", "words"), [
    ((105, 4.0, 8), "needs a stiffer spring"), ((60, 5.0, 0), "needs a softer spring"),
    ((82, 3.8, 18), "less preload"), ((82, 3.8, 1), "more preload"),
])  # fmt: skip
def test_the_sag_panel_reads_the_pair_as_a_mechanic_does(setting, words):
    mass, rate, preload = setting
    view = view_sag(rider_mass=mass, coil_rate=rate, preload=preload)
    fork = set_machine(rider_mass=mass, coil_rate=rate, preload=preload)
    off = [rider_sag(fork) / 0.3 - RIDER_AIM, free_sag(fork) / 0.3 - FREE_AIM]
    assert max(map(abs, off)) > AIM_SLACK
    assert ("spring, whatever the preload" in view.sentence) == (abs(off[0] - off[1]) > AIM_SLACK)
    assert words in view.sentence


def test_friction_band_is_shown():
    low, high = sag_band(ENDURO)
    shown = dict(view_sag(rider_mass=82, coil_rate=4.0, preload=4).numbers)["Where friction may leave the rider sag"]
    assert shown == f"{low * 1e3:.0f} to {high * 1e3:.0f} mm"


def test_the_whole_fork_is_drawn_as_deep_as_it_sinks():
    start = start_of(CONTROLS_WHOLE_FORK)
    view = view_whole_fork(**start)
    tops = {state: max(item(view, f"outer tube, {state}").y) for state in ("hanging", "alone", "rider on")}
    fork = set_machine()
    assert tops["hanging"] - tops["alone"] == pytest.approx(float(free_sag(fork)) * 1e3, abs=1e-9)
    assert tops["hanging"] - tops["rider on"] == pytest.approx(float(rider_sag(fork)) * 1e3, abs=1e-9)
    more = view_whole_fork(**start | {"oil_height": start["oil_height"] - 20})
    assert max(item(more, "oil, alone").y) - max(item(view, "oil, alone").y) == pytest.approx(20)
    preloaded = view_whole_fork(**start | {"preload": start["preload"] + 5})
    thick = [np.ptp(item(shown, "collar, alone").y) for shown in (view, preloaded)]
    assert thick[1] - thick[0] == pytest.approx(5)


@pytest.mark.parametrize("machine", ["School enduro 300", "School trail 250"])
def test_the_whole_fork_splits_and_sums_the_force_of_riding(machine):
    view = view_whole_fork(**start_of(CONTROLS_WHOLE_FORK, machine=machine))
    fork = set_machine({"School enduro 300": "enduro", "School trail 250": "trail"}[machine], coil_rate=4.0, preload=4,
                       oil_height=110, rider_mass=82)  # fmt: skip
    curve = item(view, "total")
    np.testing.assert_allclose(curve.y, force_split(fork, curve.x / 1e3, None).total, rtol=1e-12)
    assert number(view, "Work it takes up on the way") == pytest.approx(stored_work(fork, fork.travel, None), abs=0.51)
    assert curve.x[-1] == pytest.approx(fork.travel * 1e3)
    rider = item(view, "load rider on")
    assert rider.x == pytest.approx(float(static_stroke(fork, rider.y)) * 1e3, abs=1e-6)


def test_slopes_in_the_panel_are_those_of_the_library():
    view = view_coil_spring(coil_rate=4.6, preload=2, rider_mass=90)
    rate = rate_split(set_machine(coil_rate=4.6, preload=2, rider_mass=90), 0.05)
    assert float(item(view, "coil slope").y[0]) == pytest.approx(float(rate.coil) / 1e3)
    assert float(item(view, "fork slope").y.min()) > float(rate.coil) / 1e3
