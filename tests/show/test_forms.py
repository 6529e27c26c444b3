"""Forms without a browser: texts in, sentences, tables and files out; a slip or a fault ends in a sentence."""

import asyncio
from html import escape

import numpy as np
import pytest

from suspedu.commands.saved_pages import STATE, VIEW, kept
from suspedu.machine import ADJUSTERS, change, load, rider_sag
from suspedu.machine.changing import range_of
from suspedu.school import ways_out as ways_module
from suspedu.school.card import card_cautions
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.noticed import steps
from suspedu.school.own_files import FOLDER
from suspedu.school.sag import COLLAR
from suspedu.school.setup_files import shelf
from suspedu.school.setups import TYRE
from suspedu.school.turns import movable
from suspedu.school.ways import reverses
from suspedu.school.ways_out import ways_out
from suspedu.show.forms import which_adjuster as which_module
from suspedu.show.forms.form import Form, listed, paragraph, tabled
from suspedu.show.forms.notes import notes_form
from suspedu.show.forms.own_machine import own_machine_form
from suspedu.show.forms.ways_told import first_way, ways_told
from suspedu.show.forms.which_adjuster import which_adjuster_form
from suspedu.show.panels.rides.grounds import WORDS
from suspedu.show.session_desk import setup_session
from suspedu.units import InputError, from_si

# What cures the one brings on the other, written out.
REVERSES = {frozenset(pair) for pair in (
    ("rides-low", "stands-tall"), ("packs", "stands-tall"), ("bottoms", "unused-travel"),
    ("blows-through", "unused-travel"), ("packs", "settles-late"), ("packs", "kicks"))}  # fmt: skip


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


class Sample(Form):
    def __init__(self):
        super().__init__("Sample", [{"title": "All", "fields": [{"key": "a", "label": "A", "kind": "text"}]}],
                         [("slip", "Slip"), ("fault", "Fault")])

    def follow(self):
        self.said = f"typed {self.values['a']}"
        self.blocks = [paragraph("one"), tabled("two", ("", "x"), [("r", "1")]), listed("three", ["e"])]

    def press_slip(self):
        raise InputError("this does not go")

    def press_fault(self):
        raise ZeroDivisionError


# ---------- the form itself

def test_what_is_typed_is_followed_and_told_as_text():
    form = Sample().fill(a="x")
    assert form.said == "typed x"
    assert form.text == "Sample\ntyped x\nTo fill in: all.\none\ntwo\n   | x\n  r | 1\nthree\n- e"


def test_a_slip_is_a_sentence_and_a_fault_is_kept_for_its_author():
    form = Sample()
    assert form.press("slip").said == "This does not go." and form.fault is None
    assert "ZeroDivisionError" in form.press("fault").said and isinstance(form.fault, ZeroDivisionError)


def test_fields_that_the_form_does_not_have_and_endless_texts_stay_out():
    form = Sample()
    form.heard({"kind": "typed", "values": {"b": "x", "a": "y" * 10_000}})
    assert set(form.values) == {"a"} and len(form.values["a"]) == 4000


def test_a_saved_page_keeps_what_was_last_seen():
    form = Sample().fill(a="<typed>")
    state = {"model_name": "AnyModel", "state": form.get_state()}
    book = {"metadata": {"widgets": {STATE: {"state": {"m": state}}}},
            "cells": [{"outputs": [{"data": {VIEW: {"model_id": "m"}, "text/plain": "as recorded"}}]}]}
    kept(book, "")
    page = book["cells"][0]["outputs"][0]["data"]["text/html"]
    assert escape(form.value) in page and "A: &lt;typed&gt;" in page and "as recorded" not in page


# ---------- one's own machine

