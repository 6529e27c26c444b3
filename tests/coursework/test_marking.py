"""A self-mark from end to end: right, wrong, unanswered and broken answers, each with its verdict and hint."""

import os
import time
from dataclasses import replace

import pytest

from suspedu.coursework.exercise import expected, form_slips, marking, merge, numbers, reader, selfmark
from suspedu.coursework.exercise import verdicts as verdicts_
from suspedu.coursework.exercise.bench import Run
from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.sealed import sealed
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.runner import CellOutcome
from suspedu.units import InputError

RIGHT = {"q1": "rate = 79.3e9 * (wire * 1e-3) ** 4 / (8 * turns * 0.033**3)",
         "q2": "import numpy as np\ndef spring_force(s):\n    return np.round(rate, 1) * s",
         "q3": "choice = ' B '", "q4": "The curve moves up."}


def verdicts(result):
    return {row.question: row.verdict for row in result.rows}


def test_untouched_exercise_is_not_answered_yet(in_course, fill):
    result = selfmark.check_file(fill())
    assert set(verdicts(result).values()) == {"not answered yet"}
    assert [row.hint for row in result.rows] == [""] * 4
    assert (result.earned, result.possible) == (0, 6)


def outcome(printed="", error=None):
    return CellOutcome("failed", "error" if error else "differs", printed, error)


def judged(pristine, fill, question, answer, printed="", error=None, right="12.635 N/mm\n"):
    """The row of one question whose answer ran, and whose check printed or failed as said."""
    sheet = merge.merge(pristine, reader.read_sheet(fill({question: answer}))).sheet
    done = {f"{question}-answer": CellOutcome("passed", "", ""), f"{question}-verdict": outcome(printed, error)}
    found = verdicts_.rows(pristine, sheet, done, {question: Expected(right, (("12.600 N/mm\n", "A slip."),))})
    return next(row for row in found if row.question == question)


@pytest.mark.parametrize(("printed", "hint"), [
    ("12.640 N/mm\n", "this looks rounded too far: give 5 digits"), ("12.630 N/mm\n", "give 5 digits"),
    ("tried it\n13.000 N/mm\n", ""), ("12.600 N/mm\n", "A slip."), ("12.700 N/mm\n", ""), ("12.636 N/mm\n", ""),
    ("12.6 N\n", ""), ("nan N/mm\n", ""), ("-12.600 N/mm\n", ""), ("", "")])
def test_a_value_that_is_rounded_too_far_says_how_many_digits(pristine, fill, printed, hint):
    row = judged(pristine, fill, "q1", "rate = 1", printed)
    assert (row.verdict, row.earned) == ("wrong", 0) and hint in row.hint and bool(row.hint) == bool(hint)


def test_each_number_of_a_print_is_looked_at(pristine, fill):
    def hint(printed):
        return judged(pristine, fill, "q1", "rate = 1", printed, right="15.57 at 3 bar, 4.213 %\n").hint
    assert hint("15.60 at 3 bar, 4.213 %\n") == hint("15.60 at 3 bar, 4.200 %\n") != ""
    assert not hint("15.60 at 3 bar, 5.000 %\n") and not hint("15.57 at 4 bar, 4.200 %\n")


@pytest.mark.parametrize(("answer", "fault"), [
    ("rate = '94 N'", "unsupported operand type(s) for /: 'str' and 'int'"),
    ("rate = str(91.42)", "Unknown format code 'g' for object of type 'str'"),
    ("number = rate = ' 91.42'", "unsupported operand type(s) for /: 'str' and 'int'")])
def test_a_number_that_was_given_as_text_is_said_in_a_sentence(pristine, fill, answer, fault):
    error = {"name": "ValueError", "words": fault, "line": 2, "frames": 1}
    row = judged(pristine, fill, "q1", answer, error=error)
    assert row.verdict == "error" and row.hint == (
        f"a number was given as text: write it without quotes and without its unit (ValueError: {fault})")
    said = form_slips.NUMBER_ALONE  # the check of an exercise says it in its cell
    assert judged(pristine, fill, "q1", answer, f"{said}\n") == replace(row, hint=said, printed=f"{said}\n")
    other = judged(pristine, fill, "q1", "name = '94 N'\nrate = 5", error=error | {"words": "what is it?"})
    assert other.hint == "ValueError: what is it?"


