"""An exercise of one's own: a first example that passes, numbers from a small table, a check in plain sentences."""

import base64
import json
import re
import shutil

import pytest

from suspedu.cli import main
from suspedu.coursework.authoring import check, derive, number_table
from suspedu.coursework.authoring.new_exercise import new_exercise
from suspedu.coursework.authoring.omissions import omissions
from suspedu.coursework.desk import desk, handout, own_numbers
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.exercise import draws, hygiene, loading, places, reader, selfmark
from suspedu.coursework.exercise.carried import to_carry
from suspedu.coursework.exercise.hidden_choice import HiddenChoice
from suspedu.coursework.exercise.sealed import unseal
from suspedu.show import selfcheck
from suspedu.units import InputError


@pytest.fixture
def example(tmp_path):
    return new_exercise(tmp_path, "20", "Springs side by side")


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
    assert example.name == "20_springs_side_by_side.ipynb" and draws.is_drawn(sheet)
    assert {cell.role for cell in sheet.cells} == {"", "front", "numbers", "answer", "verdict", "explain", "tool"}
    assert [question.possible for question in sheet.questions()] == [2, 2, 1, 2]


@pytest.mark.parametrize(("title", "name"), [
    ("Öl", "21_oel.ipynb"), ("O\u0308l", "21_oel.ipynb"), ("ÖLMASS über Öl", "21_oelmass_ueber_oel.ipynb"),
    ("Größe 2", "21_groesse_2.ipynb"), ("Amorti d'été, señor", "21_amorti_d_ete_senor.ipynb"),
    ("Źródło", "21_zrodlo.ipynb"), ("Fjær på øst", "21_fjaer_paa_oest.ipynb")])
def test_letters_of_a_title_come_out_in_the_files_name(example, title, name):
    path = new_exercise(example.parents[1], "21", title)
    assert path.name == name and loading.solution(path).cells[0].source.startswith(f"# Exercise 21: {title}\n")


@pytest.mark.parametrize(("number", "title", "words"), [
    ("19", "Mine", "the number is '19'; allowed: 20 to 99"), ("7", "Mine", "allowed: 20 to 99"),
    ("21", " ?! ", "the title is ' \\?! '; give it a few words"),
    ("21", "Пружина", "a few words in Latin letters"), ("20", "Again", "has that number already"),
])
def test_unfit_number_or_title_is_refused(example, number, title, words):
    with pytest.raises(InputError, match=words):
        new_exercise(example.parents[1], number, title)


def test_check_says_in_sentences_what_to_mend(example, capsys):
    """Each fault that the check is for, all in one exercise; then it is not derived."""
    folder = str(example.parents[1])
    changed(example, {"a-value-verdict": 'print(f"{rate / 1000:.12g} N/mm")',
                      "a-function-verdict": 'print(f"{load_at(stroke):.1g} N")', "a-choice-answer": 'choice = "d"'},
            {"a-function-verdict": {"between": [500.0, 900.0]}})
    assert main(["exercise", "check", "20", "--folder", folder]) == 1
    out = capsys.readouterr().out
    assert "row 0, question 'a-value' lies near a rounding edge" in out and "but rounded" in out
    assert "verdict 'a-function-verdict': its result lies between [500.0, 900.0], and practice comes to 1e+02 N" in out
    assert "question 'a-choice': the right letter is 'd', its options are a, b, c" in out and "3 to mend." in out
    assert main(["derive", "20", "--folder", folder]) == 1
    assert not (example.parents[1] / "exercises").exists()
    changed(example, {"a-value-verdict": 'print(f"{rate / 1000:.3g} N/mm")', "a-choice-answer": 'choice = "b"'},
            {"a-function-verdict": {"between": [1.0, 900.0]}})
    capsys.readouterr()
    assert main(["exercise", "check", "20", "--folder", folder]) == 1
    out = capsys.readouterr().out
    assert "question 'a-function': " in out and "different results; widen its numbers, or print more digits" in out


RANGES = [["name", "practice", "from", "to", "step", "values", "comment"],
          ["load", "250", "100", "400", "10", "", "N"], ["shortened", "50,5", "30", "80,5", "0.5", "", "mm"],
          ["stroke", "30", "", "", "", "20 30 40", ""]]