def test_a_slip_is_told_beside_its_field_and_not_saved(folder):
    form = own_machine_form().fill(name="hack", **{"legs.travel": "30"})
    assert "was a decimal point shifted" in form.problems["legs.travel"] and "1 entry to put right" in form.text
    assert "allowed: 80 to 350 mm" in form.press("save").said and not (folder / FOLDER).exists()
    form.fill(**{"legs.travel": "300"}).press("save")
    assert not form.problems and form.said.startswith(f"Saved: {FOLDER}/hack.toml") and form.fault is None
    assert load(folder / FOLDER / "hack.toml").travel == 0.3


def test_a_damper_that_no_list_offers_is_told_in_a_sentence():
    form = own_machine_form().fill(**{"legs.damper.stock": "twin tube"})
    assert form.fault is None and form.said == (
        "Kind of damper is 'twin tube'; there are: closed cartridge, open cartridge, damping rod.")


def test_a_saved_machine_is_found_again_by_another_form(folder):
    own_machine_form().fill(name="hack", **{"rider.mass": "95", "measured_rider_sag": "70"}).press("save")
    again = own_machine_form()
    assert ["hack", "hack"] in again.options["which"]
    again.fill(which="hack")
    assert again.values["rider.mass"] == "95" and again.values["name"] == "hack" and again.said == "Opened: hack."
    assert again.lent["legs.travel"] == "300 mm" and again.values["legs.travel"] == ""
    again.press("new")
    assert again.values["rider.mass"] == "" and again.values["which"] == ""


def test_a_sentence_ends_once():
    form = own_machine_form().fill(**{"measured_free_sag": "70", "measured_rider_sag": "30"})
    assert "were the two swapped?" in form.text
    assert "?." not in form.text and ".." not in form.text
    assert Sample().press("slip").said == "This does not go."


def test_two_tabs_lose_nothing(folder):
    first = own_machine_form().fill(name="hack", **{"rider.mass": "95"})
    first.press("save")
    second = own_machine_form().fill(which="hack")
    second.fill(**{"rider.mass": "90"}).press("save")
    assert "was changed on disk after it was opened here" in first.fill(**{"rider.mass": "85"}).press("save").said
    assert load(folder / FOLDER / "hack.toml").rider.mass == 90.0
    assert first.values["rider.mass"] == "85"  # what was typed is still there
    first.fill(name="hack 2").press("save")
    assert load(folder / FOLDER / "hack 2.toml").rider.mass == 85.0


def test_a_file_that_cannot_be_opened_leaves_the_form_as_it_was(folder):
    form = own_machine_form().fill(name="hack")
    form.press("save")
    (folder / FOLDER / "bad.toml").write_text("name =")
    form = own_machine_form().fill(which="hack", name="hack")
    form.fill(which="bad")
    assert "broken or cut off" in form.said and form.values["which"] == "hack" and form.fault is None


@pytest.mark.parametrize("mass", [55, 82, 115])
def test_the_table_shows_the_machines_own_sag(mass):
    form = own_machine_form().fill(**{"rider.mass": str(mass), "measured_free_sag": "26", "measured_rider_sag": "60"})
    shown = next(block for block in form.blocks if block["kind"] == "table")["rows"][1]
    from suspedu.school.own_check import checked
    sag = float(rider_sag(checked("", form.typed).machine))
    assert shown[1].startswith(f"{from_si(sag, 'mm'):.0f} mm") and shown[3] == "60 mm"
    assert ("The tape agrees" in form.text) is (mass == 82)


def test_damper_types_without_clickers_ask_for_none():
    form = own_machine_form().fill(**{"legs.damper.stock": "damping rod", "legs.damper.rebound": "3"})
    assert "no clicker" in form.problems["legs.damper.rebound"] and form.lent["legs.damper.rebound"] == ""


# ---------- which adjuster

FEW = ("compression_low", "compression_high", "oil_height", "tyre_pressure")


@pytest.fixture
def few(monkeypatch):
    """The form on four adjusters: the sentences are the same, the rides fewer."""
    whole = which_module.ways_out
    monkeypatch.setattr(which_module, "ways_out", lambda *given, **named: whole(*given, adjusters=FEW, **named))


