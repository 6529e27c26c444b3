"""Panels of springs, sag, air and the whole fork: numbers that are the library's own."""

import dataclasses

import numpy as np
import pytest

from suspedu.machine import ADJUSTERS, adjusted, load, pressure_caution, spring_for_rider, tube_pressures
from suspedu.machine.forces import bottom_out_force, force_split, stored_work
from suspedu.machine.friction import breakaway_friction, friction_levels
from suspedu.machine.statics import (
    free_sag,
    front_load,
    rider_sag,
    sag_band,
    static_stroke,
)
from suspedu.school import set_machine
from suspedu.school.rubbing import loads
from suspedu.school.sag import AIM_SLACK, FREE_AIM, RIDER_AIM
from suspedu.show import panels
from suspedu.show.panels.setting import slider

from .sample import item, number

ENDURO = load("enduro")

@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_setting_puts_every_workshop_value_where_it_belongs(machine):
    given = {"preload": 7.5, "coil_rate": 4.4, "oil_height": 97.0, "air_temperature": 35.0, "rider_mass": 71.0}
    fork = set_machine(machine, **given)
    for leg in fork.both_legs:
        held = {"preload": leg.spring.preload, "coil_rate": leg.spring.rate, "oil_height": leg.air.oil_height,
                "air_temperature": leg.air.temperature, "rider_mass": fork.rider.mass}  # fmt: skip
        assert {name: ADJUSTERS[name].shown(held[name]) for name in held} == pytest.approx(given, rel=1e-12)


@pytest.mark.parametrize(("rate", "preload", "mass"), [(3.4, 0, 60), (4.0, 4, 82), (5.2, 18, 110)])
def test_sags_are_those_of_the_statics(rate, preload, mass):
    fork = adjusted(ENDURO, coil_rate=rate * 1e3, preload=preload / 1e3, rider_mass=float(mass))
    setting = {"coil_rate": rate, "preload": preload, "rider_mass": mass}
    for view in (panels.sag.shown(**setting), panels.whole_fork.shown(**setting)):
        assert number(view, "Free sag") == pytest.approx(float(free_sag(fork)) * 1e3, abs=0.0501)  # shown to 0.1 mm
        assert number(view, "Rider sag") == pytest.approx(float(rider_sag(fork)) * 1e3, abs=0.0501)


def test_air_is_that_of_the_library_with_heat_haste_and_pressure():
    view = panels.air_spring.shown(oil_height=95, air_temperature=60, exponent=1.35, gauge_pressure=0.2)
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


def test_the_air_panel_warns_where_a_landing_could_burst_the_tube_and_only_there():
    corners = [panels.air_spring.shown(oil_height=height, air_temperature=heat, gauge_pressure=left)
               for height in (90, 110, 150) for heat in (0, 90) for left in (0.0, 0.6)]
    told = ["Caution" in view.sentence for view in corners]
    assert told[3] and not told[0] and not told[-4]  # full, hot and pumped; full, cold and bled; low, cold and bled
    assert "Caution" not in panels.air_spring.shown().sentence


def test_oil_is_told_by_height_and_by_volume():
    view, leg = panels.air_spring.shown(oil_height=95), adjusted(ENDURO, oil_height=0.095).legs[0]
    assert f"95 mm of oil height are {1e6 * float(leg.air.oil_volume):.0f} cm³ of oil in each leg" in view.sentence
    back = adjusted(ENDURO, oil_volume=float(leg.air.oil_volume)).legs[0]
    assert back.air.oil_height == pytest.approx(0.095)


@pytest.mark.parametrize(("volume", "celsius"), [(290, 0), (350, 20), (390, 90)])
def test_oil_by_volume_is_oil_by_height_and_warns_as_the_machine_does(volume, celsius):
    view = panels.oil_filled.shown(oil_volume=volume, air_temperature=celsius)
    fork = set_machine(oil_volume=volume, air_temperature=celsius)
    air = fork.legs[0].air
    assert number(view, "Oil height") == pytest.approx(1e3 * float(air.oil_height), abs=0.051)
    by_height = adjusted(ENDURO, oil_height=float(air.oil_height), air_temperature=celsius + 273.15)
    assert number(view, "Pressure in a hard landing (gauge)") == pytest.approx(
        float(tube_pressures(by_height)[0]) / 1e5, abs=0.051)
    assert ("Caution" in view.sentence) == bool(pressure_caution(fork))


