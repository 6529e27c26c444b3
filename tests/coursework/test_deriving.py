"""Exercises come from solutions, the same bytes each time, without a trace of what they should not hold."""

import base64
import json

import pytest

from suspedu.cli import main
from suspedu.coursework.authoring import derive, record
from suspedu.coursework.exercise import hygiene, places, soundness
from suspedu.coursework.exercise.sealed import sealed
from suspedu.units import InputError


def test_exercise_holds_blanks_and_no_solution(course, pristine):
    text = (course / "exercises" / "90_demo.ipynb").read_text(encoding="utf-8")
    assert "79.3e9" not in text and "diameter, not" not in text and "12.6 N/mm" not in text
    assert "rows" not in text and "Worked in full" not in text and "slips" not in text
    assert pristine.with_role("answer")[0].source == "rate = ...  # N/m"
    assert pristine.name == "90_demo"


def test_practice_prints_are_those_of_the_solution(pristine):
    found = sealed(pristine)
    assert {q: e.print for q, e in found.items()} == {"q1": "12.6 N/mm\n", "q2": "1.51e+03 N\n", "q3": None}
    assert found["q1"].hint_for("0.785 N/mm\n") == "The formula takes the diameter, not the radius."
    assert [found["q3"].holds(letter) for letter in ("a\n", "b\n", "(b)\n", "c\n", "\n", "")] == [
        False, True, True, False, False, False]
    assert found["q3"].hint_for("a\n") == "The slope of the curve stays."


def test_the_letter_of_a_choice_stands_nowhere_in_the_file(pristine):
    """Not even for who undoes the coding: beside hints there are hashes only, another for each exercise."""
    facts = next(cell.facts for cell in pristine.with_role("verdict") if cell.facts.get("choice"))
    kind, salt, right, slips = json.loads(base64.b64decode(facts["sealed"]))
    assert (kind, salt) == ("choice", "90_demo q3")
    assert all(len(each) == 32 and int(each, 16) >= 0 for each in (right, slips[0][0]))


def test_practice_print_by_hand():
    """12.6 N/mm is not only what the solution says: the rate formula of EN 13906-1, worked here in N and mm."""
    assert f"{79300 * 4.5**4 / (8 * 33**3 * 9):.3g}" == "12.6"


def test_deriving_again_changes_no_byte(course):
    solution, before = course / "solutions" / "90_demo.ipynb", (course / "exercises" / "90_demo.ipynb").read_bytes()
    assert not derive.derive(solution)
    assert derive.derived(solution) == before == (course / "exercises" / "90_demo.ipynb").read_bytes()


def test_check_finds_a_stale_exercise_and_changes_nothing(course, monkeypatch, capsys):
    monkeypatch.setattr(places, "solutions_folder", lambda: course / "solutions")
    path = course / "exercises" / "90_demo.ipynb"
    good = path.read_bytes()
    assert main(["derive", "--check"]) == 0  # sound, too: a fault would be an exit code of 1 and a line of its own
    assert capsys.readouterr().out == "90_demo: as derived\n"
    path.write_bytes(good.replace(b"Rate", b"Rote"))
    assert main(["derive", "90", "--check"]) == 1
    assert capsys.readouterr().out == "90_demo: differs from its solution\n" and path.read_bytes() != good
    assert main(["derive", "90"]) == 0
    assert capsys.readouterr().out == "90_demo: written\n" and path.read_bytes() == good


