"""A right answer on a wrong one counts; what is typed in, or right by chance of a wrong value, does not."""

from pathlib import Path

import pytest

from suspedu.coursework.authoring.following import unfollowed
from suspedu.coursework.exercise import expected, loading, marking, merge, numbers, reader, selfmark, verdicts
from suspedu.coursework.exercise.sealed import seal, sealed, unseal

WRONG = "rate = 79.3e9 * (wire / 2000) ** 4 / (8 * 0.033**3 * turns)"
BUILT = "def spring_force(stroke):\n    return rate * stroke"
SHELL = "\nshell = get_ipython()\nshell.input_transformers_cleanup.append(lambda lines: [{!r}])"
ROW, OTHER = 5, 6
ROOT = Path(__file__).resolve().parents[2]
# answers to q1 and q2, verdict of q2; {practice}, {own} and {other} are prints of q2, {half} is right with the wrong q1
RETURNS = {
    "built on a wrong rate": (WRONG, BUILT, "right"),
    "with a name of one's own in it": (f"factor = 1.0\n{WRONG}", BUILT.replace("rate", "rate * factor"), "right"),
    "with the method wrong too": (WRONG, BUILT.replace("rate", "rate / 2"), "wrong"),
    "the practice value typed in": (WRONG, "def spring_force(s):\n    return {practice} + 0 * rate", "wrong"),
    "a neighbour's value typed in": (WRONG, "def spring_force(s):\n    return {other} + 0 * rate", "wrong"),
    "nothing on nothing": ("rate = 0", "def spring_force(s):\n    return 0 * rate", "wrong"),
    "no number on no number": ("rate = float('nan')", "def spring_force(s):\n    return rate + float('nan')", "wrong"),
    "the print made up": (WRONG + SHELL.format("print('4 N')"), BUILT, "wrong"),
    "on a blank": ("rate = ...", BUILT, "error"),
    "on an error": ("rate = 1 / 0", BUILT, "error"),
    "on a right one": (WRONG.replace("2000", "1000"), BUILT.replace("rate", "rate / 2"), "wrong"),
}


@pytest.fixture
def marked(pristine, solution, fill):
    own = numbers.with_row(pristine, solution, ROW)
    prints = expected.of_rows(solution, [0, ROW, OTHER])
    typed = {name: prints[row]["q2"].print.split()[0]
             for name, row in (("practice", 0), ("own", ROW), ("other", OTHER))}
    assert len({*typed.values()}) == 3
    tasks = []
    for name, (first, second, _) in RETURNS.items():
        for place, value in typed.items():
            second = second.replace(f"{{{place}}}", value)
        answers = {"q1": first, "q2": second, "q3": "choice = 'b'"}
        tasks.append(marking.Task(name, own, merge.merge(own, reader.read_sheet(fill(answers))).sheet, prints[ROW]))
    return {name: marks.rows for name, marks in marking.mark(tasks).items()}


def test_only_a_right_method_counts_on_a_wrong_number(marked):
    assert {name: rows[1].verdict for name, rows in marked.items()} == {
        name: wanted for name, (_, _, wanted) in RETURNS.items()}
    credited = [rows for rows in marked.values() if rows[1].verdict == verdicts.RIGHT]
    assert len(credited) == 2
    for first, second, *_ in credited:
        assert (first.verdict, first.earned) == (verdicts.WRONG, 0)
        assert (second.earned, second.hint) == (3, "right on your own q1")


def test_a_self_check_says_the_same(in_course, fill):
    rows = selfmark.check_file(fill({"q1": WRONG, "q2": BUILT})).rows
    assert [(row.verdict, row.hint) for row in rows[:2]] == [
        ("wrong", "The formula takes the diameter, not the radius."), ("right", "right on your own q1")]


def test_numbers_go_with_the_expected_prints(solution):
    found = expected.of_rows(solution, [ROW])[ROW]
    (name, value), = found["q1"].values
    assert name == "rate" and f"{float(value) / 1000:.3g} N/mm\n" == found["q1"].print
    assert found["q2"].values == found["q3"].values == ()  # a function and a letter are no numbers
    assert unseal(seal(found["q1"])) == found["q1"]
    assert expected.Expected.of(["1 N\n", [["2 N\n", "twice"]]]) == expected.Expected("1 N\n", (("2 N\n", "twice"),))


def test_an_author_hears_where_only_a_function_could_be_put_right(solution):
    found = expected.of_rows(solution, [0])[0]
    assert unfollowed(solution, found) == ()  # the spring's force is used by its own verdict only
    third, = (cell for cell in solution.with_role("answer") if cell.question == "q3")
    told = unfollowed(solution.with_sources({third.id: "choice = 'b' if spring_force(1) > 0 else 'a'"}), found)
    assert [words.partition(";")[0] for words in told] == ["q3: builds on 'q2'"]


@pytest.mark.parametrize("path", sorted((ROOT / "solutions").glob("[0-9]*.ipynb")), ids=lambda path: path.stem)
def test_every_answer_of_the_course_that_builds_on_another_one_is_followed(path):
    practice = sealed(loading.exercise(ROOT / "exercises" / path.name))
    assert unfollowed(loading.solution(path), practice) == ()
