"""Exercises as tasks: values that a workshop meets, levels, options, what must be said, a fair key. No kernel runs."""

import re
from collections import Counter
from pathlib import Path

import pytest

from suspedu.coursework.authoring import sampled
from suspedu.coursework.exercise import draws, loading, numbers, options
from suspedu.coursework.exercise.expected import letter_of
from suspedu.coursework.exercise.numbers import literals
from suspedu.coursework.exercise.sheet import LEVELS

SOLUTIONS = [loading.solution(path) for path in
             sorted((Path(__file__).resolve().parents[2] / "solutions").glob("[0-9][0-9]_*.ipynb"))]
SAMPLE = 25  # draws of each exercise

# What a full-size off-road machine has, per leg where it applies, in the unit beside the number (common practice).
RANGES = {
    "wire": (4.0, 5.6), "coil_diameter": (30, 40), "turns": (20, 40), "preload": (0, 15), "travel": (280, 310),
    "free_sag": (19, 45), "tube": (43, 49), "bore": (22, 54), "oil_height": (80, 140), "oil_now": (80, 140),
    "exponent": (1.0, 1.4), "viscosity": (8, 25), "thick_at_40": (8, 25), "density": (815, 870), "clamp": (9, 13),
    "thickness": (0.1, 0.3), "other": (0.1, 0.3), "crossover": (0.1, 0.3), "count": (2, 20), "young": (195, 215),
    "rod": (10, 14), "pitch": (0.03, 0.1), "per_click": (0.03, 0.1), "clicks": (0, 30), "last_click": (16, 30),
    "float_gap": (0.1, 0.8), "float_rate": (0.5, 5), "charge": (1, 3), "rake": (25, 28), "unsprung": (12, 17),
    "wheel": (12, 17), "tyre_rate": (90, 180), "tyre": (90, 180), "rider": (55, 110), "temperature": (20, 80),
    "noon": (40, 80), "hot": (40, 80), "zone": (30, 70), "force": (60, 120), "compression": (250, 420),
    "hole": (0.5, 3.0), "gap": (0.01, 0.1), "machine_number": (1, 9999), "batch_number": (1, 9999),
}  # fmt: skip
SHIMS = {"thickness", "other", "crossover"}
DRAWER = {0.1, 0.15, 0.2, 0.25, 0.3}  # mm
# What follows from several of an exercise's numbers, in N/mm, N or as a share (common practice).
FOLLOWS = {
    "01": {"spring rate": (lambda n: 79.5e3 * n["wire"] ** 4 / (8 * n["coil_diameter"] ** 3 * n["turns"]), 3.5, 5.5),
           "rate for a rider": (lambda n: ((n["load_rider"] - n["load_alone"]) / (n["rider_sag"] - n["free_sag"])
                                           - n["air_slope"]) / 2, 3.5, 5.5)},
    "07": {"rebound over compression": (lambda n: n["rebound"] / n["compression"], 1.5, 2.5)},
    "11": {"rebound of both legs": (lambda n: n["rebound"], 1000, 2400)},
    "13": {"friction of both legs": (lambda n: n["fork_rate"] * (n["from_above"] - n["from_below"]) / 2, 30, 120),
           "spring rate": (lambda n: n["added_load"] / 2 / (n["sag_with_rider"] - n["free_sag"]), 3.5, 5.5)},
}  # fmt: skip


def number_sets(solution):
    """The practice numbers, those of a table and some draws, all cells of an exercise together."""
    cells = solution.with_role("numbers")
    yield {name: value for cell in cells for name, value in literals(cell.source).items()}
    for row in range(numbers.row_count(solution)):
        filled = numbers.with_row(solution, solution, row).with_role("numbers")
        yield {name: value for cell in filled for name, value in literals(cell.source).items()}
    for k in range(SAMPLE):
        yield {name: value for values in draws.drawn(b"ranges", str(k), solution, 0).values()
               for name, value in values.items()}


