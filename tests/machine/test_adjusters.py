"""The one table of adjusters: every row leads somewhere, one way to change them all, and a new one is one row."""

import dataclasses

import numpy as np
import pytest

from suspedu.changes import leads_somewhere
from suspedu.machine import ADJUSTERS, Adjuster, adjusted, change, load, names, refitted, sensitivity, setting, turned
from suspedu.machine.adjusters import charted, clickers
from suspedu.machine.changing import has, range_of
from suspedu.machine.model import MACHINES
from suspedu.machine.statics import rider_sag
from suspedu.parts.oil import Oil
from suspedu.parts.shim_stacks import Shim, Stack
from suspedu.parts.springs import spring_rate
from suspedu.units import InputError

QUANTITIES = [name for name, row in ADJUSTERS.items() if row.kind == "quantity"]
PARTS = [name for name, row in ADJUSTERS.items() if row.kind == "part"]


@pytest.fixture(params=names())
def bike(request):
    return load(request.param)


@pytest.mark.parametrize("name", ADJUSTERS)
def test_every_row_leads_to_a_place_and_can_be_said(name):
    row = ADJUSTERS[name]
    assert row.name == name and row.label and row.short and has(load("enduro"), name)
    if row.kind != "part":
        assert row.low < row.high and row.fine > 0 and row.step_text and row.one_more != row.one_less


@pytest.mark.parametrize("name", QUANTITIES)
def test_a_quantity_takes_both_ends_of_its_range_and_gives_them_back(bike, name):
    for end in range_of(bike, name):
        moved = change(bike, name, end)
        close = pytest.approx(end, rel=1e-12) if ADJUSTERS[name].ends else end  # a volume is kept as a height
        assert setting(moved, name) == close
        assert all(setting(leg, name) == close for leg in moved.legs if ADJUSTERS[name].place.startswith("legs"))
    row = ADJUSTERS[name]
    assert row.si(row.shown(row.high)) == pytest.approx(row.high)


def test_a_clicker_goes_to_its_own_last_click_and_no_further(bike):
    for name in (name for name in clickers() if has(bike, name)):
        first, last = range_of(bike, name)
        assert (first, setting(change(bike, name, last), name)) == (0, last)
        with pytest.raises(InputError, match="clicks out is"):
            change(bike, name, last + 1)


def test_parts_are_exchanged_whole(bike):
    stack = Stack((Shim(19e-3, 0.2e-3), Shim(15e-3, 0.2e-3)), 9e-3)
    others = {"oil": Oil(22e-6, 4.5e-6), "seals": dataclasses.replace(bike.legs[0].friction, slow=0.02),
              "bumper": None, "top_out": None}
    for name in PARTS:
        part = others.get(name, stack)
        assert all(_at(leg, name) == part for leg in change(bike, name, part).both_legs)


def _at(leg, name):
    return setting(leg, name) if has(leg, name) else None


def test_one_stack_of_a_valve_is_changed_and_its_neighbour_not(bike):
    stack = Stack((Shim(19e-3, 0.2e-3), Shim(15e-3, 0.2e-3)), 9e-3)
    low, high = change(bike, "compression_low_stack", stack).legs[0].damper.unit.base.ports
    assert low.stack == stack and high.stack == bike.legs[0].damper.unit.base.ports[1].stack


def test_one_leg_alone(bike):
    changed = change(bike, "rebound", 3, leg=2)
    assert [setting(leg, "rebound") for leg in changed.legs] == [setting(bike.both_legs[0], "rebound"), 3]
    assert change(bike, "rider_mass", 90.0, leg=2).rider.mass == 90.0  # no leg's own


def test_several_changes_are_one_after_another(bike):
    assert adjusted(bike, preload=0.009, rebound=5) == change(change(bike, "preload", 0.009), "rebound", 5)


