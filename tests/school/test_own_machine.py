"""The form of one's own machine: checked as it is typed, written as a file that a person reads, opened again whole."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.damper import stock_damper
from suspedu.damper.paths import needle_area
from suspedu.data.reader import part_from_text, table_from_text
from suspedu.data.rewriter import rewritten
from suspedu.data.writer import toml_text
from suspedu.machine import change, has, load, range_of, rider_sag, setting
from suspedu.machine.model import MachineFile
from suspedu.school.machines import chosen_machine, school_machine
from suspedu.school.own_check import TEACHERS, checked, school_value
from suspedu.school.own_fields import FIELDS, GROUPS
from suspedu.school.own_files import FOLDER
from suspedu.school.own_keeping import HEAD, name_slip, open_own, own_text, save_own
from suspedu.school.own_trust import TAPE, doubts, sags_of, spring_told_by_tape
from suspedu.units import InputError, to_si

TYPED = {"chassis.mass": "98,5", "rider.mass": "176.4 lb", "tyre.pressure": "12 psi", "legs.spring.rate": "4.4",
         "legs.air.oil_height": "125 mm", "legs.damper.rebound_range": "16", "legs.damper.rebound": "6",
         "legs.damper.compression_high_range": "0", "measured_rider_sag": "72"}  # fmt: skip


# ---------- nothing known: the school's machine, and each value marked as lent

@pytest.mark.parametrize("stock", TEACHERS)
def test_an_empty_form_is_the_schools_machine_and_says_so(stock):
    found = checked("new", {"legs.damper.stock": stock})
    teacher = school_machine(TEACHERS[stock])
    assert not found.problems and found.machine.rider == teacher.rider
    assert found.machine.legs[0].spring == teacher.legs[-1].spring and len(found.machine.legs) == 1
    assert type(found.machine.legs[0].damper.unit) is type(stock_damper(stock))
    shown = {key for key in FIELDS if school_value(key, stock)} - {"legs.damper.stock"}
    assert set(found.assumed) == shown  # all of it is lent, and none is forgotten


def test_every_field_has_a_group_words_and_a_way_to_find_it():
    for each in FIELDS.values():
        assert each.group in GROUPS and each.label and each.how
        assert each.kind in ("clicks", "choice") or each.facts["high"] > each.facts["low"], each.key


# ---------- what was typed counts, in any unit of its kind

def test_what_was_typed_reaches_the_machine():
    found = checked("new", TYPED)
    machine = found.machine
    assert machine.chassis.mass == 98.5 and setting(machine, "coil_rate") == 4400.0
    assert machine.rider.mass == pytest.approx(176.4 * 0.45359237)  # pound (printed, from memory)
    assert machine.tyre.pressure == pytest.approx(12 * 0.45359237 * 9.80665 / 0.0254**2)  # psi (computed)
    assert machine.measured_rider_sag == pytest.approx(0.072)
    assert not set(TYPED) & set(found.assumed)


def test_clicks_of_another_range_open_as_far_in_all():
    found, usual = checked("new", TYPED).machine, stock_damper("closed cartridge").rebound.needle
    needle = found.legs[0].damper.unit.rebound.needle
    assert range_of(found, "rebound") == (0, 16) and needle.clicks == 6
    wide = change(found, "rebound", 16).legs[0].damper.unit.rebound.needle
    whole = needle_area(24 * usual.pitch, usual.seat_diameter, usual.cone_angle)
    assert float(wide.area(0.0)) == pytest.approx(float(whole), rel=1e-12)


def test_a_clicker_that_is_missing_cannot_be_turned():
    machine = checked("new", TYPED).machine
    assert not has(machine, "compression_high") and has(school_machine(), "compression_high")
    with pytest.raises(InputError, match="no adjuster 'compression_high'"):
        change(machine, "compression_high", 3)


def test_range_alone_leaves_a_clicker_as_far_open():
    damper = checked("new", {"legs.damper.rebound_range": "48"}).table["legs"][0]["damper"]
    assert damper["rebound"] == 24  # 12 of the school's 24


def test_another_tube_keeps_the_schools_room_round_it():
    machine, school = checked("new", {"legs.air.tube_diameter": "43"}).machine, school_machine()
    room = school.legs[0].air.bore - school.legs[0].air.tube_diameter
    assert machine.legs[0].air.bore == pytest.approx(0.043 + room)


# ---------- slips: one sentence each, at the line they belong to, all at once

SLIPS = [
    ({"legs.travel": "30"}, "legs.travel", "Travel of the fork is 30 mm; allowed: 80 to 350 mm (was a decimal point"),
    ({"chassis.mass": "heavy"}, "chassis.mass", "expected a number and a unit"),
    ({"legs.spring.rate": "4.2 N"}, "legs.spring.rate", "'N' is not a unit of this quantity; give it in N/mm"),
    ({"legs.damper.rebound": "30"}, "legs.damper.rebound", "Rebound stands at 30 clicks out of 24"),
    ({"legs.damper.rebound": "7.5"}, "legs.damper.rebound", "expected a whole number of clicks"),
    ({"legs.damper.rebound_range": "0", "legs.damper.rebound": "3"}, "legs.damper.rebound", "but has none in all"),
    ({"legs.damper.stock": "damping rod", "legs.damper.rebound": "3"}, "legs.damper.rebound", "has no clicker"),
    ({"legs.damper.compression_high_range": "4"}, "legs.damper.compression_high_range", "count halves or quarters"),
    ({"legs.damper.stock": "magic"}, "legs.damper.stock", "there are: closed cartridge"),
    ({"rider.posture": "lying"}, "rider.posture", "there are: standing, sitting"),
    ({"legs.air.bore": "40"}, "legs.air.bore", "was the cartridge's bore taken?"),
    ({"legs.air.oil_height": "30"}, "legs.air.oil_height", "so much oil leaves no air"),
    ({"legs.air.oil_height": "5"}, "legs.air.oil_height", "Oil height is 5 mm; allowed: 37 to 300 mm"),
    ({"legs.damper.oil.viscosity_40": "5W"}, "legs.damper.oil.viscosity_40",
     "is '5W': expected a number and a unit, as in '12 mm²/s'; the W on a can is no viscosity"),
    ({"legs.damper.oil.viscosity_40": "16 bar"}, "legs.damper.oil.viscosity_40", "give it in mm²/s"),
    ({"legs.spring.rate": "0.44"}, "legs.spring.rate", "in kgf/mm it would be 4.31 N/mm"),
    ({"tyre.pressure": "14"}, "tyre.pressure", "in psi it would be 0.965 bar"),
    ({"chassis.rake": "62"}, "chassis.rake", "from the horizontal it would be 28°"),
    ({"chassis.rake": "80"}, "chassis.rake", "the angle of the fork from the vertical"),
    ({"legs.air.full_volume": "60"}, "", "the oil stands below the bottom of the leg"),
    ({"chassis.mass": "60", "rider.mass": "30", "rider.front_share": "20"}, "", "sprung mass on the front is 13.8 kg"),
    ({"chassis.mass": "60", "chassis.unsprung_mass": "30"}, "", "more than the whole front"),
]


@pytest.mark.parametrize(("typed", "key", "words"), SLIPS, ids=[words[:30] for *_, words in SLIPS])
def test_a_slip_gets_its_sentence_where_it_belongs(typed, key, words):
    found = checked("new", typed)
    assert found.machine is None and list(found.problems) == [key]
    assert words in found.problems[key] and "legs[1]" not in found.problems[key]


def test_the_lowest_oil_that_a_slip_names_is_allowed():
    assert checked("new", {"legs.air.oil_height": "37"}).machine and not checked(
        "new", {"legs.air.oil_height": "36.5"}).machine


@pytest.mark.parametrize("name", ["enduro", "Trail", "School enduro", " school TRAIL "])
def test_the_schools_own_names_are_refused(name):
    assert name_slip(name).endswith("is a machine of the school's: choose another name")


def test_several_slips_are_told_at_once():
    assert set(checked("new", {"legs.travel": "30", "chassis.mass": "x", "rider.mass": "80"}).problems) == {
        "legs.travel", "chassis.mass"}


@settings(max_examples=150)
@given(st.dictionaries(st.sampled_from(sorted(FIELDS)), st.text(max_size=12)
                       | st.floats(-1e3, 1e4).map(lambda x: f"{x:.4g}"), max_size=6))
def test_whatever_is_typed_there_is_a_machine_or_a_sentence(typed):
    found = checked("new", typed)
    assert bool(found.problems) == (found.machine is None)
    assert all(sentence and "\n" not in sentence for sentence in found.problems.values())
    if found.machine is not None:
        assert part_from_text(own_text(found), MachineFile) == found.machine


# ---------- the file: readable, complete, and back again

def test_the_file_reads_back_as_machine_and_as_form(tmp_path, monkeypatch):
    kept = save_own("old hack", TYPED, None, tmp_path)
    path = tmp_path / FOLDER / "old hack.toml"
    assert path.read_text(encoding="utf-8") == kept.text and kept.text.startswith(HEAD)
    assert 'wheelbase = "1480 mm"  # the school\'s value' in kept.text and 'mass = "98.5 kg"\n' in kept.text
    assert type(load(path)).__name__ == "Machine" and load(path).chassis.mass == 98.5
    opened = open_own("old hack", tmp_path)
    assert opened.typed["chassis.mass"] == "98.5" and opened.typed["rider.mass"] == "176.4 lb"
    again = checked("old hack", opened.typed, opened.table)
    assert again.machine == checked("old hack", TYPED).machine and own_text(again) == kept.text
    monkeypatch.chdir(tmp_path)
    assert chosen_machine("old hack").rider.mass == pytest.approx(80.01, abs=0.01)


def test_what_was_written_by_hand_stays_beside_the_values(tmp_path):
    """Comments, order and blank lines of a file that was changed by hand outlive the form."""
    save_own("hack", TYPED, None, tmp_path)
    path = tmp_path / FOLDER / "hack.toml"
    hand = path.read_text().replace("[tyre]", "# on Sunday\n\n[tyre]  # front").replace(
        'mass = "98.5 kg"', 'mass = "98.5 kg"   # full tank # of 9 l') + "\n# end\n"
    path.write_text(hand)
    opened = open_own("hack", tmp_path)
    assert save_own("hack", opened.typed, opened, tmp_path).text == hand  # nothing changed: not a byte
    less = {key: text for key, text in opened.typed.items() if key != "rider.mass"}
    kept = save_own("hack", less | {"chassis.mass": "101", "tyre.pressure": "0.9"}, opened, tmp_path).text
    for line in ("# on Sunday", "[tyre]  # front", 'mass = "101 kg"  # full tank # of 9 l', "# end",
                 'mass = "82 kg"  # the school\'s value', 'pressure = "0.9 bar"'):
        assert line in kept.split("\n")
    assert [line for line in kept.split("\n") if line.startswith(("#", "["))] == [
        line for line in hand.split("\n") if line.startswith(("#", "["))]


def test_nothing_is_written_over_unseen(tmp_path):
    first = save_own("old hack", TYPED, None, tmp_path)
    with pytest.raises(InputError, match="there is a machine 'old hack' already"):
        save_own("Old Hack", {}, None, tmp_path)
    second = save_own("old hack", TYPED | {"legs.travel": "290"}, first, tmp_path)  # another tab, having opened it too
    with pytest.raises(InputError, match="was changed on disk after it was opened"):
        save_own("old hack", TYPED | {"legs.travel": "280"}, first, tmp_path)
    assert open_own("old hack", tmp_path).typed["legs.travel"] == "290"
    assert save_own("old hack", {}, second, tmp_path).typed.get("legs.travel") is None  # known no more


def test_a_slip_writes_nothing(tmp_path):
    names = ("enduro", "", "../x", "NUL", "a" * 41)
    for name, typed in (("x", {"legs.travel": "3"}), *((name, {}) for name in names)):
        with pytest.raises(InputError):
            save_own(name, typed, None, tmp_path)
    assert not list(tmp_path.rglob("*.toml"))
    assert name_slip("Größe 2 (alt)") == ""


def test_what_the_form_does_not_ask_for_stays(tmp_path):
    save_own("wire", {}, None, tmp_path)
    path = tmp_path / FOLDER / "wire.toml"
    text = path.read_text().replace('rate = "4.0 N/mm"  # the school\'s value\n', 'wire = "4.8 mm"\nmean_diameter = '
                                    '"35.2 mm"\nactive_coils = 31.5\nshear_modulus = "79.5 GPa"\n', 1)
    path.write_text(text.replace('    "legs.spring.rate",\n', "").replace("stiction = 1.3", "stiction = 1.45"))
    opened = open_own("wire", tmp_path)
    kept = save_own("wire", opened.typed | {"chassis.mass": "100"}, opened, tmp_path)
    leg = load(path).legs[0]
    assert leg.friction.stiction == 1.45 and leg.spring.wire == 0.0048 and load(path).chassis.mass == 100.0
    save_own("wire", kept.typed | {"legs.spring.rate": "4.1"}, kept, tmp_path)
    assert load(path).legs[0].spring.rate == 4100.0


def test_files_that_the_form_cannot_show_are_named(tmp_path):
    (tmp_path / FOLDER).mkdir()
    trail = load.__globals__["MACHINES"] / "trail.toml"
    (tmp_path / FOLDER / "two.toml").write_text(trail.read_text())
    (tmp_path / FOLDER / "cut.toml").write_text("name = ")
    for name, words in (("two", "both legs alike"), ("cut", "broken or cut off"), ("gone", "there are: cut, two")):
        with pytest.raises(InputError, match=words):
            open_own(name, tmp_path)


SIMPLE = st.text(st.characters(codec="utf-8"), max_size=8) | st.booleans() | st.integers(-9, 9) | st.floats(
    allow_nan=False, allow_infinity=False)
KEYS = st.text(st.characters(codec="utf-8"), max_size=5)
ROWS = st.lists(st.dictionaries(KEYS, SIMPLE, max_size=3), min_size=1, max_size=2)
TABLES = st.dictionaries(KEYS, st.recursive(SIMPLE | st.lists(st.text(max_size=30), max_size=9), lambda inner: (
    st.dictionaries(KEYS, inner, max_size=3) | ROWS), max_leaves=9), max_size=4)


@settings(max_examples=200)
@given(TABLES)
def test_any_table_reads_back_through_the_standard_library(table):
    assert tomllib.loads(toml_text(table)) == table


@settings(max_examples=150)
@given(TABLES, TABLES)
def test_a_rewritten_table_reads_back_whatever_stood_there(before, table):
    assert tomllib.loads(rewritten(toml_text(before), table)) == table


@pytest.mark.parametrize("before", ['a.b = 1\n', 'a = {b = 1}\n', 'x = [\n  1, # one\n]\n[a]\nb = 1 # "#"\n'])
def test_a_table_in_another_style_is_rewritten_too(before):
    assert tomllib.loads(rewritten(before, {"a": {"b": 2, "c": "new"}, "d": [{"e": 1.5}]})) == {
        "a": {"b": 2, "c": "new"}, "d": [{"e": 1.5}]}


def test_a_remark_stands_behind_its_line():
    text = toml_text({"a": {"b": "1 mm"}}, {"a.b": "by ruler"})
    assert text == '[a]\nb = "1 mm"  # by ruler\n' and table_from_text(text) == {"a": {"b": "1 mm"}}


# ---------- what may be trusted

def test_a_doubt_is_what_the_sag_does_when_that_value_is_off():
    found = checked("new", {"rider.mass": "80"})
    told = {one.key: one for one in doubts("new", {"rider.mass": "80"}, found)}
    assert "rider.mass" not in told  # it is known
    more = to_si(told["legs.spring.rate"].by, "N/mm")
    stiffer = change(found.machine, "coil_rate", setting(found.machine, "coil_rate") + more)
    assert told["legs.spring.rate"].sag == pytest.approx(float(rider_sag(stiffer) - rider_sag(found.machine)), abs=1e-9)
    sizes = [abs(one.sag) for one in told.values()]
    assert sizes == sorted(sizes, reverse=True)


def test_a_tape_agrees_as_far_as_friction_reaches():
    machine = school_machine()
    _, rider = sags_of(machine, None, None)
    for measured, agrees in ((rider.high + TAPE - 1e-6, True), (rider.high + TAPE + 1e-6, False),
                             (rider.low - TAPE - 1e-6, False), (rider.computed, True)):
        assert sags_of(machine, None, measured)[1].agrees is agrees


def test_two_sags_by_tape_tell_the_spring_that_gives_them():
    machine = change(change(school_machine(), "coil_rate", 4600.0), "preload", 0.009)
    free, rider = (each.computed for each in sags_of(machine))
    assert spring_told_by_tape(school_machine(), free, rider) == ("both sags together ask for 4.6 N/mm and 9 mm of "
                                                                  "preload in each leg")
    assert "measure them again" in spring_told_by_tape(school_machine(), 0.03, 0.04)
