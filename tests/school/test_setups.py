"""Set-ups: written down whole, kept beside one another, compared in steps, on a card and in a spreadsheet."""

import csv
import io
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from suspedu.files import NotWrittenError
from suspedu.machine import setting
from suspedu.machine.riding import ride
from suspedu.machine.statics import rider_sag
from suspedu.ride.outcomes import outcomes
from suspedu.school import Session, loop_ground, set_machine
from suspedu.school.card import card_cautions, card_page
from suspedu.school.machines import school_machine
from suspedu.school.noticed import noticed
from suspedu.school.session import session_setups
from suspedu.school.setup_files import FOLDER, keep, setups_csv, shelf
from suspedu.school.setups import (
    FELT,
    SETTINGS,
    SetUp,
    comparable,
    compared,
    noted_setup,
    setup_from_text,
    setup_text,
    standing,
)
from suspedu.units import InputError, from_si

PLAIN = SetUp("mud", "2026-11-26", "enduro", settings={"rebound": "9 out"})


# ---------- what is written down

def test_a_setup_holds_what_the_library_computes():
    made = noted_setup("mud", "enduro", {"rebound": "9", "oil_height": "95 mm"}, "whoops", "packs", "2026-11-26")
    machine = set_machine("enduro", rebound=9, oil_height=95)
    ridden = outcomes(ride(machine, loop_ground("whoops")), FELT)
    assert set(made.settings) == set(SETTINGS) and made.value("oil_height") == pytest.approx(0.095)
    for name, text in made.outcomes.items():
        assert made.outcome(name) == pytest.approx(ridden[name], rel=5e-3), text  # three digits are written
    assert "dive" not in made.outcomes  # nobody brakes in the whoops
    assert made.stand["rider sag"].startswith(f"{from_si(float(rider_sag(machine)), 'mm'):.0f} mm, ")
    assert noted_setup("x", "enduro", {}, "").outcomes == {}


def test_high_oil_brings_its_caution():
    made = noted_setup("full", "enduro", {"oil_height": "90", "tyre_pressure": "1.2"}, "")
    peak = float(made.stand["air in a hard landing"].split()[0])
    assert bool(made.cautions) is (peak > 15.0) and made.settings["tyre_pressure"] == "1.2 bar"


@pytest.mark.parametrize(("typed", "words"), [
    ({"rebound": "99"}, "Rebound is 99 out; allowed: 0 to 24 out"), ({"rebound": "x"}, "expected a whole number"),
    ({"preload": "4 bar"}, "'bar' is not a unit of this quantity"), ({"preload": "45"}, "allowed: 0 to 20 mm"),
    ({"rebuond": "3"}, "did you mean 'rebound'")])
def test_a_slip_in_a_setting_is_a_sentence(typed, words):
    with pytest.raises(InputError, match=words):
        standing(school_machine(), typed)


def test_name_and_date_are_asked_for():
    for name, date, words in (("", "2026-11-26", "needs a name"), ("x" * 61, "2026-11-26", "needs a name"),
                              ("a", "26.11.2026", "year-month-day"), ("a", "2026-13-01", "year-month-day"),
                              ("a", "20261126", "year-month-day")):
        with pytest.raises(InputError, match=words):
            SetUp(name, date, "enduro")


WORDS = st.text(st.characters(codec="utf-8"), max_size=20)


@given(WORDS.filter(str.strip), WORDS, st.dictionaries(st.sampled_from(SETTINGS), WORDS, max_size=3))
def test_every_setup_reads_back(name, felt, settings):
    made = SetUp(name, "2026-11-26", "enduro", felt=felt, settings=settings)
    assert setup_from_text(setup_text(made)) == made


# ---------- the folder: nothing is lost

