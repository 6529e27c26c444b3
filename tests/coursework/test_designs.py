"""Questions that ask for a property: a design is read strictly, worked out elsewhere, and judged by what it does."""

import json
import sys

import pytest

from suspedu.coursework.exercise import judge, printed_design
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.exercise.sought import given_in, own_finding, sought_by, with_sought
from suspedu.school.designs import DESIGNS, Design, Number, Reached, Shims

TWO = Design((Number("clicks", 0, 24, "", whole=True), Number("hole", 0.5, 3.0, "mm")), lambda design, given: ())
STACK = Design((Shims("stack", 9.0, 21.0, (0.1, 0.15), 4),), lambda design, given: ())
GIVEN = """through = 30.0
cold = 5
hot = 60
cold_drop = 7.2
hot_drop = 4.4
thick_at_40 = 18.4
thick_at_100 = 4.3"""
RIGHT, FITTED = "hole: 1.161\ngap: 0.0436\n", "hole: 1.200\ngap: 0.0300\n"


@pytest.mark.parametrize(("printed", "fault"), [
    ("clicks: 3\nhole: 1.25\n", ""), ("tried it\nclicks: 3\nhole: 1.25\n", ""),
    ("hole: 1.25\nclicks: 3\n", "should print"), ("clicks: 3\n", "should print"), ("", "should print"),
    ("clicks: 3\nhole: nan\n", "plain numbers"), ("clicks: 3\nhole: 1e0\n", "plain numbers"),
    ("clicks: 3\nhole: __import__('os')\n", "plain numbers"), ("clicks: 3\nhole: 2*1\n", "plain numbers"),
    ("clicks: 3\nhole: 1.2 1.3\n", "one number"), ("clicks: 3.5\nhole: 1.2\n", "whole numbers"),
    ("clicks: 25\nhole: 1.2\n", "allowed: 0 to 24"), ("clicks: 3\nhole: 3.01 \n", "allowed: 0.5 to 3 mm"),
    ("clicks: 3\nhole: " + "1" * 400 + "\n", "plain numbers")])
def test_a_design_is_read_strictly(printed, fault):
    said = printed_design.design_fault(printed, TWO)
    assert fault in said and bool(said) == bool(fault)


@pytest.mark.parametrize(("printed", "fault"), [
    ("stack: 20x0.15 18x0.1\n", ""), ("stack: 20x0.13\n", "drawer has 0.1 and 0.15 mm"), ("stack: 20\n", "drawer"),
    ("stack: 22x0.1\n", "from 9 to 21"), ("stack: " + "20x0.1 " * 5 + "\n", "5 shims"), ("stack:\n", "should print")])
def test_a_stack_is_read_strictly(printed, fault):
    said = printed_design.design_fault(printed, STACK)
    assert fault in said and bool(said) == bool(fault)


def test_what_was_read_are_plain_values():
    assert printed_design.read_design("clicks: 3\nhole: 1.25\n", TWO) == {"clicks": 3, "hole": 1.25}
    assert printed_design.read_design("stack: 20x0.15 18x0.1\n", STACK) == {"stack": ((20.0, 0.15), (18.0, 0.1))}


def sheet(given=GIVEN):
    verdict = Cell("v", "code", "", {"role": "verdict", "question": "hole-and-gap", "property": "hole-and-gap"})
    return Sheet("90_demo", (Cell("n", "code", given, {"role": "numbers"}), verdict))


def test_any_design_that_has_the_property_is_right_and_others_hear_what_they_come_to():
    sought = sought_by(sheet().cells[1], sheet(), slips=((FITTED, "That is what is fitted."),))
    assert sought.holds(RIGHT) and sought.holds("hole: 1.163\ngap: 0.0434\n") and not sought.holds(FITTED)
    assert sought.hint_for(FITTED).startswith("That is what is fitted. The drop at 5 °C comes to ")
    assert sought.hint_for("hole: two") == "The cell should print hole: ... and gap: ..., each with plain numbers."
    assert own_finding(sheet().cells[1], sheet(), RIGHT).met


def test_a_learners_own_check_takes_the_numbers_of_their_copy_too():
    copy = sheet(GIVEN.replace("7.2", "8.2"))
    sought = with_sought({}, sheet(), copy)["hole-and-gap"]
    assert sought.holds(RIGHT) and "wanted: 7.95 to 8.45 bar" in sought.hint_for(FITTED)
    assert not with_sought({}, copy)["hole-and-gap"].holds(RIGHT)
    assert given_in(copy)["cold_drop"] == 8.2


def test_a_design_that_takes_too_long_or_ends_its_process_costs_itself_alone(tmp_path, monkeypatch):
    """The helper is replaced by one that spins at one design and leaves at another."""
    (tmp_path / "helper.py").write_text(f"""
import sys
sys.path[:0] = {sys.path!r}
from suspedu.coursework.exercise import judge
from suspedu.school.designs import DESIGNS, Design, Reached

def law(design, given):
    while design["n"] == 1: pass
    if design["n"] == 2: sys.exit()
    return (Reached("n", design["n"], 0.0),)

DESIGNS["spins"] = Design((), law)
judge.SECONDS = 0
judge.main()
""")
    monkeypatch.setattr(judge, "MODULE", "helper")
    monkeypatch.setattr(judge, "FOLDER", tmp_path)
    helper = judge.Helper()
    found = [helper.answer(json.dumps(["spins", {"n": n}, {}])) for n in (0, 1, 2, 3)]
    helper.close()
    assert found[0][0] is True and found[1:3] == [None, None] and found[3] == [
        True, "n comes to 3.0; wanted: at least 0.0"]


@pytest.mark.parametrize(("reached", "met", "words"), [
    (Reached("x", 2.0, 1.0, 2.0, "bar"), True, "1.0 to 2.0 bar"), (Reached("x", 2.01, high=2.0), False, "at most 2.0"),
    (Reached("x", float("nan"), 1.0, 2.0), False, "nan"), (Reached("x", 0.9, low=1.0), False, "at least 1.0")])
def test_what_is_reached_is_held_against_its_bounds(reached, met, words):
    assert reached.met is met and words in reached.words


@pytest.mark.parametrize(("task", "design", "given", "words"), [
    ("reads-the-corners", {"rate": 950.0, "window": 18},
     {"fastest_pass": 1.2, "half_stroke": 25.0, "test_length": 42.0, "most_rows": 40.0, "stroke_noise": 12.0,
      "most_noise": 1.25}, "the window must be an odd number of rows, so that one stands in the middle"),
    ("explains-the-measures", {"rate": 4.6, "oil_height": 120.0, "drag": 8.0}, {"machine_number": 17},
     "exactly one of the three must be another than on the sheet")])
def test_a_condition_has_a_sentence_of_its_own(task, design, given, words):
    found = judge.finding(task, design, given)
    assert not found.met and words in found.words.split("; ") and "1 to 1" not in found.words


def test_every_task_says_what_it_reads():
    assert all(design.entries and callable(design.law) for design in DESIGNS.values())