def test_what_rubs_is_the_sum_of_its_causes_and_of_the_library():
    for slowing, stroke in ((0, 60), (7, 150)):
        view = panels.bushings.shown(slowing=slowing, stroke=stroke)
        load, brake = loads(ENDURO, slowing)
        whole = sum(float(level) for level in friction_levels(ENDURO, stroke / 1e3, load, brake))
        parts = [number(view, label) for label in ("Seals, both legs", "What the air adds at their lips",
                                                   "Bushings, both legs")]
        assert sum(parts) == pytest.approx(whole, abs=1.5)  # three parts, each rounded to 1 N
        assert item(view, "here").y == pytest.approx(whole, rel=1e-9)
        held = float(breakaway_friction(ENDURO, stroke / 1e3, load, brake))
        assert number(view, "Holds the fork where it is") == pytest.approx(held, abs=0.51)


def test_bushings_further_apart_bear_less_and_the_brake_bends_the_other_way():
    near, far = (number(panels.bushings.shown(overlap=apart), "Bushings, both legs") for apart in (130, 250))
    assert far < near
    calm, braking = (item(panels.bushings.shown(slowing=slowing), "upper now").y for slowing in (0, 8))
    assert calm > 0 > braking


def test_oil_height_acts_late_and_leaves_the_coils():
    less, more = (panels.air_spring.shown(oil_height=height) for height in (120, 100))
    gain = [number(more, label) - number(less, label)
            for label in ("Air after one third of the stroke", "Air after two thirds", "Air at the end")]  # fmt: skip
    assert 0 < gain[0] < gain[1] / 3 < gain[2] / 9
    np.testing.assert_array_equal(item(less, "coils").y, item(more, "coils").y)


def test_every_rider_of_the_panel_finds_a_sold_spring_and_a_preload_within_its_sliders():
    controls = {control.name: control for control in panels.sag.controls}
    for mass in np.arange(controls["rider_mass"].low, controls["rider_mass"].high + 1, 5):
        found = spring_for_rider(ENDURO, float(mass))
        rate, preload = found.rate / 1e3, found.preload * 1e3
        assert rate == pytest.approx(round(rate, 1)) and preload == pytest.approx(round(preload))  # sold, and set
        view = panels.sag.shown(rider_mass=mass, coil_rate=rate, preload=preload)  # refused outside of the sliders
        assert "are right: spring and preload suit" in view.sentence, mass
        assert dict(view.numbers)["Their middle, and its preload"] == f"{rate:.1f} N/mm, {preload:.0f} mm"
        assert found.softest <= found.rate <= found.stiffest


def test_the_sag_panel_says_which_band_ends_the_springs_for_a_rider():
    view, found = panels.sag.shown(rider_mass=98), spring_for_rider(ENDURO, 98.0)
    assert f"(the next softer one {found.softer_fails})" in view.sentence
    assert f"(the next stiffer one {found.stiffer_fails})" in view.sentence
    energy = stored_work(ENDURO, ENDURO.travel, None) / (
        (float(front_load(adjusted(ENDURO, rider_mass=98.0))) / 9.80665) - ENDURO.chassis.unsprung_mass)
    assert number(view, "Energy to bottom, for each kilogram") == pytest.approx(float(energy), abs=0.0051)


def test_right_sags_on_too_weak_a_spring_are_not_called_right():
    view = panels.sag.shown(rider_mass=115)
    off = [rider_sag(set_machine(rider_mass=115)) / 0.3 - RIDER_AIM, free_sag(ENDURO) / 0.3 - FREE_AIM]
    assert max(map(abs, off)) <= AIM_SLACK and "all right: a stiffer spring" in view.sentence
    assert "too soft for this rider" in panels.whole_fork.shown(rider_mass=115).sentence