@pytest.mark.parametrize(("wrong", "also", "how_bad"), [
    ("bottoms", "", "badly"), ("bottoms", "unused-travel", "a little"), ("settles-late", "", "a little"),
    ("dives", "hits-edges", "a little")])
def test_what_is_said_is_what_was_ridden(few, wrong, also, how_bad):
    form = which_adjuster_form().fill(wrong=wrong, also=also, how_bad=how_bad).press("ride")
    assert form.fault is None and form.busy == [0, 0]
    found = ways_out(form.machine(), form.asked, how_bad, adjusters=FEW)
    assert_told(found, form.blocks, form.text)


def assert_told(found, blocks, whole):
    """What the blocks of an answer say, held against what was found."""
    first, lead = first_way(found), blocks[0]["text"]
    shown = [way for ways in found.best.values() for way in ways]
    assert ("ask for opposite turns" in whole) is bool(found.opposite) and "the first lap is a slow one" in whole
    assert ("nothing reaches" in lead) is (first is None) is (round(found.most, 6) < 1.0)
    reverse = len(found.asked) == 2 and frozenset(found.asked) in REVERSES
    assert ("each other's reverse" in lead) is (first is None and reverse)
    assert ("look for a fault" in lead) is (first is None and not reverse and not found.opposite)
    assert whole.count("Cure the worse one there") == ((first is None and reverse) or bool(found.opposite))
    if first is None:
        single = max((round(min(brings.values()), 6) for _, brings in found.singles), default=0.0)
        assert ("the right way, and too little to feel" in lead) is ("fault" in lead and single >= 0.1)
        assert "the right way" not in lead or f" helps most, {steps(single)} steps" in lead
        assert f"brings is {steps(found.most)} steps" in lead and "What to do" not in whole
        assert not any(way.noticed for way in shown)
    else:
        assert_first_told(found, first, lead)
        assert_steps_told(found, first, next(block["entries"] for block in blocks if block["kind"] == "list"))
    for row in next((block["rows"] for block in blocks if block["kind"] == "table"), ()):
        (way,) = (each for each in shown if row[1] == each.option.words)
        assert list(row[2:-1]) == [steps(way.brings[name]) for name in found.asked] and way.least >= 0.5
        assert_costs_told(way, row[-1], way.felt_costs or way.costs[:1])
        assert ("not noticed" in row[-1]) is (not way.felt_costs and row[-1] != "nothing")


def assert_first_told(found, first, lead):
    assert f"{first.option.words} brings {steps(first.least)} steps" in lead and first.noticed
    assert ("costs nothing elsewhere that is noticed" in lead) is (not first.felt_costs)
    assert ("asked for" in lead) is (not first.reaches)
    dear = max([size for _, size in first.felt_costs], default=0.0)
    assert ("That costs more than it brings" in lead) is (dear > 2.0 * first.least + 1e-6)
    assert ("That is a trade" in lead) is (
        (first.worth < 1.0 or dear > first.least + 1e-6) and dear <= 2.0 * first.least + 1e-6)
    assert (f"bring at most {steps(found.clickers)}" in lead) is (found.clickers < found.goal)
    assert_costs_told(first, lead.partition("It costs: ")[2], first.felt_costs)


def assert_costs_told(way, text, costs):
    """Each cost with its size, a reverse as such; none that is not there."""
    for name, wrong in COMPLAINTS.items():
        size = dict(costs).get(name)
        if size is None or round(size, 1) == 0.0:
            assert f"{wrong.words}," not in text
        else:
            reverse = " (the reverse" if name in reverses(way.brings) else ""
            assert f"{wrong.words}, {steps(size)} steps{reverse}" in text


