"""Machines as data: the school's files load, settings change a copy, and slips get a sentence."""

from dataclasses import replace

import numpy as np
import pytest

from suspedu import machine
from suspedu.machine import Machine, Rider, adjusted, load, names
from suspedu.parts.springs import spring_rate
from suspedu.units import InputError


@pytest.fixture(params=names())
def bike(request):
    return load(request.param)


def test_every_machine_of_the_school_loads(bike):
    assert isinstance(bike, Machine)
    assert bike.name.startswith("School")
    assert len(bike.both_legs) == 2


def test_front_share_with_rider_is_plausible(bike):  # 45-50 % (common practice)
    front = bike.chassis.mass * bike.chassis.front_share + bike.rider.mass * bike.rider.front_share
    assert 0.45 <= front / (bike.chassis.mass + bike.rider.mass) <= 0.50


def test_adjusting_changes_a_copy(bike):
    softer = adjusted(bike, preload=0.009, oil_height=0.13, rider_mass=90.0)
    assert [leg.spring.preload for leg in softer.legs] == [0.009] * len(bike.legs)
    assert softer.legs[0].air.oil_height == 0.13
    assert softer.rider.mass == 90.0
    assert bike.rider.mass != 90.0
    assert bike.legs[0].spring.preload != 0.009


def test_adjusting_one_leg_leaves_the_other(bike):
    changed = adjusted(bike, leg=2, preload=0.011)
    first, second = changed.both_legs
    assert first == bike.both_legs[0]
    assert second.spring.preload == 0.011


def test_another_rate_is_another_spring():
    trail = load("trail")
    assert trail.legs[0].spring.wire is not None
    assert [spring_rate(leg.spring) for leg in adjusted(trail, coil_rate=4500.0).legs] == [4500.0, 4500.0]


@pytest.mark.parametrize(("change", "sentence"), [
    ({"prelaod": 0.01}, "'prelaod' is not an adjuster (did you mean 'preload'?)"),
    ({"preload": 0.1}, "preload is 100 mm; allowed: 0 to 60 mm"),
    ({"preload": np.array([0.01, -0.01])}, "preload is −10 mm; allowed: 0 to 60 mm (was a minus sign typed?"),
    ({"oil_height": 0.02}, "so much oil leaves no air"),
    ({"rider_mass": -80.0}, "rider in gear is −80 kg; allowed: 30 to 160 kg (was a minus sign typed? 80 kg would do)"),
    ({"rider_mass": 8000.0}, "rider in gear is 8000 kg; allowed: 30 to 160 kg"),
    ({"leg": 3, "preload": 0.01}, "leg is 3; allowed: 1 to 2"),
])
def test_a_setting_that_cannot_be_is_refused(change, sentence):
    with pytest.raises(InputError) as refusal:
        adjusted(load("enduro"), **change)
    assert sentence in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_clicks_without_a_damper_are_refused():
    bare = replace(load("enduro"), legs=tuple(replace(leg, damper=None) for leg in load("enduro").legs))
    with pytest.raises(InputError, match="describes no such part"):
        adjusted(bare, rebound=10)


def test_coils_that_would_touch_are_refused():
    first = load("trail").legs[0]
    room = first.spring.free_length - first.spring.wire * (first.spring.active_coils + first.spring.dead_coils)
    with pytest.raises(InputError, match="the coils would touch before the end of the stroke"):
        replace(first, spring=replace(first.spring, preload=room - first.travel + 0.001))


def test_machines_that_cannot_be_are_refused():
    bike = load("enduro")
    leg = bike.legs[0]
    with pytest.raises(InputError, match="a fork has two legs"):
        replace(bike, legs=(leg, leg, leg))
    with pytest.raises(InputError, match="move together"):
        replace(bike, legs=(leg, replace(leg, travel=0.28, damper=leg.damper.fitted_to(0.28))))
    with pytest.raises(InputError, match="more than the whole front"):
        replace(bike.chassis, mass=60.0, front_share=0.36, unsprung_mass=29.0)
    with pytest.raises(InputError, match="end stop ends at 300 mm, but the travel at 280 mm"):
        replace(leg, travel=0.28)
    with pytest.raises(InputError, match=r"length of the top-out spring or bumper is 60 mm"):
        replace(leg, travel=0.1, damper=None, bumper=replace(leg.bumper, length=0.06))


def test_an_unknown_machine_is_refused():
    with pytest.raises(InputError, match=r"machine 'endurro' is not known \(did you mean 'enduro'\?\)"):
        load("endurro")