def test_values_may_be_arrays():
    preloads = np.array([0.0, 0.005, 0.010])
    sags = [rider_sag(change(load("enduro"), "preload", preload)) for preload in preloads]
    np.testing.assert_allclose(rider_sag(change(load("enduro"), "preload", preloads)), sags, rtol=1e-12)


@pytest.mark.parametrize("name", [name for name, row in ADJUSTERS.items() if row.kind != "part"])
def test_turned_there_and_back_is_where_it_was(name):
    bike = load("enduro")
    there = turned(bike, name, 1)
    back = turned(there, name, -1)
    assert setting(there, name) != setting(bike, name)
    assert [_at(leg, name) for leg in back.legs] == pytest.approx([_at(leg, name) for leg in bike.legs])


def test_what_is_not_there_gets_a_sentence():
    rod = refitted(load("enduro"), "damping rod")
    with pytest.raises(InputError, match="this machine has no adjuster 'rebound'"):
        change(rod, "rebound", 5)
    for ask in (setting, range_of, lambda machine, name: turned(machine, name, 1)):
        with pytest.raises(InputError, match="this machine has no adjuster 'mid_float'"):
            ask(rod, "mid_float")
    with pytest.raises(InputError, match=r"'rebond' is not an adjuster \(did you mean 'rebound'\?\)"):
        setting(rod, "rebond")
    with pytest.raises(InputError, match="'oil' has no steps"):
        turned(rod, "oil", 1)


def test_a_spring_known_by_its_wire_says_its_rate():
    leg = load("trail").legs[0]
    assert leg.spring.rate is None and setting(leg, "coil_rate") == spring_rate(leg.spring)


NEW = {
    "a clicker on the refill valve": Adjuster(
        name="refill", label="Refill", short="refill", place="legs.damper.unit.refill.needle.clicks", unit="clicks",
        low=0, high=24, fine=1, step=-1, step_text="1 click in", one_more="refill 1 click in",
        one_less="refill 1 click out", hand="by hand", reach=6, charted=True),
    "the charge of the gas": Adjuster(
        name="charge", label="Charge", short="charge", place="legs.damper.unit.pressuriser.charge", unit="bar",
        low=0.0, high=4e5, fine=2e4, step=2e4, step_text="0.2 bar more", one_more="0.2 bar more charge",
        one_less="0.2 bar less charge", hand="workshop", reach=6, charted=True),
}  # fmt: skip


@pytest.mark.parametrize("row", NEW.values(), ids=NEW.keys())
def test_a_new_adjuster_is_one_row(monkeypatch, row):
    """Of a machine that has the place: `change`, `turned`, a machine's file and the rider's chart take it as it is."""
    monkeypatch.setitem(ADJUSTERS, row.name, row)
    bike = load("enduro")
    unit = bike.legs[0].damper.unit
    unit = dataclasses.replace(unit, refill=dataclasses.replace(unit.refill, needle=unit.rebound.needle))
    bike = dataclasses.replace(bike, legs=tuple(
        dataclasses.replace(leg, damper=dataclasses.replace(leg.damper, unit=unit)) for leg in bike.legs))
    assert row.name in charted() and leads_somewhere(bike, row.place)
    assert setting(turned(bike, row.name, 2), row.name) == pytest.approx(setting(bike, row.name) + 2 * row.step)
    chart = sensitivity(bike, ["whoops"], names=("deepest", "peak_force"))
    assert chart.adjusters == charted() and chart.of("whoops", row.name, "peak_force") != 0.0


def test_a_new_clicker_is_a_key_of_a_machine_s_file(monkeypatch, tmp_path):
    row = NEW["a clicker on the refill valve"]
    monkeypatch.setitem(ADJUSTERS, row.name, dataclasses.replace(row, place="legs.damper.unit.rebound.needle.clicks"))
    text = (MACHINES / "enduro.toml").read_text(encoding="utf-8")
    own = tmp_path / "own.toml"
    own.write_text(text.replace("\nrebound = 12", "\nrefill = 7"), encoding="utf-8")
    assert setting(load(own), "refill") == 7