def assert_steps_told(found, first, entries):
    assert all(any(turn.words in line for line in entries) for turn in first.option.turns)
    assert {line.partition(" (")[0] for line in entries if line.startswith("Feel for")} == {
        f"Feel for: {COMPLAINTS[name].cured}" for name in found.asked}
    assert_felt_when_noticed(found, first, entries)
    (last,) = (line for line in entries if line.startswith("Still not enough"))
    more = {way.option.words: way for ways in found.best.values() for way in ways
            if round(way.least, 1) >= round(first.least, 1) + 0.5}
    assert ("nothing below" in last or "ask again" in last) is (not more)
    assert not more or any(f"{words} brings {steps(way.least)}" in last for words, way in more.items())
    assert "ask again" not in last or (found.goal < 3.0 and found.most >= first.least + 0.5)


def assert_felt_when_noticed(found, first, entries):
    """Nothing is to be felt for before a turn that is noticed was made."""
    single = {option.turns[0]: brings for option, brings in found.singles}
    (turn,) = (turn for turn in first.option.turns if f"First {turn.words}" in entries[0])
    pair = len(first.option.turns) == 2
    second = next((k for k, line in enumerate(entries[1:], 1) if any(
        f" {each.words}" in line for each in first.option.turns if each != turn) and not line.startswith("Still")), 99)
    soon = {name for name in found.asked if not pair or round(single.get(turn, {}).get(name, 0.0), 6) >= 1.0}
    for name in found.asked:
        (at,) = (k for k, line in enumerate(entries) if line.startswith("Feel for") and COMPLAINTS[name].cured in line
                 and f"({WORDS[COMPLAINTS[name].ground]})" in line)
        assert (at < second) is (name in soon)
    assert ("it takes both turns" in " ".join(entries)) is (not soon)
    assert all(round(min(single[turn].values()), 6) < 1.0 for line in entries if "nobody would notice: it" in line)


def random_setting(draw, machine):
    """A machine at random settings or at the ends of them, each within what its parts allow."""
    for name in movable(machine):
        low, high = COLLAR if name == "preload" else range_of(machine, name)
        share = draw.choice([0.0, 1.0, draw.random(), draw.random()])
        value = low + share * (high - low)
        machine = change(machine, name, round(value) if ADJUSTERS[name].kind == "clicks" else value)
    return machine


def test_what_is_said_holds_over_all_complaints_both_machines_and_random_settings():
    """Really ridden, with few adjusters each: a lap of all grounds for every change would take minutes."""
    draw = np.random.default_rng(12)
    for count, asked in enumerate(COMPLAINTS):
        machine = random_setting(draw, load(("enduro", "trail")[count % 2]))
        few = ("rebound", "preload") if count % 3 else ("compression_low", "tyre_pressure")
        found = ways_out(machine, (asked,), ("a little", "badly")[count % 2], adjusters=few)
        assert_told(found, ways_told(found), str(ways_told(found)))


@pytest.mark.parametrize("wild", [0.3, 1.0, 2.5])
def test_what_is_said_holds_whatever_rides_would_bring(monkeypatch, wild):
    """The rides' place is taken by random effects: all sizes, so that every sentence is met at its limit too."""
    draw, seen = np.random.default_rng(34), set()

    def brought(machine, options, asked, progress=None):
        return [{name: float(np.round(draw.normal(0.0, wild), 1)) for name in asked} if draw.random() > 0.02 else None
                for _ in options]

    monkeypatch.setattr(ways_module, "_brought", brought)
    for _ in range(25):
        asked = tuple(map(str, draw.choice(list(COMPLAINTS), draw.integers(1, 3), replace=False)))
        few = tuple(map(str, draw.choice(["rebound", "preload", "oil_height", "coil_rate"], 2, replace=False)))
        found = ways_out(load("enduro"), asked, str(draw.choice(["a little", "badly"])), adjusters=few)
        assert_told(found, ways_told(found), whole := "\n".join(str(block) for block in ways_told(found)))
        seen |= {words for words in ("nothing reaches", "That is a trade", "(the reverse", "ask again", "nothing below",
                                     "costs more than it brings", "it takes both turns") if words in whole}
    assert len(seen) >= (5 if wild >= 1.0 else 1)