def test_setups_of_one_name_stand_side_by_side(tmp_path):
    files = [keep(replace(PLAIN, felt=str(n)), folder=tmp_path).file for n in range(3)]
    assert files == ["2026-11-26 mud.toml", "2026-11-26 mud 2.toml", "2026-11-26 mud 3.toml"]
    assert keep(replace(PLAIN, felt="1"), folder=tmp_path).file == files[1]  # pressed twice: it is there already
    assert sorted(each.setup.felt for each in shelf(tmp_path).kept.values()) == ["0", "1", "2"]


def test_an_opened_setup_is_replaced_only_while_it_stands_as_it_was_read(tmp_path):
    first = keep(PLAIN, folder=tmp_path)
    one_tab = keep(replace(PLAIN, felt="one"), first, tmp_path)
    assert one_tab.file == first.file
    other_tab = keep(replace(PLAIN, felt="other"), first, tmp_path)  # it still has what `first` was
    assert other_tab.file != first.file
    (tmp_path / FOLDER / other_tab.file).unlink()
    again = keep(replace(PLAIN, felt="third"), other_tab, tmp_path)  # its file was taken away
    assert {each.setup.felt for each in shelf(tmp_path).kept.values()} == {"one", "third"}
    assert again.setup.felt == "third"


def test_an_opened_setup_of_another_name_or_day_gets_a_file_of_its_own(tmp_path):
    first = keep(PLAIN, folder=tmp_path)
    for other in ({"name": "new evening"}, {"date": "2026-11-27"}):
        assert keep(replace(PLAIN, **other), first, tmp_path).file != first.file
    assert shelf(tmp_path).kept[first.file].setup == PLAIN and len(shelf(tmp_path).kept) == 3


def test_many_tabs_at_once_lose_nothing(tmp_path):
    with ThreadPoolExecutor(8) as pool:
        kept = list(pool.map(lambda n: keep(replace(PLAIN, felt=str(n)), folder=tmp_path), range(24)))
    found = {each.setup.felt: each.file for each in shelf(tmp_path).kept.values()}
    assert {each.setup.felt: each.file for each in kept} == found and len(found) == 24
    assert not [path for path in (tmp_path / FOLDER).iterdir() if path.suffix != ".toml"]


