"""A small exercise of the tests' own, made here and derived once a session."""

import json

import pytest

from suspedu.coursework.authoring import derive, record
from suspedu.coursework.exercise import hygiene, loading, places

ROWS = [[4.5, 9.0, 120], [4.4, 9.5, 130], [4.6, 8.0, 110], [4.7, 9.0, 140], [4.8, 10.0, 125], [4.9, 11.0, 135],
        [5.0, 10.5, 115], [4.2, 7.5, 105], [4.3, 8.0, 145], [5.1, 12.0, 150], [5.2, 12.5, 155], [5.3, 13.0, 160],
        [4.1, 6.5, 100]]
RATE = "rate = 79.3e9 * (wire / {}) ** 4 / (8 * {}**3 * turns)  # N/m"
FORCE = 'def spring_force(stroke):\n    """Force [N]."""\n    return {}'
NUMBERS = "wire = 4.5  # mm, diameter of the wire\nturns = 9.0  # active turns\nstroke = 120  # mm"
VERDICT = {"role": "verdict", "question": "q1", "points": 2, "title": "Rate from wire"}
CELLS = [
    ("title", "# Exercise 90: a demo", {"role": "front", "kind": "markdown"}),
    ("setup", "import math", {}),
    ("numbers", NUMBERS, {"role": "numbers", "names": ["wire", "turns", "stroke"], "rows": ROWS}),
    ("q1-text", "## 1. Rate", None),
    ("q1-answer", RATE.format(1000, 0.033),
     {"role": "answer", "question": "q1", "blank": "rate = ...  # N/m\n",
      "slips": [{"answer": RATE.format(1, 33), "hint": "Is every length in metres?"},
                {"answer": RATE.format(2000, 0.033), "hint": "The formula takes the diameter, not the radius."}]}),
    ("q1-verdict", 'print(f"{rate / 1000:.3g} N/mm")', VERDICT),
    ("q2-answer", FORCE.format("rate * stroke"),
     {"role": "answer", "question": "q2", "blank": FORCE.format("..."),
      "slips": [{"answer": FORCE.format("rate * stroke / 2"), "hint": "That is half of it."}]}),
    ("q2-verdict", 'print(f"{spring_force(stroke / 1000):.3g} N")',
     VERDICT | {"question": "q2", "points": 3, "title": "Force over stroke"}),
    ("q3-text", "## 3. What does preload change?\n\n- **a** The rate.\n- **b** The force.", None),
    ("q3-answer", 'choice = "b"',
     {"role": "answer", "question": "q3", "blank": 'choice = ...  # "a" or "b"',
      "slips": [{"answer": "choice = 'a'", "hint": "The slope of the curve stays."}]}),
    ("q3-verdict", "print(str(choice).strip().lower())",
     VERDICT | {"question": "q3", "points": 1, "title": "What preload changes", "choice": True}),
    ("reasoning", "Worked in full: only for the solution.", {"role": "solution", "kind": "markdown"}),
    ("q4-answer", "The force moves, the rate stays.",
     {"role": "explain", "question": "q4", "points": 2, "title": "In words", "kind": "markdown",
      "rubric": ["1 point: the force moves", "1 point: the rate stays"]}),
    ("tool", 'from suspedu.show import selfcheck\n\nselfcheck.selfmark("90")', {"role": "tool"}),
]


def notebook(changes=None, facts=None):
    """The solution's notebook as JSON, with other sources or facts by cell id."""
    cells = []
    for identity, source, own in CELLS:
        own = dict(own or {}) | (facts or {}).get(identity, {}) if own is not None else None
        kind = "markdown" if own is None else own.pop("kind", "code")
        cell = {"cell_type": kind, "id": identity, "metadata": {"suspedu": own} if own else {},
                "source": (changes or {}).get(identity, source)}
        cells.append(cell | ({"execution_count": None, "outputs": []} if kind == "code" else {}))
    return {"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}


@pytest.fixture(scope="session")
def make_notebook():
    return notebook


@pytest.fixture(scope="session")
def course(tmp_path_factory):
    """A folder with solutions/90_demo.ipynb, recorded, and exercises/90_demo.ipynb, derived from it."""
    root = tmp_path_factory.mktemp("course")
    (root / "solutions").mkdir()
    path = root / "solutions" / "90_demo.ipynb"
    path.write_bytes(hygiene.written(notebook()))
    record.record([path])
    derive.derive(path)
    return root


@pytest.fixture
def in_course(course, monkeypatch):
    """The demo course in place of the real one."""
    monkeypatch.setattr(places, "course_folder", lambda: course)
    return course


@pytest.fixture
def solution(course):
    return loading.solution(course / "solutions" / "90_demo.ipynb")


@pytest.fixture
def pristine(course):
    return loading.exercise(course / "exercises" / "90_demo.ipynb")


@pytest.fixture
def fill(course, tmp_path):
    """A returned file: the exercise with some answers, by cell id without the '-answer'."""
    def filled(answers=None, change=None):
        book = json.loads((course / "exercises" / "90_demo.ipynb").read_text(encoding="utf-8"))
        for cell in book["cells"]:
            cell["source"] = (answers or {}).get(cell["id"].removesuffix("-answer"), cell["source"])
        book = change(book) or book if change else book
        path = tmp_path / "90_demo.ipynb"
        path.write_text(json.dumps(book), encoding="utf-8")
        return path
    return filled