def test_two_that_are_each_others_reverse_are_said_to_be_so_first():
    """Ridden on the adjusters that each of the two asks for; what cures the one brings on the other."""
    for asked, few in ((("packs", "settles-late"), "rebound"), (("bottoms", "unused-travel"), "compression_low"),
                       (("rides-low", "stands-tall"), "preload"), (("packs", "kicks"), "rebound")):
        found = ways_out(load("trail"), asked, adjusters=[few])
        blocks = ways_told(found)
        assert_told(found, blocks, whole := "\n".join(str(block) for block in blocks))
        assert "are each other's reverse" in blocks[0]["text"] and "fault" not in whole


def test_rebound_wide_open_is_turned_in_against_kicks_though_nobody_would_feel_it():
    found = ways_out(change(load("enduro"), "rebound", 24), ("kicks",), adjusters=["rebound", "preload"])
    blocks = ways_told(found)
    assert_told(found, blocks, "\n".join(str(block) for block in blocks))
    assert "Of single turns rebound 12 clicks in (24 to 12 out) helps most" in blocks[0]["text"]


def test_a_first_turn_that_nobody_feels_and_a_price_of_several_times_the_gain_are_called_so():
    found = ways_out(load("enduro"), ("kicks-roots",), adjusters=["compression_high", "tyre_pressure"])
    blocks = ways_told(found)
    first, entries = first_way(found), next(block["entries"] for block in blocks if block["kind"] == "list")
    assert len(first.option.turns) == 2 and first.felt_costs[0][1] > 3.0 * first.least
    assert blocks[0]["text"].count("That costs more than it brings") == 1 and "trade" not in blocks[0]["text"]
    assert entries[1].startswith("By itself it brings 0.") and "nobody would notice" in entries[1]


def test_riding_can_be_cancelled_and_ridden_again(few, monkeypatch):
    rides, whole = [], which_module.ways_out

    async def by_hand():
        form = which_adjuster_form().fill(wrong="settles-late", how_bad="badly").press("ride")
        assert "riding already" in form.press("ride").said  # and the loop is free: this came while it rides
        form.press("cancel")
        await form.riding
        assert form.said.startswith("Cancelled") and form.blocks == [] and form.found is None and form.busy == [0, 0]
        form.press("ride").fill(wrong="bottoms")  # another question: the ride of the former one is given up too
        await form.riding
        assert form.blocks == [] and form.found is None
        rides.clear()
        await form.press("ride").riding
        assert form.said.startswith("Answer") and form.found.asked == ("bottoms",)
        return len(rides)

    def counted(*given, progress, **named):
        def told(done, total):
            rides.append(done)
            progress(done, total)
        return whole(*given, progress=told, **named)

    monkeypatch.setattr(which_module, "ways_out", counted)
    assert asyncio.run(by_hand()) > 1


def test_the_same_complaint_twice_and_a_vanished_machine_are_told():
    form = which_adjuster_form().fill(also="kicks-roots")
    assert "choose another" in form.problems["also"]
    assert "two different ones" in form.press("ride").said and form.blocks == []
    form.fill(also="", machine="gone")
    assert "Machine 'gone' is not known" in form.press("ride").said


def test_an_own_machine_is_asked_about_by_name(few, folder):
    own_machine_form().fill(name="hack", **{"legs.damper.compression_high_range": "0"}).press("save")
    form = which_adjuster_form()
    assert ["hack", "hack (own)"] in form.options["machine"]
    form.fill(machine="hack", wrong="hits-edges").press("ride")
    assert form.said == "Answer for hack:" and "Damping: direction and order only" in form.text
    assert "high-speed" not in form.text.lower()