def test_a_machine_of_your_own(tmp_path):
    text = (machine.model.MACHINES / "enduro.toml").read_text(encoding="utf-8")
    own = tmp_path / "mine.toml"
    own.write_text(text.replace('mass = "82 kg"', 'mass = "66 kg"'), encoding="utf-8")
    assert load(own).rider == Rider(mass=66.0, front_share=load("enduro").rider.front_share)


SLIPS = {
    "misspelt key": ('preload = "4 mm"', 'prelode = "4 mm"',
                     "legs[1].spring.prelode is not a key of a coil spring (did you mean 'preload'?)"),
    "missing key": ('preload = "4 mm"\n', "", "legs[1].spring.preload is missing; write it as preload"),
    "wrong unit": ('preload = "4 mm"', 'preload = "4 N"', "'N' is not a unit of this quantity; give it in mm"),
    "unknown unit": ('preload = "4 mm"', 'preload = "4 millimeterz"', "spring.preload is '4 millimeterz': unit"),
    "no unit": ('preload = "4 mm"', "preload = 4", "legs[1].spring.preload is 4: the unit is missing"),
    "out of range": ('preload = "4 mm"', 'preload = "400 mm"', "legs[1].spring.preload is 400 mm; allowed: 0 to 60 mm"),
    "heavy rider": ('mass = "82 kg"', 'mass = "8000 kg"', "rider.mass is 8000 kg; allowed: 30 to 160 kg"),
    "negative rider": ('mass = "82 kg"', 'mass = "-80 kg"', "rider.mass is −80 kg; allowed: 30 to 160 kg (was a minus"),
    "no air": ('oil_height = "110 mm"', 'oil_height = "30 mm"', "legs[1].air: oil height is 30 mm; allowed: 36.5"),
    "missing table": ("[tyre]", "[tire]", "tire is not a key of a machine (did you mean 'tyre'?)"),
    "cut off": ('centre_height = "920 mm"', 'centre_height = "920', "broken or cut off"),
}


@pytest.mark.parametrize(("right", "wrong", "sentence"), SLIPS.values(), ids=SLIPS.keys())
def test_a_slip_in_the_file_gets_one_sentence(tmp_path, right, wrong, sentence):
    text = (machine.model.MACHINES / "enduro.toml").read_text(encoding="utf-8")
    assert right in text
    path = tmp_path / "mine.toml"
    path.write_text(text.replace(right, wrong), encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        load(path)
    assert str(refusal.value).startswith("mine.toml: ")
    assert sentence in str(refusal.value)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize("name", names())
def test_every_way_to_cut_the_file_short_gets_a_sentence(tmp_path, name):
    """At every character. One cut cannot be seen: just before a second [[legs]] what is left is a machine of two legs
    alike, as whole as the enduro's file."""
    text = (machine.model.MACHINES / f"{name}.toml").read_text(encoding="utf-8").rstrip()
    path = tmp_path / "cut.toml"
    first_leg = text.find("\n[[legs]]", text.find("\n[[legs]]") + 1)
    unseen = range(len(text[:first_leg].rstrip()), first_leg + 2) if first_leg > 0 else ()
    for end in set(range(len(text))) - set(unseen):
        path.write_text(text[:end], encoding="utf-8")
        with pytest.raises(InputError, match=r"^cut\.toml: [^\n]+$"):
            load(path)
    for end in unseen:
        path.write_text(text[:end], encoding="utf-8")
        assert len(load(path).legs) == 1


@pytest.mark.parametrize(("right", "wrong", "sentence"), [
    ("active_coils = 31.5", "active_coils = 1", "legs[1].spring.active_coils is 1; allowed: 2 to 100 (fewer than 2"),
    ("active_coils = 31.5", 'active_coils = "31.5"', "legs[1].spring.active_coils is '31.5': expected a number"),
    ("compression_low = 14", "compression_low = 31", "legs[1].damper: clicks out is 31; allowed: 0 to 24"),
    ('"open cartridge"', '"opne cartridge"', "did you mean 'open cartridge'?"),
    ('viscosity_40 = "15 mm**2/s"', 'viscosity_40 = "15 N/mm"', "'N/mm' is not a unit of this quantity"),
])
def test_a_slip_in_spring_or_damper_gets_one_sentence(tmp_path, right, wrong, sentence):
    text = (machine.model.MACHINES / "trail.toml").read_text(encoding="utf-8")
    assert right in text
    path = tmp_path / "mine.toml"
    path.write_text(text.replace(right, wrong, 1), encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        load(path)
    assert sentence in str(refusal.value) and str(refusal.value).startswith("mine.toml: ")
    assert "\n" not in str(refusal.value)
