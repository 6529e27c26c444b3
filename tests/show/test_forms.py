"""Forms without a browser: texts in, sentences, tables and files out; a slip or a fault ends in a sentence."""

import pytest

from suspedu.machine import load, rider_sag
from suspedu.school.own_files import FOLDER
from suspedu.show.forms.form import Form, listed, paragraph, tabled
from suspedu.show.forms.own_machine import own_machine_form
from suspedu.units import InputError, from_si


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
    assert form.said == "typed x" and form.fresh
    assert form.text == "Sample\ntyped x\nTo fill in: all.\none\ntwo\n   | x\n  r | 1\nthree\n- e"


def test_a_slip_is_a_sentence_and_a_fault_is_kept_for_its_author():
    form = Sample()
    assert form.press("slip").said == "This does not go." and form.fault is None
    assert "ZeroDivisionError" in form.press("fault").said and isinstance(form.fault, ZeroDivisionError)


def test_fields_that_the_form_does_not_have_and_endless_texts_stay_out():
    form = Sample()
    form.heard({"kind": "typed", "values": {"b": "x", "a": "y" * 10_000}})
    assert set(form.values) == {"a"} and len(form.values["a"]) == 4000


# ---------- one's own machine

def test_a_slip_is_told_beside_its_field_and_not_saved(folder):
    form = own_machine_form().fill(name="hack", **{"legs.travel": "30"})
    assert "was a decimal point shifted" in form.problems["legs.travel"] and "1 entry to put right" in form.text
    assert "allowed: 80 to 350 mm" in form.press("save").said and not (folder / FOLDER).exists()
    form.fill(**{"legs.travel": "300"}).press("save")
    assert not form.problems and form.said.startswith(f"Saved: {FOLDER}/hack.toml") and form.fault is None
    assert load(folder / FOLDER / "hack.toml").travel == 0.3


def test_a_saved_machine_is_found_again_by_another_form(folder):
    own_machine_form().fill(name="hack", **{"rider.mass": "95", "measured_rider_sag": "70"}).press("save")
    again = own_machine_form()
    assert ["hack", "hack"] in again.options["which"]
    again.fill(which="hack")
    assert again.values["rider.mass"] == "95" and again.values["name"] == "hack" and again.said == "Opened: hack."
    assert again.lent["legs.travel"] == "300 mm" and again.values["legs.travel"] == ""
    again.press("new")
    assert again.values["rider.mass"] == "" and again.values["which"] == ""


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