def test_a_cure_is_kept_and_its_card_handed_over(few, folder, monkeypatch):
    sent = []
    monkeypatch.setattr(Form, "send_file", lambda self, *given: sent.append(given))
    form = which_adjuster_form()
    assert form.press("card").said == "Ride it first."
    form.fill(wrong="bottoms").press("ride").press("card")  # a choice and two buttons: a printed card
    way = first_way(form.found)
    (one,) = shelf().kept.values()
    assert {name: one.setup.settings[name] for name in (turn.name for turn in way.option.turns)} == {
        turn.name: ADJUSTERS[turn.name].reading(turn.end) for turn in way.option.turns}
    assert sent[0][0] == "against bottoms on landings.png" and sent[0][2][:4] == b"\x89PNG"
    assert form.blocks[-1]["kind"] == "picture" and "saved as a picture" in form.said and form.fault is None
    assert one.setup.felt == "" and all(turn.words in one.setup.changed for turn in way.option.turns)
    assert ("half of it at a time" in one.setup.changed) is ("half of it at a time" in form.text)
    again = notes_form().fill(open=one.file)  # what was changed stays when a feeling is added
    again.fill(felt="better").press("keep")
    assert [(each.setup.felt, each.setup.changed) for each in shelf().kept.values()] == [("better", one.setup.changed)]
    form.fill(wrong="settles-late").press("ride")
    assert form.press("card").said == "There is no cure to keep."


def test_a_card_with_less_air_in_the_tyre_says_what_the_answer_says(few, folder, monkeypatch):
    monkeypatch.setattr(Form, "send_file", lambda self, *given: None)
    form = which_adjuster_form().fill(wrong="hits-edges").press("ride")
    form.press("card").press("card")
    (one,) = shelf().kept.values()  # the same twice is one
    assert "tyre pressure" in one.setup.changed and TYRE in form.text and TYRE in card_cautions(one.setup)


# ---------- notes

def test_a_setup_is_kept_found_again_and_changed(folder):
    form = notes_form().fill(name="mud", ground="whoops", rebound="9", felt="packs", date="2026-11-26").press("keep")
    assert form.said == "Kept: set-ups/2026-11-26 mud.toml in your working folder." and form.fault is None
    again = notes_form().fill(open="2026-11-26 mud.toml")  # as after a restart
    assert (again.values["rebound"], again.values["felt"], again.values["ground"]) == ("9", "packs", "whoops")
    again.fill(rebound="7").press("keep")
    assert [each.setup.settings["rebound"] for each in shelf().kept.values()] == ["7 out"]
    form.fill(felt="still packs").press("keep")  # the first tab has not seen that
    assert "2026-11-26 mud.toml was changed or taken away meanwhile" in form.said and len(shelf().kept) == 2


def test_the_second_lap_of_an_evening_leaves_the_first(folder):
    form = notes_form().fill(name="wide open", rebound="20", date="2026-11-26").press("keep")
    assert form.values["open"] == "" and form.press("keep").said.startswith("Kept: ") and len(shelf().kept) == 1
    for other in ({"name": "new evening"}, {"date": "2026-11-27"}, {"felt": "packs"}, {"rebound": "12"}):
        held = {file: each.text for file, each in shelf().kept.items()}
        assert form.fill(**other).press("keep").said.startswith("Kept: ") and form.fault is None
        assert {file: each.text for file, each in shelf().kept.items() if file in held} == held
        assert len(shelf().kept) == len(held) + 1 == len(form.options["open"]) - 1
    assert "2026-11-27 new evening 2.toml stays as it was" in form.said
    assert {each.setup.name for each in shelf().kept.values()} == {"wide open", "new evening"}


def test_only_a_setup_that_was_opened_is_replaced_and_that_is_said(folder):
    notes_form().fill(name="mud", rebound="9", date="2026-11-26").press("keep")
    form = notes_form().fill(open="2026-11-26 mud.toml")
    assert form.fill(felt="packs").press("keep").said == (
        "Replaced: set-ups/2026-11-26 mud.toml in your working folder; what it held is gone.")
    assert form.values["open"] == "2026-11-26 mud.toml" and len(shelf().kept) == 1
    assert form.fill(name="dust").press("keep").said == "Kept: set-ups/2026-11-26 dust.toml in your working folder."
    assert form.values["open"] == "" and len(shelf().kept) == 2
    form.fill(open="2026-11-26 mud.toml")
    (folder / "set-ups" / "2026-11-26 mud.toml").unlink()
    assert form.fill(felt="packs more").press("keep").said.startswith("Kept: ")  # nothing was left to be replaced