def test_ranges_from_a_table(example):
    assert number_table.take_table(example, "a-value-numbers", RANGES) == "3 numbers, drawn"
    cell = loading.solution(example).with_role("numbers")[0]
    assert cell.source == "load = 250  # N\nshortened = 50.5  # mm\nstroke = 30"
    assert cell.facts["drawn"] == {"load": [100, 400, 10], "shortened": [30, 80.5, 0.5], "stroke": {"of": [20, 30, 40]}}


def test_rows_from_a_table(example):
    rows = [["load", "shortened", "stroke"], *([str(200 + 5 * k), "50", str(30 + k)] for k in range(13))]
    assert number_table.take_table(example, "a-value-numbers", rows) == "3 numbers, 13 rows"
    cell = loading.solution(example).with_role("numbers")[0]
    assert number_table.take_table(example, "a-value-numbers", [["load"], ["200"]]) == "1 number, 1 row"
    assert number_table.take_table(example, "a-value-numbers", RANGES[:2]) == "1 number, drawn"
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
        number_table.take_table(example, "a-value-numbers", table)
    with pytest.raises(InputError, match="has no numbers cell 'q9'; it has: a-value-numbers"):
        number_table.take_table(example, "q9", table)
    assert example.read_bytes() == before


@pytest.fixture(scope="module")
def copies(tmp_path_factory):
    """The example, derived as it is and handed out to two students: their copies, and their own expected prints."""
    folder = tmp_path_factory.mktemp("own")
    path = new_exercise(folder, "20", "Springs side by side")
    derive.derive(path)
    found, place = desk.materials(["20"], folder / "solutions"), desk.Desk(folder / "desk")
    handout.hand_out(place, [Student("11"), Student("12")], found)
    with place.record() as record:
        material, given = found[path.stem], own_numbers.lots(record, found)
        prints = own_numbers.known_prints(record, material, [given[s, path.stem] for s in ("11", "12")])
    return [place.handed_out / s / path.name for s in ("11", "12")], prints, material


def filled(copy, folder, **answers):
    """A student's copy with answers, saved in a folder of theirs where nothing else of that course lies."""
    mine = folder / "20 mine.ipynb"
    shutil.copy(copy, mine)
    changed(mine, {f"{question}-answer": source for question, source in answers.items()})
    return mine


def test_student_checks_a_copy_of_it_with_the_button(copies, tmp_path):
    """Practice numbers, blanks and the letters in the copy's own order all come from the copy itself."""
    (copy, _), _, material = copies
    right = {cell.question: cell.source for cell in material.solution.with_role("answer")}
    mine = filled(copy, tmp_path, **{"a-value": right["a-value"], "a-function": "def load_at(x):\n    return load * x",
                                     "a-choice": f'choice = "{own_letter(copy, material.pristine, "b")}"'})
    widget = selfcheck.selfmark("20")
    widget.folder = tmp_path
    widget.check("any/where/20 mine.ipynb")
    widget.wait()
    assert re.findall(r"<strong>(.*?)</strong>", widget.verdicts.value) == ["right", "wrong", "right",
                                                                            "not answered yet"]
    assert "By how much does each millimetre raise the load?" in widget.verdicts.value
    assert f"3 of 5 points with the practice numbers; 2 points: words not written yet. Marked: &#x27;{mine.name}" in (
        widget.status.value)


def own_letter(copy, pristine, letter):
    """The letter that stands in a copy before the option that the exercise has under this one."""
    before, own = ("".join(c.source for c in sheet.cells if c.id == "a-choice-text")
                   for sheet in (pristine, reader.read_sheet(copy)))
    option = re.search(rf"\*\*{letter}\*\* (.*)", before)[1]
    return re.search(rf"\*\*(.)\*\* {re.escape(option)}", own)[1]


def test_copy_of_it_holds_no_result_of_its_student_and_no_letter(copies):
    """Not even in what it carries, unpacked; what is under seal is of practice, and of a letter only its hash."""
    for copy, prints in zip(*copies[:2], strict=True):
        carried = base64.b64decode(reader.own_facts(copy)["pristine"]).decode()
        inside = [json.dumps(unseal(cell.facts["sealed"]).kept() if cell.question != "a-choice" else None)
                  for cell in reader.sheet_of(carried.encode(), "carried").with_role("verdict")]
        for text in (copy.read_text(encoding="utf-8"), carried, *inside):
            assert not any(prints[question].print.split()[0] in text for question in ("a-value", "a-function"))
        for sheet in (reader.read_sheet(copy), reader.sheet_of(carried.encode(), "carried")):
            choice = unseal(sheet.with_role("verdict")[2].facts["sealed"])
            assert isinstance(choice, HiddenChoice) and len(choice.right) == 32
        assert "Each of the two springs" not in carried  # the model answer