def test_a_disk_that_refuses_changes_nothing(tmp_path, monkeypatch):
    first = keep(PLAIN, folder=tmp_path)
    monkeypatch.setattr("os.fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(NotWrittenError, match="the disk is full"):
        keep(replace(PLAIN, felt="more"), first, tmp_path)
    assert [each.setup.felt for each in shelf(tmp_path).kept.values()] == [""]


def test_a_broken_file_is_told_and_left_alone(tmp_path):
    keep(PLAIN, folder=tmp_path)
    texts = {"cut.toml": 'name = "x', "odd.toml": 'name = "a"\ndate = "2026-11-26"\nmachine = "enduro"\nfet = "b"',
             "kind.toml": 'name = 3\ndate = "2026-11-26"\nmachine = "enduro"', "less.toml": 'name = "a"'}
    for name, text in texts.items():
        (tmp_path / FOLDER / name).write_text(text)
    found = shelf(tmp_path)
    assert list(found.kept) == ["2026-11-26 mud.toml"]
    assert [words.partition(":")[0] for words in found.broken] == sorted(texts)
    for words in ("broken or cut off", "name is 3: expected text", "date is missing", "fet is not a key of a set-up"):
        assert words in " ".join(found.broken)
    assert {name: (tmp_path / FOLDER / name).read_text() for name in texts} == texts


@given(st.text(st.characters(codec="utf-8"), min_size=1, max_size=60).filter(str.strip))
def test_any_name_makes_a_file_within_the_folder(tmp_path_factory, name):
    folder = tmp_path_factory.mktemp("any")
    kept = keep(SetUp(name, "2026-11-26", "enduro"), folder=folder)
    assert (folder / FOLDER / kept.file).is_file() and shelf(folder).kept[kept.file].setup.name == name


# ---------- compared

def test_two_rides_over_one_ground_are_compared_in_steps():
    one, two = (noted_setup(n, "enduro", {"rebound": at}, "whoops") for n, at in (("a", "9"), ("b", "20")))
    lines = {line.label: line for line in compared(one, two)}
    assert (lines["Rebound"].first, lines["Rebound"].second, lines["Rebound"].steps) == ("9 out", "20 out", None)
    change = two.outcome("ride_height") - one.outcome("ride_height")
    assert lines["Mean stroke"].steps == pytest.approx(change / noticed("ride_height", one.outcome("ride_height")))
    assert lines["Mean stroke"].steps < -1.0  # it packs less


def test_rides_over_other_grounds_are_not_compared():
    one, two = noted_setup("a", "enduro", {}, "whoops"), noted_setup("b", "enduro", {"preload": "8"}, "log")
    assert not comparable(one, two) and all(line.steps is None for line in compared(one, two))
    assert not comparable(one, replace(one, machine="trail"))
    assert compared(one, one)[0].steps == 0.0 and {line.steps for line in compared(one, one)} == {0.0}


# ---------- card and table

class Seen(HTMLParser):
    def __init__(self):
        super().__init__()
        self.tags, self.words = [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)

    def handle_data(self, data):
        self.words.append(data)


def test_the_card_says_all_with_units_and_escapes_what_was_typed():
    made = noted_setup("<script>x</script>", "enduro", {"rebound": "9"}, "whoops", "feels <b>light</b> & quick")
    seen = Seen()
    seen.feed(card_page(made))
    said = "".join(seen.words)
    assert "script" not in seen.tags and "b" not in seen.tags and "<b>light</b> & quick" in said
    for text in ("9 clicks out", "110 mm", "1 bar", made.stand["rider sag"], "m/s²", "School enduro"):
        assert text in said
    assert all(text in said for text in card_cautions(made)) and "slow one" in said


def test_a_change_stands_on_the_card_under_its_own_name_and_less_air_in_the_tyre_with_its_caution():
    assert "<h2>Changed</h2><p>rebound 3 clicks in</p>" in card_page(replace(PLAIN, changed="rebound 3 clicks in"))
    assert "<h2>Felt</h2>" not in card_page(replace(PLAIN, changed="rebound 3 clicks in"))
    for bar, lower in (("0.9", True), ("1", False), ("1.1", False)):
        made = noted_setup("x", "enduro", {"tyre_pressure": bar}, "", changed="tyre")
        assert ("maker sets its least pressure" in " ".join(card_cautions(made))) is lower and made.changed == "tyre"
        assert setup_from_text(setup_text(made)) == made


def test_an_own_machines_card_says_what_may_be_trusted():
    assert any("of damping, direction" in text for text in card_cautions(replace(PLAIN, machine="old hack")))
    assert not any("of damping" in text for text in card_cautions(PLAIN))


def test_the_table_is_one_that_spreadsheets_read():
    made = [noted_setup("a, b", "enduro", {}, "log", "=1+1", "2026-11-26"), PLAIN]
    rows = list(csv.DictReader(io.StringIO(setups_csv(made), newline="")))
    assert [row["name"] for row in rows] == ["a, b", "mud"] and rows[0]["felt"] == "'=1+1"
    assert "m/s²" in setups_csv(made) and "^" not in setups_csv(made) and "**" not in setups_csv(made)
    assert rows[1]["Rebound"] == "9 out" and rows[0]["rider sag"] == made[0].stand["rider sag"]


# ---------- the school's session

def test_a_session_notes_its_measurements_and_keeps_them(tmp_path):
    session = Session(1)
    words = session.measured()
    session.turn("rebound", -2)
    session.lap()
    made = session_setups(session, "2026-11-26")
    assert [each.settings["rebound"] for each in made] == ["12 out", "14 out"]
    assert words in made[0].felt and "rebound 12 out to 14 out" in made[1].felt
    for each in made:
        keep(each, folder=tmp_path)
    assert len(shelf(tmp_path).kept) == 2 and setting(session.machine, "rebound") == 14