@pytest.mark.parametrize(("setting", "words"), [
    ((115, 3.6, 8), "a stiffer spring."), ((60, 5.0, 0), "a softer spring."),
    ((82, 3.8, 18), "Less preload, and the spring may stay"), ((90, 3.4, 0), "More preload, and the spring may stay"),
])  # fmt: skip
def test_the_sag_panel_reads_the_pair_as_a_mechanic_does(setting, words):
    mass, rate, preload = setting
    view = panels.sag.shown(rider_mass=mass, coil_rate=rate, preload=preload)
    fork = set_machine(rider_mass=mass, coil_rate=rate, preload=preload)
    off = [rider_sag(fork) / 0.3 - RIDER_AIM, free_sag(fork) / 0.3 - FREE_AIM]
    assert max(map(abs, off)) > AIM_SLACK
    assert ("At no preload from" in view.sentence) == (abs(off[0] - off[1]) > AIM_SLACK)
    assert words in view.sentence


def test_friction_band_is_shown():
    low, high = sag_band(ENDURO)
    shown = dict(panels.sag.shown().numbers)["Where friction may leave the rider sag"]
    assert shown == f"{low * 1e3:.0f} to {high * 1e3:.0f} mm"


def test_the_whole_fork_is_drawn_as_deep_as_it_sinks():
    start = panels.whole_fork.values()
    view = panels.whole_fork.shown(**start)
    tops = {state: max(item(view, f"outer tube, {state}").y) for state in ("hanging", "alone", "rider on")}
    fork = set_machine()
    assert tops["hanging"] - tops["alone"] == pytest.approx(float(free_sag(fork)) * 1e3, abs=1e-9)
    assert tops["hanging"] - tops["rider on"] == pytest.approx(float(rider_sag(fork)) * 1e3, abs=1e-9)
    more = panels.whole_fork.shown(oil_height=start["oil_height"] - 20)
    assert max(item(more, "oil, alone").y) - max(item(view, "oil, alone").y) == pytest.approx(20)
    preloaded = panels.whole_fork.shown(preload=start["preload"] + 5)
    thick = [np.ptp(item(shown, "collar, alone").y) for shown in (view, preloaded)]
    assert thick[1] - thick[0] == pytest.approx(5)


@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_the_whole_fork_splits_and_sums_the_force_of_riding(machine):
    view = panels.whole_fork.shown(machine=machine)
    fork = set_machine(machine, coil_rate=4.0, preload=4,
                       oil_height=110, rider_mass=82)  # fmt: skip
    curve = item(view, "total")
    np.testing.assert_allclose(curve.y, force_split(fork, curve.x / 1e3, None).total, rtol=1e-12)
    assert number(view, "Work it takes up on the way") == pytest.approx(stored_work(fork, fork.travel, None), abs=0.51)
    assert curve.x[-1] == pytest.approx(fork.travel * 1e3)
    rider = item(view, "load rider on")
    assert rider.x == pytest.approx(float(static_stroke(fork, rider.y)) * 1e3, abs=1e-6)


def test_sliders_say_what_the_table_of_adjusters_says_in_its_own_units():
    """Ranges and steps in workshop units, where the school's enduro stands."""
    found = {name: slider(name) for name in ("preload", "coil_rate", "oil_height", "air_temperature", "rebound")}
    assert {name: (each.low, each.high, each.step, each.start) for name, each in found.items()} == {
        "preload": (0, 20, 0.5, 4), "coil_rate": (2.6, 5.6, 0.05, 4), "oil_height": (90, 150, 1, 110),
        "air_temperature": (0, 90, 5, 20), "rebound": (0, 24, 1, 12)}
    assert found["air_temperature"].unit == "°C" and "stiffer" in found["coil_rate"].direction


def test_sags_are_judged_as_a_tape_reads_them():
    """More oil takes half a millimetre off a sag of 60.1, at the end of the band: nobody turns preload for it."""
    for oil in (110.0, 105.0, 90.0):
        view = panels.whole_fork.shown(oil_height=oil)
        assert "60 mm with its rider" in view.sentence and "both as the school likes them" in view.sentence
    assert "with less preload" in panels.whole_fork.shown(preload=6.0).sentence