@pytest.mark.parametrize("text", ["?", 7, [], "e30=", base64.b64encode(b'{"cells": [], "metadata": {"suspedu": '
                                                                        b'{"exercise": "16_x"}}}').decode()])
def test_damage_in_what_is_carried_is_a_sentence(copies, tmp_path, text):
    mine = filled(copies[0][0], tmp_path)
    book = json.loads(mine.read_text(encoding="utf-8"))
    book["metadata"]["suspedu"]["pristine"] = text
    mine.write_text(json.dumps(book), encoding="utf-8")
    with pytest.raises(InputError, match=r"'20 mine\.ipynb' is damaged where it carries its exercise .* a fresh copy"):
        selfmark.task_of(mine)


def test_copies_of_the_courses_own_exercises_carry_nothing():
    folder = places.exercises_folder()
    assert [to_carry(path) for path in sorted(folder.glob("*.ipynb"))[:3]] == [{}] * 3


def test_the_example_and_the_courses_own_exercises_lack_nothing(example):
    assert not omissions(loading.solution(example))
    assert {path.name: omissions(loading.solution(path)) for path in places.solutions_folder().glob("*.ipynb")} == {
        path.name: [] for path in places.solutions_folder().glob("*.ipynb")}


@pytest.mark.parametrize(("sources", "facts", "words"), [
    ({}, {"a-value-answer": {"blank": "rate = load / (shortened / 1000)  # the rate ..."}},
     "cell 'a-value-answer': its blank sets nothing to '...'"),
    ({"a-choice-text": "## 3. A choice\n\nWhat becomes of the shortening?"}, {},
     "question 'a-choice' is a choice and lists no options"),
    ({}, {"in-words-answer": {"rubric": ["3 points: the load is shared", "2 points: in proportion"]}},
     "question 'in-words': its rubric gives 5 points in all, and the question 2"),
    ({}, {"in-words-answer": {"rubric": []}}, "question 'in-words' has no rubric"),
    ({}, {"in-words-answer": {"rubric": ["the load is shared"]}}, "'the load is shared' does not say how many points"),
])
def test_what_an_exercise_lacks_is_to_be_mended(example, capsys, sources, facts, words):
    changed(example, sources, facts)
    assert [words in said for said in omissions(loading.solution(example))] == [True]


def test_the_check_and_derive_tell_what_is_missing(example, capsys):
    """Two cells of one id and no title, as a notebook is after a careless copy; nothing is derived of it."""
    book = json.loads(example.read_text(encoding="utf-8"))
    book["cells"] = [*book["cells"][1:], book["cells"][1]]
    example.write_text(json.dumps(book), encoding="utf-8")
    folder = str(example.parents[1])
    assert main(["exercise", "check", "20", "--folder", folder]) == 1
    out = capsys.readouterr().out
    assert "- to mend: 2 cells have the id 'setup', and answers are found by it" in out
    assert "- to mend: there is no title cell" in out and "2 to mend." in out
    assert main(["derive", "20", "--folder", folder]) == 1
    assert not derive.exercise_file(example).exists()


def test_an_exercise_that_is_out_of_date_is_called_so(example, monkeypatch, capsys):
    monkeypatch.setattr(check, "check", lambda path: check.Check(path.stem, False, ()))
    folder = str(example.parents[1])
    command = ["exercise", "check", "20", "--folder", folder]
    assert main(command) == 0
    said = capsys.readouterr().out
    assert f"20_springs_side_by_side: not derived yet: 'suspedu derive 20 --folder {folder}' writes it\n" in said
    derive.exercise_file(example).parent.mkdir()
    derive.exercise_file(example).touch()
    assert main(command) == 0
    said = capsys.readouterr().out
    assert f"20_springs_side_by_side: out of date: 'suspedu derive 20 --folder {folder}' writes it anew\n" in said


def test_hand_out_names_what_is_not_derived_yet(example, capsys):
    listed = example.parents[1] / "class.csv"
    listed.write_text("number\n1\n", encoding="ascii")
    desk_folder = str(listed.parent / "desk")
    assert main(["handout", str(listed), "--desk", desk_folder, "--solutions", str(example.parent)]) == 2
    assert capsys.readouterr().err == (
        "suspedu: exercise '20_springs_side_by_side' is not derived yet; type: suspedu derive 20 --folder "
        f"'{listed.parent}' (or name the exercises that you want)\n")