@pytest.mark.parametrize(("printed", "hint"), [
    ("a) air in the oil\n", 'give the letter only, such as choice = "a"'), ("air in the oil\n", "letter only"),
    ("a\n", ""), ("(a)\n", "")])
def test_a_choice_with_more_than_its_letter_is_told_so(pristine, fill, printed, hint):
    row = judged(pristine, fill, "q3", "choice = 'a'", printed, right="b\n")
    assert row.verdict == "wrong" and hint in row.hint and bool(row.hint) == bool(hint)


OPTIONS = "- **a** Air in\n  the oil.\n- **b** A *softer* spring."


@pytest.mark.parametrize(("printed", "verdict"), [
    ("b) a softer spring.\n", "right"), ("(b) A softer spring\n", "right"), ("b: a softer spring\n", "right"),
    ("b\n", "right"), ("a) air in the oil\n", "wrong"), ("b) air in the oil\n", "wrong"), ("b) \n", "right"),
    ("a) a softer spring\n", "wrong"), ("a softer spring\n", "wrong"), ("d) a softer spring\n", "wrong")])
def test_a_letter_counts_with_the_words_of_its_own_option(printed, verdict):
    """Listed in the learner's own copy, where that is another sheet; the words of another option are no answer."""
    def listing(text):
        return Sheet("90_demo", (Cell("t", "markdown", text), Cell("a", "code", "choice = ...", {
            "role": "answer", "question": "q"}), Cell("v", "code", "", {"role": "verdict", "question": "q",
                                                                        "points": 1, "choice": True})))
    mine, other = listing(OPTIONS), listing("- **a** A softer spring.\n- **b** Something else.")
    run = Run({"a": CellOutcome("passed", "", ""), "v": CellOutcome("failed", "differs", printed)})
    for pristine, copy in ((mine, None), (other, mine)):
        task = marking.Task("a", pristine, pristine.with_sources({"a": "choice = 1"}), {"q": Expected("b\n")}, copy)
        assert marking._marks(task, run, {}).rows[0].verdict == verdict
    empty = marking.Task("a", mine, task.merged, {"q": Expected("b\n")}, Sheet("90_demo", ()))
    assert marking._marks(empty, run, {}).rows[0].verdict == ("right" if printed in ("b\n", "b) \n") else "wrong")


@pytest.mark.parametrize("words", ["", " \n ", '""', "..."])
def test_words_that_were_emptied_are_not_answered_yet(pristine, fill, words):
    task = marking.Task("a", pristine, merge.merge(pristine, reader.read_sheet(fill({"q4": words}))).sheet, {})
    row = verdicts_.rows(pristine, task.merged, {}, {})[-1]
    assert (row.verdict, row.by_hand) == ("not answered yet", True)
    result = selfmark.Checked("90_demo", (row,), (), 0.0)
    assert result.words == "2 points: words not written yet"


def test_right_by_another_method(in_course, fill):
    result = selfmark.check_file(fill(RIGHT))
    assert verdicts(result) == {"q1": "right", "q2": "right", "q3": "right", "q4": "by hand"}
    assert (result.earned, result.possible) == (6, 6)


def test_wrong_roads_get_their_hints_and_never_the_print(in_course, fill):
    answers = {"q1": "rate = 79.3e9 * (wire / 2000) ** 4 / (8 * 0.033**3 * turns)",
               "q2": "def spring_force(s):\n    return 1 / 0", "q3": "choice = 'a'"}
    result = selfmark.check_file(fill(answers))
    hints = {row.question: (row.verdict, row.hint) for row in result.rows}
    assert hints == {"q1": ("wrong", "The formula takes the diameter, not the radius."),
                     "q2": ("error", "line 2: ZeroDivisionError: division by zero"),
                     "q3": ("wrong", "The slope of the curve stays."), "q4": ("not answered yet", "")}
    assert "12.6" not in selfmark.verdict_table(result)


def test_gaps_and_what_builds_on_them(in_course, fill):
    result = selfmark.check_file(fill({"q1": "rate = ...\nx = 1", "q2": RIGHT["q2"], "q3": "choice = (2"}))
    hints = {row.question: (row.verdict, row.hint) for row in result.rows}
    assert hints["q1"] == ("not answered yet", "still '...': rate")
    assert hints["q2"][0] == "error" and "builds on an answer that is still '...'" in hints["q2"][1]
    assert hints["q3"][0] == "error" and hints["q3"][1].startswith("line 1: SyntaxError: ")


