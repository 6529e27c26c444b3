"""Which earlier answers are kept when a question is replayed: all that it may need, by the names in the sources."""

import pytest

from suspedu.coursework.exercise.builds_on import ANY, built_on, names_changed, names_used
from suspedu.coursework.exercise.task import Task


def kept(pristine, answers):
    """Questions whose answers are kept for q3."""
    sheet = pristine.with_sources({f"{question}-answer": source for question, source in answers.items()})
    task = Task("a", pristine, sheet, {})
    last = next(question for question in sheet.questions() if question.id == "q3")
    return [cell.question for cell in built_on(task, last)]


FORCE = "def spring_force(s):\n    return rate * s"


@pytest.mark.parametrize("answers, wanted", [
    ({"q1": "rate = 1", "q2": FORCE, "q3": "choice = 'b'"}, []),
    ({"q1": "rate = 1", "q2": FORCE, "q3": "choice = 'b' if rate else 'a'"}, ["q1"]),
    ({"q1": "rate = 1", "q2": FORCE, "q3": "choice = spring_force(1)"}, ["q1", "q2"]),
    ({"q1": "rate = 1", "q2": "def spring_force(s):\n    rate = 2\n    return s", "q3": "choice = spring_force(1)"},
     ["q2"]),
    ({"q1": "import math\nrate = 1", "q2": FORCE, "q3": "choice = math.pi"}, ["q1"]),
    ({"q1": "from math import *\nrate = 1", "q2": FORCE, "q3": "choice = pi"}, ["q1"]),
    ({"q1": "globals()['secret'] = 1", "q2": FORCE, "q3": "choice = secret"}, ["q1"]),
    ({"q1": "x = 1", "q2": FORCE, "q3": "choice = rate"}, ["q1"]),  # q1 was to give it
    ({"q1": "rate = = 1", "q2": FORCE, "q3": "choice = rate"}, ["q1"]),
    ({"q1": "%time rate = 1", "q2": "1", "q3": "choice = rate"}, ["q1"]),
    ({"q1": "stroke.clear()", "q2": "1", "q3": "choice = stroke"}, ["q1"]),
    ({"q1": "math.pi = 3", "q2": "1", "q3": "choice = math.pi"}, ["q1"]),
])
def test_answers_that_are_needed_are_kept(pristine, answers, wanted):
    assert kept(pristine, answers) == wanted


def test_names_of_functions_are_their_own():
    assert names_used("def f(x):\n    y = x + z\n    return y") == {"f", "z"}
    assert names_changed("def f():\n    global rate\n    rate = 1") == {"f", "rate"}
    caught = "try:\n    with open('x') as file: pass\nexcept OSError as fault: pass\nfor k in 'ab': pass"
    assert names_changed(caught) == {"file", "fault", "k"}
    assert names_changed("exec('rate = 1')") == {ANY}
    assert names_changed("rate = 1\0") == {"rate"}