@pytest.mark.parametrize("solution", SOLUTIONS, ids=lambda each: each.name)
def test_every_value_that_can_be_drawn_is_one_that_a_workshop_meets(solution):
    drawn = {name: draws.values_of(source) for cell in solution.with_role("numbers")
             for name, source in cell.facts["drawn"].items()}
    outside = {name: (min(values), max(values)) for name, values in drawn.items()
               if name in RANGES and not RANGES[name][0] <= min(values) <= max(values) <= RANGES[name][1]}
    assert not outside
    assert drawn.keys() & RANGES.keys()
    assert all(set(drawn[name]) <= DRAWER for name in SHIMS & drawn.keys())


def test_another_sample_holds_other_draws():
    one, other = ([tuple(cell.source for cell in each.with_role("numbers"))
                   for each in sampled.sample(SOLUTIONS[0], first).values()] for first in (0, sampled.SAMPLE))
    assert len(one) == len(other) == sampled.SAMPLE and not set(one) & set(other)


@pytest.mark.parametrize("number", FOLLOWS)
def test_what_follows_from_several_numbers_is_plausible_too(number):
    solution = next(each for each in SOLUTIONS if each.name.startswith(number))
    for what, (law, low, high) in FOLLOWS[number].items():
        found = [law(given) for given in number_sets(solution)]
        assert low <= min(found) <= max(found) <= high, (what, min(found), max(found))


def test_a_spring_of_two_or_of_seven_would_be_noticed():
    law, low, high = FOLLOWS["01"]["spring rate"]
    assert law({"wire": 4.2, "coil_diameter": 37.5, "turns": 34.0}) < low < high < law(
        {"wire": 5.4, "coil_diameter": 33.0, "turns": 31.0})


@pytest.mark.parametrize("solution", SOLUTIONS, ids=lambda each: each.name)
def test_questions_have_levels_and_from_03_on_one_asks_for_a_design(solution):
    asked = solution.with_role("verdict", "explain")
    levels = Counter(cell.facts.get("level") for cell in asked)
    assert set(levels) <= set(LEVELS) and levels["basic"] and levels["standard"]
    designed = [cell for cell in asked if cell.facts.get("property")]
    assert all(cell.facts["level"] == "hard" for cell in designed) and (designed or solution.name[:2] in ("01", "02"))
    assert all(re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", cell.question) and len(cell.question) > 2 for cell in asked)


@pytest.mark.parametrize("solution", SOLUTIONS, ids=lambda each: each.name)
def test_each_choice_has_three_or_four_options_and_a_hint_for_each_wrong_one(solution):
    found = options.choices(solution)
    assert found
    for question, (_, texts) in found.items():
        cell = next(c for c in solution.with_role("answer") if c.question == question)
        hinted = {slip["answer"][-2]: slip["hint"] for slip in cell.facts["slips"]}
        right = cell.source[-2]
        assert 3 <= len(texts) <= 4 and set(hinted) == set(texts) - {right}
        assert all(len(hint.split()) >= 4 for hint in hinted.values()) and len(set(hinted.values())) == len(hinted)


def test_the_key_is_balanced_and_its_options_are_mixed_for_each_student():
    """Of thirteen choices no letter is right more than four times or never; students have orders of their own."""
    right = Counter(cell.source[-2] for each in SOLUTIONS for question in options.choices(each)
                    for cell in each.with_role("answer") if cell.question == question)
    assert set(right) == set("abcd") and max(right.values()) <= 4
    solution = SOLUTIONS[0]
    question, = options.choices(solution)
    where = Counter(options.own_orders(b"secret", str(k), solution)[question]["a"] for k in range(400))
    assert set(where) == set("abcd") and max(where.values()) < 140  # 100 each; 140 is more than four deviations off


@pytest.mark.parametrize("solution", SOLUTIONS, ids=lambda each: each.name)
def test_words_have_a_rubric_whose_points_add_up(solution):
    for cell in solution.with_role("explain"):
        points = [int(line.partition(" point")[0]) for line in cell.facts["rubric"]]
        assert sum(points) == cell.facts["points"] and len(cell.source.split()) > 20


def test_a_letter_is_read_from_the_answer():
    assert letter_of('"b"') == "b"
