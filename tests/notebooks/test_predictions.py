"""Predictions of the lessons: three or four answers, and nothing in their order or length that tells the right one."""

import ast
import json
import re
from collections import Counter
from pathlib import Path

import pytest

LESSONS = sorted((Path(__file__).resolve().parents[2] / "lessons").glob("*.ipynb"))
KEY = {  # how the right answer begins
    "00-standing": "a few centimetres", "00-parts": "the coils and the air", "00-work": "about 70 cm",
    "00-ride": "deeper down", "01-preload": "it moves up", "01-heavier": "a stiffer spring", "01-alone": "nothing yet",
    "01-brakes": "more than twice",
    "02-where": "mostly in the last third", "02-hot": "it stands a little higher", "03-label": "about a factor of two",
    "03-walls": "stays nearly", "03-thicker": "more, most of all", "03-fade": "after some laps",
    "04-thick": "eight times", "04-taper": "the face shim", "04-crossover": "soft first",
    "04-everywhere": "it rises at speed",
    "05-holes": "many hundred", "05-equal": "by a lot at slow", "05-fast": "11 km/h", "05-click": "one between",
    "06-float": "nothing when slow", "06-more": "more force, and a void", "06-air": "comes late",
    "06-cure": "tears sooner",
    "07-why": "half as strong again", "07-wheel": "just about to", "07-packing": "moves down", "08-small": "not at all",
    "08-lap": "only from 2.5 m", "08-refill": "grows about sixteenfold", "09-edge": "4 to 5 m/s",
    "09-fixed": "stays exactly", "09-light": "both by a twentieth", "09-three": "a small one",
    "09-tyre": "on the square edge and", "10-air": "nearly half", "10-heat": "nearly half", "10-bottom": "about right",
    "10-height": "none of them", "11-harsh": "by less than", "11-long": "after one or two",
    "11-fast": "it works a little",
    "12-dive": "a little under 1 cm", "12-bottom": "about 6 mm", "12-chop": "rebound: out", "12-best": "a whole row",
    "13-first": "count the clickers", "13-sag": "free sag", "13-alike": "the tyre", "13-service": "dragging seals",
    "14-window": "it falls to about a tenth", "14-slow": "the gas", "14-air": "the loop opens",
    "14-twins": "some of them",
    "16-spread": "about 2 %", "16-boxes": "falls to about half", "16-sample": "the lots of 60, by far",
    "16-chain": "wider", "16-rider": "by about one step",
    "15-front": "the dive on", "15-part": "the end stop, and", "15-shims": "that of the rebound valve",
    "desk-late": "Nothing changes", "desk-copy": "No points and no hint",
}  # fmt: skip


def asked(book: dict) -> dict[str, list[str]]:
    """Options of each prediction of a lesson, by its key."""
    calls = (node for cell in book["cells"] if cell["cell_type"] == "code"
             for node in ast.walk(ast.parse("".join(cell["source"]))))
    return {ast.literal_eval(node.args[0]): ast.literal_eval(node.args[2]) for node in calls
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "predict"}


ASKED = {key: options for path in LESSONS for key, options in asked(json.loads(path.read_text("utf-8"))).items()}


def right_place(key: str) -> int:
    hits = [place for place, option in enumerate(ASKED[key]) if option.startswith(KEY[key])]
    assert len(hits) == 1, key
    return hits[0]


def test_each_prediction_has_one_right_answer_of_three_or_four():
    assert ASKED.keys() == KEY.keys()
    assert {len(options) for options in ASKED.values()} <= {3, 4}
    assert all(len(set(options)) == len(options) for options in ASKED.values())
    assert all(right_place(key) >= 0 for key in KEY)


def test_no_place_gives_the_right_answer_away():
    """As written (a reader's own order is shuffled besides): a place holds it no more often than chance allows."""
    places = Counter(right_place(key) for key in KEY)
    share, spread = len(KEY) / 3, (len(KEY) * 2 / 9) ** 0.5
    assert all(abs(places[place] - share) < 2 * spread for place in range(3)), places


@pytest.mark.parametrize("most", [max, min], ids=["the longest", "the shortest"])
def test_length_does_not_give_the_right_answer_away(most):
    """Whoever always takes it does no better than two spreads above chance."""
    hits = sum(ASKED[key][right_place(key)] == most(ASKED[key], key=len) for key in KEY)
    assert hits < len(KEY) / 3 + 2 * (len(KEY) * 2 / 9) ** 0.5


def test_no_explanation_speaks_of_a_place():
    """Places differ from reader to reader."""
    place = re.compile(r"\b(first|second|third|last) answer|answer [abc]\b")
    for path in LESSONS:
        assert not place.findall(path.read_text("utf-8")), path.stem
