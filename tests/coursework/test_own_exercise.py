"""An exercise of one's own: a first example that passes, numbers from a small table, a check in plain sentences."""

import json

import pytest

from suspedu.cli import main
from suspedu.coursework.authoring import number_table
from suspedu.coursework.authoring.new_exercise import new_exercise
from suspedu.coursework.exercise import draws, hygiene, loading
from suspedu.units import InputError


@pytest.fixture
def example(tmp_path):
    return new_exercise(tmp_path, "15", "Springs side by side")


def changed(path, sources=None, facts=None):
    """The notebook with other sources and facts by cell id."""
    book = json.loads(path.read_text(encoding="utf-8"))
    for cell in book["cells"]:
        cell["source"] = (sources or {}).get(cell["id"], cell["source"])
        if cell["id"] in (facts or {}):
            cell["metadata"]["suspedu"] |= facts[cell["id"]]
    path.write_bytes(hygiene.written(book))


def test_example_has_a_question_of_each_kind(example):
    sheet = loading.solution(example)
    assert example.name == "15_springs_side_by_side.ipynb" and draws.is_drawn(sheet)
    assert {cell.role for cell in sheet.cells} == {"", "numbers", "answer", "verdict", "explain"}
    assert [question.possible for question in sheet.questions()] == [2, 2, 1, 2]  # 7, as its title says


@pytest.mark.parametrize(("number", "title", "words"), [
    ("14", "Mine", "the number is '14'; allowed: 15 to 99"), ("7", "Mine", "allowed: 15 to 99"),
    ("16", " ?! ", "the title is ' \\?! '; give it a few words"), ("15", "Again", "has that number already"),
])
def test_unfit_number_or_title_is_refused(example, number, title, words):
    with pytest.raises(InputError, match=words):
        new_exercise(example.parents[1], number, title)


def test_check_says_in_sentences_what_to_mend(example, capsys):
    """Each fault that the check is for, all in one exercise; then it is not derived."""
    folder = str(example.parents[1])
    changed(example, {"q1-verdict": 'print(f"{rate / 1000:.12g} N/mm")',
                      "q2-verdict": 'print(f"{load_at(stroke):.1g} N")', "q3-answer": 'choice = "d"'},
            {"q2-verdict": {"between": [500.0, 900.0]}})
    assert main(["exercise", "check", "15", "--folder", folder]) == 1
    out = capsys.readouterr().out
    assert "row 0, question 'q1' lies near a rounding edge" in out and "but rounded" in out
    assert "verdict 'q2-verdict': its result lies between [500.0, 900.0], and practice comes to 1e+02 N" in out
    assert "question 'q3': the right letter is 'd', its options are a, b, c" in out and "3 to mend." in out
    assert main(["derive", "15", "--folder", folder]) == 1
    assert not (example.parents[1] / "exercises").exists()
    changed(example, {"q1-verdict": 'print(f"{rate / 1000:.3g} N/mm")', "q3-answer": 'choice = "b"'},
            {"q2-verdict": {"between": [1.0, 900.0]}})
    capsys.readouterr()
    assert main(["exercise", "check", "15", "--folder", folder]) == 1
    out = capsys.readouterr().out
    assert "question 'q2': " in out and "different results; widen its numbers, or print more digits" in out


RANGES = [["name", "practice", "from", "to", "step", "values", "comment"],
          ["load", "250", "100", "400", "10", "", "N"], ["shortened", "50,5", "30", "80,5", "0.5", "", "mm"],
          ["stroke", "30", "", "", "", "20 30 40", ""]]


def test_ranges_from_a_table(example):
    assert number_table.take_table(example, "q1-numbers", RANGES) == "3 numbers, drawn"
    cell = loading.solution(example).with_role("numbers")[0]
    assert cell.source == "load = 250  # N\nshortened = 50.5  # mm\nstroke = 30"
    assert cell.facts["drawn"] == {"load": [100, 400, 10], "shortened": [30, 80.5, 0.5], "stroke": {"of": [20, 30, 40]}}


def test_rows_from_a_table(example):
    rows = [["load", "shortened", "stroke"], *([str(200 + 5 * k), "50", str(30 + k)] for k in range(13))]
    assert number_table.take_table(example, "q1-numbers", rows) == "3 numbers, 13 rows"
    cell = loading.solution(example).with_role("numbers")[0]
    assert cell.source.startswith("load = 200  # N, on the spring\n") and cell.facts["rows"][12] == [260, 50, 42]


@pytest.mark.parametrize(("table", "words"), [
    ([], "has a head and no lines"), ([["name"]], "has a head and no lines"),
    ([["name", "form"], ["x", "1"]], "a column 'form'; known: name, practice"),
    ([*RANGES[:1], ["2x", "1", "1", "2", "1", "", ""]], "line 2: the name is '2x'"),
    ([*RANGES[:2], ["x", "one", "1", "2", "1", "", ""]], "line 3: 'one' is no number"),
    ([["load", "mass"], ["1", "2"]], "does not assign mass"),
    ([["load"], ["1"], ["1", "2"]], "line 3 has 2 numbers; the head names 1"),
])
def test_unfit_table_is_refused_and_changes_nothing(example, table, words):
    before = example.read_bytes()
    with pytest.raises(InputError, match=words):
        number_table.take_table(example, "q1-numbers", table)
    with pytest.raises(InputError, match="has no numbers cell 'q9'; it has: q1-numbers"):
        number_table.take_table(example, "q9", table)
    assert example.read_bytes() == before
