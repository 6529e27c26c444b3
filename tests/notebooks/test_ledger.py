"""Each sentence of a lesson that claims something has a computed line behind it, and agrees with it."""

import copy
from pathlib import Path

import pytest

from suspedu.coursework.authoring import claims, ledger

LESSONS = ledger.lessons_in(Path(__file__).resolve().parents[2] / "lessons")
FOUND = list(ledger.entries(LESSONS))


@pytest.mark.parametrize("number", sorted(LESSONS))
def test_each_claim_rests_on_a_computed_line(number):
    assert [(one.cell, one.sentence, one.fault) for one in FOUND if one.lesson == number and one.fault] == []


def test_the_ledger_lists_what_rests_on_what():
    meant = [one for one in FOUND if one.rests_on == (ledger.MEANT,)]  # meanings and figures of speech: no line
    assert len(FOUND) > 400 and len(meant) < len(FOUND) / 4
    page = ledger.ledger_page(FOUND)
    assert all(f"## Lesson {lesson}" in page for lesson in LESSONS)
    assert "| worked-read | Nearly the same lift, and half the stress" in page


@pytest.mark.parametrize(("text", "found"), [
    ("It is 5 mm deep.", 1), ("It never bends.", 1), ("The *first* is softer.", 1), ("Twice the flow.", 1),
    ("Is it 5 mm deep?", 0), ("Take it to 5 mm.", 0), ("Riders say it is softer†.", 0),
    ("# It is 5 mm\n\nIt bends.", 0),
    ('She says "it is softer".', 0), ("See lesson 05, as rider 8 did.", 0), ("The law is $k = 4 x$.", 0),
    ("## Common slips\n\n- **Softer springs.** It sinks.", 0), ("## Cautions\n\nNever more than 5 bar.", 0),
])  # fmt: skip
def test_what_counts_as_a_claim(text, found):
    assert len(claims.claims(text)) == found


def lesson_of(sentence, *on, source="x = 0.25", printed="at rest 12.4 N, moving 25.1 N, 50 % of it"):
    code = {"cell_type": "code", "id": "sum", "metadata": {}, "source": source, "outputs": [{"text": printed}]}
    words = {"cell_type": "markdown", "id": "words", "source": sentence,
             "metadata": {"suspedu": {"rests_on": {sentence[:8]: list(on)}}} if on else {}}
    return {"99": {"sum": code, "words": words}}


@pytest.mark.parametrize(("sentence", "on"), [
    ("At rest it holds 12 N.", ["sum: at rest # N"]), ("At rest it holds half of it.", ["sum: rest # N, moving # N"]),
    ("Moving, it holds more.", ["sum: rest # N < sum: moving # N"]), ("It is 250 mm deep.", ["given"]),
    ("It is much less than 60 N.", ["sum: moving # N < 60"]), ("Softer means what it says.", ["meant"]),
    ("It is half as large.", ["sum: # % of it"]),
])  # fmt: skip
def test_a_sentence_that_agrees_passes(sentence, on):
    lessons = lesson_of(sentence, *on)
    if "60" in sentence:
        lessons["99"]["sum"]["source"] = "limit = 60"
    assert [one.fault for one in ledger.entries(lessons)] == [""]


@pytest.mark.parametrize(("sentence", "on", "fault"), [
    ("At rest it holds 12 N.", [], "0 links"), ("At rest it holds 13 N.", ["sum: at rest # N"], "13 stands in no line"),
    ("At rest it holds a third.", ["sum: rest # N, moving # N"], "third stands"),
    ("At rest it holds more.", ["sum: at rest # N > sum: moving # N"], "not so"),
    ("At rest it holds more.", ["sum: at noon # N"], "no such line"),
    ("At rest it holds more.", ["other: at rest # N"], "no such line"),
    ("It is 270 mm deep.", ["given"], "270 stands"), ("It is 250 mm deep.", ["meant"], "a numeral needs a line"),
])  # fmt: skip
def test_a_sentence_without_its_line_would_be_found(sentence, on, fault):
    found, = ledger.entries(lesson_of(sentence, *on))
    assert found.fault.startswith(fault)


def test_a_link_that_no_claim_needs_any_more_would_be_found():
    assert [one.fault for one in ledger.entries(lesson_of("It bends here.", "sum: at rest # N"))] == [
        "no claim begins so"]


def test_an_explanation_needs_a_computed_value_and_types_no_number_of_its_own():
    def faults(source):
        return [one.fault for one in ledger.entries(lesson_of("It bends.", source=source))]

    assert faults('asking.explain("a", "It is softer.")') == ["nothing is computed into this explanation"]
    assert faults('y = 0.4\nasking.explain("a", f"It is {y} N softer at 400 mm.")') == [""]
    assert faults('asking.explain("a", f"It is {y} N softer at 700 mm.")') == ["700 stands in no line of it"]
    assert faults('asking.explain("a", f"Softer. It is {y} N. The other is softer.")') == ["", "", "0 links, not one"]


def test_another_number_in_a_lesson_would_be_noticed():
    """A real sentence, held against its real line with another number in it."""
    lessons = copy.deepcopy({name: dict(lesson) for name, lesson in LESSONS.items()})
    line = lessons["04"]["worked-compare"]["outputs"][0]
    line["text"] = "".join(line["text"]).replace("stress 597 MPa", "stress 290 MPa")
    assert {(one.cell, one.fault[:6]) for one in ledger.entries(lessons) if one.lesson == "04" and one.fault} == {
        ("worked-read", "not so")}