def test_check_finds_what_is_unsound_in_several_solutions(make_notebook, tmp_path, monkeypatch, capsys):
    """One that shows how it was worked, one that does not run: each is told in its own sentences, the others go on."""
    kinds = {"90_shows": {"q1-verdict": 'print(f"{rate / 1000:.3g}", type(rate))'}, "91_fails": {"q1-answer": "1 / 0"}}
    (tmp_path / "solutions").mkdir()
    for name, changes in kinds.items():
        (tmp_path / "solutions" / f"{name}.ipynb").write_bytes(hygiene.written(make_notebook(changes)))
    monkeypatch.setattr(places, "solutions_folder", lambda: tmp_path / "solutions")
    assert main(["derive", "--check"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "90_shows: differs from its solution" and "91_fails: cannot be derived" in lines
    assert any("row 3, question 'q1' lies near a rounding edge" in line and "in numpy" in line for line in lines)
    assert any(line.startswith("- solution '91_fails', row 0, cell 'q1-answer' fails: ") and "ZeroDivisionError" in line
               for line in lines)
    assert not (tmp_path / "exercises").exists()


SLIP = {"answer": "rate = 12600.0", "hint": "h"}
UNFIT = {
    "no blank": ({"q1-answer": {"blank": ""}}, "has no 'blank'"),
    "unknown role": ({"q1-answer": {"role": "anser"}}, "did you mean 'answer'"),
    "no title": ({"q1-verdict": {"title": ""}}, "has no 'title'"),
    "points": ({"q1-verdict": {"points": 0}}, "gives 0 points; allowed: a whole number from 1 to 20"),
    "question twice": ({"q3-verdict": {"question": "q1"}}, "asks question q1 twice"),
    "no answer": ({"q1-answer": {"question": "q9"}}, "no answer cell of that question comes before"),
    "slip is right": ({"q1-answer": {"slips": [SLIP]}}, "prints the right value"),
    "slip fails": ({"q1-answer": {"slips": [SLIP | {"answer": "rate = nothing"}]}}, "prints nothing.*NameError"),
}


@pytest.mark.parametrize("kind", UNFIT)
def test_unfit_solution_is_refused_in_one_sentence(make_notebook, tmp_path, kind):
    facts, words = UNFIT[kind]
    path = tmp_path / "90_demo.ipynb"
    path.write_bytes(hygiene.written(make_notebook(facts=facts)))
    with pytest.raises(InputError, match=words) as caught:
        derive.derived(path)
    assert "\n" not in str(caught.value)


def test_recording_is_stable_and_its_own_check(course):
    path = course / "solutions" / "90_demo.ipynb"
    assert record.record([path]) == 0
    assert record.differences([path]) == []
    stale = course / "90_stale.ipynb"
    stale.write_bytes(path.read_bytes().replace(b"12.6 N/mm", b"12.7 N/mm"))
    assert record.differences([stale]) == ["90_stale.ipynb, cell 'q1-verdict': it prints something else: "
                                            "'12.6 N/mm' in place of '12.7 N/mm'"]


RECORDED = """
import json
from IPython.display import display, HTML
class Both:
    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/plain": "words", "image/png": "iVBORw0KGgo=", "text/html": "<b>x</b>",
                "application/vnd.jupyter.widget-view+json": {"model_id": "abc"}}
display(Both())
print("a"); print("b")
Both()
"""


def test_only_text_and_stills_are_kept(make_notebook, tmp_path):
    path = tmp_path / "90_demo.ipynb"
    path.write_bytes(hygiene.written(make_notebook({"setup": RECORDED})))
    record.record([path])
    cell = next(c for c in json.loads(path.read_text(encoding="utf-8"))["cells"] if c["id"] == "setup")
    data = {"text/plain": ["words"], "image/png": "iVBORw0KGgo="}
    assert cell["outputs"] == [{"output_type": "display_data", "data": data, "metadata": {}},
                               {"output_type": "stream", "name": "stdout", "text": ["a\n", "b\n"]},
                               {"output_type": "execute_result", "data": data, "metadata": {}, "execution_count": 1}]
    assert record.differences([path]) == []


@pytest.mark.parametrize(("source", "words"), [
    ("import sys; print('x', file=sys.stderr)", "writes on stderr"),
    ("1 / 0", "ZeroDivisionError"),
    ("object()", "differs each time"),
])
def test_recording_refuses_what_git_must_not_keep(make_notebook, tmp_path, source, words):
    path = tmp_path / "90_demo.ipynb"
    path.write_bytes(hygiene.written(make_notebook({"setup": source})))
    before = path.read_bytes()
    with pytest.raises(InputError, match=f"'90_demo.ipynb', cell 'setup'.*{words}"):
        record.record([path])
    assert path.read_bytes() == before


def test_unsound_verdicts_are_found(solution):
    unsound = {"q1-verdict": 'print(f"{rate:.12g} N/m")',  # more digits than a rounding in between leaves
               "q2-verdict": 'print(round(spring_force(stroke / 1000) / 1e9, 1), stroke > 0)',
               "q3-verdict": "print(choice, -0.0)"}
    found = soundness.faults(solution.with_sources(unsound).with_facts("q2-answer", slips=[]))
    edges = [fault for fault in found if "lies near a rounding edge" in fault]
    assert len(edges) >= 13 and all("question 'q1'" in fault for fault in edges)
    assert sum("'b -0.0\\n', which is not a plain value" in fault for fault in found) == 13
    assert found[-1].endswith("question 'q2': the practice result '0.0 True\\n' is right for 12 of 12 other rows; "
                              "spread the rows or print more digits")


def test_a_print_that_shows_the_way_of_working_is_found(solution):
    """A list shows its numbers as numpy's own or as Python's: whoever worked in numpy would be marked wrong."""
    found = soundness.faults(solution.with_sources({"q1-verdict": "print([float(f'{rate:.3g}') * (rate / rate)])"}))
    assert len(found) == 13 and all("question 'q1'" in fault and "but in numpy" in fault for fault in found)
