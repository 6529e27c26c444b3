"""What some students have in common is shown where chance seldom makes it, and nowhere else."""

import pytest

from suspedu.coursework.book import classbook
from suspedu.coursework.book.alike import alike
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.marked import Marked, Scored
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.coursework.exercise.verdicts import SET

WORDS = "Preload moves the whole curve up, and the rate of the spring stays as it was."


def one(student, **given):
    facts = {"question": "q1", "title": "Rate", "earned": 0, "possible": 2, "verdict": "wrong"}
    return Marked(student, "90_demo", "j", "d", "f", 0.0, "now",
                  questions=(Scored(**facts | {"expected": f"{student} N"} | given),))


def test_a_neighbours_value_is_named_with_the_neighbour():
    found = alike([one("1", printed="2 N\n"), one("2", printed="2 N\n", verdict="right"), one("3", printed="9 N")])
    assert [str(each) for each in found] == [
        "90_demo q1: students 1 and 2: 1 has the value that is right for the numbers of 2"]


def test_the_same_wrong_value_of_no_known_slip():
    found = alike([one("1", printed="7 N"), one("2", printed="7 N"), one("3", printed="8 N", hint="a known slip"),
                   one("4", printed="8 N", hint="a known slip")])
    assert [each.students for each in found] == [("1", "2")] and "of no known slip" in found[0].what


def test_the_same_words_but_for_spaces_and_capitals():
    said = {"expected": "", "verdict": "by hand"}
    found = alike([one("1", answer=WORDS, **said), one("2", answer=WORDS.upper().replace(" ", "  "), **said),
                   one("3", answer="The rate stays.", **said), one("4", answer="The rate stays.", **said)])
    assert [(each.students, each.what) for each in found] == [(("1", "2"), "the same words")]


@pytest.mark.parametrize("given", [
    {"verdict": "right", "earned": 2, "answer": "x" * 100, "printed": "5 N", "expected": "5 N"},
    {"printed": "7 N", "hint": "the radius, not the diameter"}, {"verdict": "not answered yet"}])
def test_what_many_have_says_nothing(given):
    assert alike([one(str(k), **given) for k in range(3)]) == []


@pytest.mark.parametrize("hint", ["", "a known slip"])
def test_everybodys_slip_is_no_twin(hint):
    assert alike([one(str(k), printed="70 N", hint=hint) for k in range(4)]) == []
    same = {"verdict": "error", "answer": WORDS, "hint": hint}
    assert alike([one(str(k), **same if k < 5 else {"answer": f"rate = {k}"}) for k in range(20)]) == []


@pytest.mark.parametrize("size", [2, 3, 4, 5, 12])
def test_a_long_sentence_is_shown_however_many_have_it(size):
    """A class of twelve, of whom some have one sentence and the others one each, or a short one."""
    said = {"expected": "", "verdict": "by hand", "earned": None}
    words = [WORDS if k < size else "The rate stays." if k % 2 else f"{k}: {WORDS}" for k in range(12)]
    found = alike([one(str(k), answer=each, **said) for k, each in enumerate(words)])
    assert [(each.students, each.what) for each in found] == [(tuple(map(str, range(size))), "the same words")]


def test_few_of_a_large_class_with_one_odd_value_are_shown():
    """Five of forty share what no known slip makes; where ten do, it is a slip that nobody has named yet."""
    def found(size):
        return alike([one(str(k), printed="7.5 N" if k < size else f"{100 + k} N") for k in range(40)])
    assert [each.students for each in found(5)] == [("0", "1", "2", "3", "4")] and found(10) == []


@pytest.mark.parametrize("words", ["", " \n", "Write your answer here, in a few plain sentences."])
def test_what_was_never_written_is_no_twin(words):
    """Untouched or emptied; one of the three was given points by the examiner all the same."""
    blank = {"expected": "", "verdict": "not answered yet", "answer": words}
    assert alike([one("1", **blank), one("2", **blank), one("3", **blank | {"verdict": SET})]) == []


def test_it_stands_in_the_class_book(tmp_path):
    with RecordBook(tmp_path / "r.sqlite") as record:
        record.add_students([Student("1"), Student("2")])
        record.set_asked("90_demo", [("q1", "Rate", 2, False)])
        for number in "12":
            record.write(one(number, printed="2 N\n", verdict="wrong" if number == "1" else "right"))
        classbook.write_book(tmp_path, record)
    page = (tmp_path / "classbook.html").read_text(encoding="utf-8")
    assert "right for the numbers of 2" in page and "nothing about who did what" in page