def test_answer_that_kills_its_kernel_costs_that_question_only(in_course, fill):
    killer = {"q1": "import os; os._exit(0)", "q2": "def spring_force(s):\n    return 1510"}
    result = selfmark.check_file(fill(RIGHT | killer))
    assert verdicts(result) == {"q1": "error", "q2": "right", "q3": "right", "q4": "by hand"}
    assert result.rows[0].hint == "it ended the Python process"


def test_function_that_never_returns_costs_that_question_only(pristine, fill):
    returned = reader.read_sheet(fill(RIGHT | {"q2": "def spring_force(s):\n    while True:\n        pass"}))
    merged = merge.merge(pristine.with_sources({"setup": "import math\nprint('aim 5 N')\n"}), returned).sheet
    task = marking.Task("a", pristine, merged, sealed(pristine))
    found = marking.mark([task], limits=Limits(cell_seconds=2.0))["a"]
    rows = found.rows
    assert found.given == "aim 5 N"  # printed by a cell that the exercise gives: words may speak of it
    assert [row.verdict for row in rows] == ["right", "error", "right", "by hand"]
    assert rows[1].hint == "it ran out of time or printed without end"


def test_typed_practice_result_fails_with_own_numbers(pristine, solution, fill):
    """A batch with own numbers: the method is right, the practice number is wrong, each in its own notebook."""
    row, tasks = 5, []
    own = numbers.with_row(pristine, solution, row)
    prints = expected.of_rows(solution, [row])[row]
    for name, answers in {"method": RIGHT, "copied": RIGHT | {"q1": "rate = 12.6e3"}}.items():
        merged = merge.merge(own, reader.read_sheet(fill(answers))).sheet
        tasks.append(marking.Task(name, own, merged, prints))
    rows = {name: marks.rows for name, marks in marking.mark(tasks).items()}
    assert [row.verdict for row in rows["method"]][:3] == ["right"] * 3
    assert [(row.verdict, row.hint) for row in rows["copied"]][:3] == [
        ("wrong", ""), ("right", "right on your own q1"), ("right", "")]


def test_age_of_the_file_is_told(in_course, fill):
    path = fill(RIGHT)
    os.utime(path, (time.time() - 900,) * 2)
    text = selfmark.verdict_table(selfmark.check_file(path))
    assert "saved 15 minutes ago" in text and "Ctrl+S" in text
    assert "6 of 6 points" in text


def test_own_file_is_the_notebook_that_asks_by_its_content(in_course, tmp_path, fill, monkeypatch):
    path = fill()
    assert selfmark.own_file("90", tmp_path) == path
    renamed = tmp_path / "my answers.ipynb"
    renamed.write_bytes(path.read_bytes())
    assert selfmark.own_file("90", tmp_path, f"exercises/{renamed.name}") == renamed
    with pytest.raises(InputError, match=r"2 files hold exercise '90': .*'my answers.ipynb'"):
        selfmark.own_file("90", tmp_path)  # rather than guess
    monkeypatch.setenv("JPY_SESSION_NAME", f"/somewhere/{renamed.name}")
    assert selfmark.own_file("90", tmp_path) == renamed
    with pytest.raises(InputError, match=r"'my answers.ipynb' holds exercise '90_demo', and exercise '91' was asked"):
        selfmark.own_file("91", tmp_path)
    with pytest.raises(InputError, match=r"'gone.ipynb', the notebook that asks, is not in"):
        selfmark.own_file("90", tmp_path, "exercises/gone.ipynb")


def test_a_notebook_of_nothing_is_not_marked_and_no_other_in_its_place(in_course, tmp_path, fill):
    fill()
    (tmp_path / "shopping.ipynb").write_text('{"cells": [], "metadata": {}}')
    with pytest.raises(InputError, match=r"'shopping.ipynb' is no exercise of the course"):
        selfmark.own_file("90", tmp_path, "shopping.ipynb")
    with pytest.raises(InputError, match="exercise '91' is not in"):
        selfmark.own_file("91", tmp_path)


def test_file_of_no_exercise_is_refused(in_course, tmp_path):
    path = tmp_path / "shopping.ipynb"
    path.write_text('{"cells": [], "metadata": {}}')
    with pytest.raises(InputError, match=r"'shopping' is not the number of a notebook in .*there are: 90_demo"):
        selfmark.check_file(path)
