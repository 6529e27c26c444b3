"""nbval over the exercises: they are as derived, and behave as intended whoever answers them."""

import contextlib
import functools
import io
import re

import pytest

from suspedu.coursework.authoring import derive
from suspedu.coursework.exercise import (
    builds_on,
    draws,
    expected,
    fairness,
    loading,
    marking,
    merge,
    soundness,
    verdicts,
)
from suspedu.coursework.exercise.form_slips import NUMBER_ALONE
from suspedu.coursework.exercise.sealed import sealed

VALUES = re.compile(r"(\w+ = \.\.\.[^\n]*\n?)+")  # an answer of values alone, none of them given yet
ASSESSED = ("answer", "explain")
DRAWS = 6  # one after the other, until one is sound; `exercise check` tries forty


def task(name, exercise, filled, prints):
    return marking.Task(name, exercise, merge.merge(exercise, filled).sheet, prints)


def mark(tasks):
    """Rows by task and question, all tasks in one session of nbval."""
    return {name: {row.question: row for row in marks.rows} for name, marks in marking.mark(tasks).items()}


def answered(exercise, solution, *slips):
    """The exercise with the solution's answers in it, some of them replaced by slips."""
    sources = {cell.id: cell.source for cell in solution.with_role(*ASSESSED)}
    return exercise.with_sources(sources | {cell.id: slip["answer"] for cell, slip in slips})


def both(pair):
    return loading.exercise(pair.parents[1] / "exercises" / pair.name), loading.solution(pair)


@functools.cache
def examined(pair):
    """What is unsound about practice and rows, the prints of each, and number and prints of the first sound draw."""
    solution = loading.solution(pair)
    for k in range(DRAWS):
        own = draws.with_numbers(solution, drawn(solution, k))
        faults, prints, found = soundness.examined_with(solution, {"draw": own})
        if not found["draw"].faults and not fairness.unfair(own, prints[0], found["draw"].prints):
            return faults, prints, (k, found["draw"].prints)
    return faults, prints, None


def drawn(solution, attempt):
    return draws.drawn(b"a test", "1", solution, attempt)


def test_every_row_of_numbers_is_sound(pair):
    assert examined(pair)[0] == []


def test_exercise_is_as_derived(pair):
    assert (pair.parents[1] / "exercises" / pair.name).read_bytes() == derive.derived(pair, examined(pair)[1][0])


@functools.cache
def marked(pair):
    """Rows of verdicts of every sheet that the tests of a pair look at, all in one session of nbval."""
    exercise, solution = both(pair)
    draw, prints = examined(pair)[2]
    own, practice = draws.with_numbers(exercise, drawn(solution, draw)), sealed(exercise)
    filled, copied = answered(own, solution), own.with_sources(typed_in(solution, examined(pair)[1][0]))
    sheets = {"untouched": exercise, "solved": answered(exercise, solution)}
    rounds = in_rounds(task("slips", exercise, sheets["solved"], practice), first_slips(solution))
    sheets |= {f"slips {number}": answered(exercise, solution, *slips) for number, slips in enumerate(rounds)}
    rows = mark([*(task(name, exercise, sheet, practice) for name, sheet in sheets.items()),
                 task("own", own, filled, prints), task("copied", own, copied, prints)])
    return rows | {cell.id: rows[f"slips {number}"] for number, slips in enumerate(rounds) for cell, _ in slips}


def typed_in(solution, practice):
    """Answers that are the practice results as numbers, by cell; functions are left blank."""
    return {cell.id: "\n".join(f"{name} = {value}" for name, value in practice[cell.question].values)
            for cell in solution.with_role("answer")
            if practice[cell.question].values and "def " not in cell.facts["blank"]}


def in_rounds(solved, slips):
    """Slips that can stand in one sheet: no question of a round builds on another of it."""
    rounds = []
    for cell, slip in slips.values():
        question = next(each for each in solved.merged.questions() if each.id == cell.question)
        needed = {cell.question, *(each.question for each in builds_on.built_on(solved, question))}
        for others in rounds:
            if not needed & {other.question for other, _ in others}:
                others.append((cell, slip))
                break
        else:
            rounds.append([(cell, slip)])
    return rounds


def first_slips(solution):
    return {cell.id: (cell, slip) for cell, slip in reversed(expected.slips_of(solution))}


def test_exercise_untouched_solved_and_with_slips(pair):
    """Untouched: not answered yet. Solved: right. The first slip of each answer: wrong, with its hint."""
    rows, slips = marked(pair), first_slips(derive.solution(pair))
    assert {row.verdict for row in rows["untouched"].values()} == {verdicts.UNANSWERED}
    assert {row.verdict for row in rows["solved"].values()} <= {verdicts.RIGHT, verdicts.BY_HAND}
    assert slips
    for name, (cell, slip) in slips.items():
        row = rows[name][cell.question]
        assert (row.verdict, row.earned) == (verdicts.WRONG, 0) and row.hint.startswith(slip["hint"])


def test_own_numbers_take_the_method_and_not_the_copied_result(pair):
    """With drawn numbers the method is right, and the practice results, a design's too, are wrong."""
    rows, solution = marked(pair), both(pair)[1]
    assert {row.verdict for row in rows["own"].values()} <= {verdicts.RIGHT, verdicts.BY_HAND}
    copied = {cell.question for cell in solution.with_role("answer") if cell.id in
              typed_in(solution, examined(pair)[1][0])}
    found = {rows["copied"][question].verdict for question in copied}
    assert verdicts.WRONG in found and verdicts.RIGHT not in found


def test_run_all_on_an_untouched_exercise_says_so_in_every_check(pair):
    names = {}
    for cell in both(pair)[0].cells:
        if cell.kind == "code" and cell.role != "tool":
            with contextlib.redirect_stdout(io.StringIO()) as printed:
                exec(compile(cell.source, cell.id, "exec"), names)
            assert cell.role != "verdict" or printed.getvalue() == "not answered yet\n"


@pytest.mark.parametrize("slip", ["'94 N'", "94,5", "[94.5]"])
def test_what_is_no_number_alone_is_said_in_the_check_itself(pair, slip):
    exercise, names, asked = both(pair)[0], {}, set()
    letters = {cell.question for cell in exercise.with_role("verdict") if cell.facts.get("choice")}
    for cell in exercise.cells:
        if cell.kind != "code" or cell.role == "tool":
            continue
        if cell.role == "answer" and VALUES.fullmatch(cell.source) and "[(" not in cell.source:  # no stack of shims
            asked |= {cell.question} - letters
        source = cell.source.replace("...", slip) if cell.question in asked else cell.source
        with contextlib.redirect_stdout(io.StringIO()) as printed:
            exec(compile(source, cell.id, "exec"), names)
        if cell.role == "verdict" and cell.question in asked:
            assert printed.getvalue() == f"{NUMBER_ALONE}\n", cell.id
    assert asked


@pytest.mark.parametrize("folder", ["solutions", "exercises"])
def test_solutions_and_exercises_are_pairs(pytestconfig, folder):
    names = {kind: {path.name for path in (pytestconfig.rootpath / kind).glob("*.ipynb")}
             for kind in ("solutions", "exercises", "lessons")}
    assert names[folder] and names["solutions"] == names["exercises"] <= names["lessons"]