def test_setups_of_one_name_and_day_can_be_told_apart(folder):
    for felt in ("one", "two"):
        notes_form().fill(name="mud", felt=felt, date="2026-11-26").press("keep")
    (folder / "set-ups" / "by hand.toml").write_text((folder / "set-ups" / "2026-11-26 mud.toml").read_text())
    form = notes_form().fill(open="2026-11-26 mud 2.toml").fill(against="2026-11-26 mud.toml")
    words = ["a new one", "2026-11-26 mud (by hand.toml)", "2026-11-26 mud", "2026-11-26 mud 2"]
    assert sorted(label for _, label in form.options["open"]) == sorted(words)
    assert "mud 2 and mud stand alike" in form.text
    assert {row[1] for row in form.blocks[-1]["rows"]} == {"mud", "mud 2", "mud (by hand.toml)"}


def test_a_wrong_date_and_an_endless_name_are_told_while_typing(folder):
    form = notes_form().fill(name="mud", date="26.11.2026")
    assert "year-month-day" in form.problems["date"]
    assert "at most 60" in form.fill(date="", name="x" * 61).problems["name"]
    assert not form.fill(name="mud", date=" 2026-11-26 ").problems


def test_two_setups_are_compared_and_the_sentence_is_that_of_the_table(folder):
    for name, rebound, ground in (("slow", "4", "whoops"), ("quick", "20", "whoops"), ("else", "18", "log")):
        notes_form().fill(name=name, rebound=rebound, ground=ground, date="2026-11-26").press("keep")
    form = notes_form().fill(open="2026-11-26 quick.toml").fill(against="2026-11-26 slow.toml")
    lead, side = form.blocks[0]["text"], form.blocks[1]
    assert side["heads"][1:3] == ["slow", "quick"] and ["Rebound", "4 out", "20 out", ""] in side["rows"]
    for label, *_, size in side["rows"]:
        noticed = bool(size) and abs(float(size.replace("−", "-"))) >= 1.0
        assert (f"{label[:1].lower()}{label[1:]} {size}" in lead) is noticed
    assert "Settings only" in form.fill(against="2026-11-26 else.toml").blocks[0]["text"]


def test_cards_and_table_are_handed_over(folder, monkeypatch):
    sent = {}
    monkeypatch.setattr(Form, "send_file", lambda self, name, kind, content: sent.update({name: content}))
    form = notes_form().fill(name="mud", ground="log", felt="<b>")
    assert "keep one first" in form.press("csv").said
    form.press("png").press("page").press("keep").press("csv")
    assert form.fault is None and sent["mud.png"][:4] == b"\x89PNG" and b"&lt;b&gt;" in sent["mud.html"]
    assert sent["set-ups.csv"].decode("utf-8-sig").splitlines()[1].startswith("mud,")


def test_slips_and_machines_that_are_gone(folder):
    form = notes_form().fill(name="mud", rebound="99")
    assert "allowed: 0 to 24" in form.problems["rebound"] and "allowed: 0 to 24" in form.press("keep").said
    form.fill(rebound="", preload="2")
    assert "a name of 1 to 60" in form.fill(name="").press("keep").said and not shelf().kept
    desk = setup_session(1)
    desk.keep()
    desk.keep()
    assert len(shelf().kept) == 1 and "1 notes" in desk.said.value
    (file,) = shelf().kept
    form = notes_form().fill(open=file)
    assert form.fault is None and ["machine 1 on the stand"] * 2 in form.options["machine"]
    assert "saved as a picture" in form.press("png").said
