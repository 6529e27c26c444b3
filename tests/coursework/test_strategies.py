"""An invented class: who guesses, copies, slips or knows is ranked rightly by the points, question by question.

No kernel runs: answers are evaluated here, as marking would (a print, a letter, or what a design comes to).
"""

import contextlib
import io
import random
from pathlib import Path

import pytest

from suspedu.coursework.exercise import draws, loading, options
from suspedu.coursework.exercise.printed_design import design_fault
from suspedu.coursework.exercise.sheet import LEVELS
from suspedu.coursework.exercise.sought import own_finding
from suspedu.school.designs import DESIGNS
from suspedu.school.designs.design import Number

SOLUTIONS = sorted((Path(__file__).resolve().parents[2] / "solutions").glob("[0-9][0-9]_*.ipynb"))
EXERCISES = [loading.solution(path) for path in SOLUTIONS if path.name[:2] in ("01", "03", "05", "09", "12")]
STUDENTS = 3  # of each strategy, each with numbers of their own
STRATEGIES = ("random", "middle", "copies practice", "one slip", "right")


def prints_of(sheet, answers=None):
    """What each verdict prints, some answers replaced by others; None where something fails."""
    names, found = {}, {}
    for cell in sheet.cells:
        if cell.kind != "code" or cell.role == "tool":
            continue
        source = (answers or {}).get(cell.id, cell.source)
        with contextlib.redirect_stdout(io.StringIO()) as printed:
            try:
                exec(compile(source, cell.id, "exec"), names)
            except Exception:
                found |= {cell.question: None} if cell.role == "verdict" else {}
        if cell.role == "verdict":
            found.setdefault(cell.question, printed.getvalue())
    return found


def guessed(cell, sheet, practice, chance):
    """A print for a question, by somebody who guesses: a letter, a design within its limits, a value near practice."""
    if cell.facts.get("choice"):
        return chance.choice(sorted(options.choices(sheet)[cell.question][1])) + "\n"
    if cell.facts.get("property"):
        entries = DESIGNS[cell.facts["property"]].entries
        if not all(isinstance(entry, Number) for entry in entries):
            return practice
        ends = [(entry, entry.low + chance.random() * (entry.high - entry.low)) for entry in entries]
        return "".join(f"{entry.name}: {round(value) if entry.whole else round(value, 2)}\n" for entry, value in ends)
    return f"{chance.uniform(0.3, 3.0):.4g} {practice.split(maxsplit=1)[-1]}"


class Middle(random.Random):
    """Always the middle."""

    def random(self):
        return 0.5

    def choice(self, seq):
        return seq[len(seq) // 2]


def earned(strategy, solution, number):
    """Points by level of one student with numbers of their own, and points possible."""
    own = draws.with_numbers(solution, draws.drawn(b"a class", f"{strategy} {number}", solution, 0))
    practice, right = prints_of(solution), prints_of(own)
    chance = Middle() if strategy == "middle" else random.Random(f"{strategy} {number}")
    found = dict(right)
    if strategy in ("random", "middle"):
        found = {cell.question: guessed(cell, solution, practice[cell.question], chance)
                 for cell in solution.with_role("verdict")}
    elif strategy == "copies practice":
        found = {cell.question: guessed(cell, solution, "", chance) if cell.facts.get("choice") else
                 practice[cell.question] for cell in solution.with_role("verdict")}
    elif strategy == "one slip":
        cell = chance.choice([c for c in own.with_role("answer") if c.facts["slips"]])
        slipped = prints_of(own, {cell.id: chance.choice(cell.facts["slips"])["answer"]})
        found |= {cell.question: slipped[cell.question]}
    points = {}
    for cell in own.with_role("verdict"):
        printed = found[cell.question]
        if cell.facts.get("property"):
            met = printed is not None and own_finding(cell, own, printed).met
        else:
            met = printed is not None and printed == right[cell.question]
        got, of = points.get(cell.facts["level"], (0, 0))
        points[cell.facts["level"]] = got + met * cell.facts["points"], of + cell.facts["points"]
    return points


@pytest.fixture(scope="module")
def shares():
    """Share of the points by strategy and level, over a class."""
    found = {}
    for strategy in STRATEGIES:
        sums = {level: [0, 0] for level in LEVELS}
        for solution in EXERCISES:
            for number in range(STUDENTS):
                for level, (got, of) in earned(strategy, solution, number).items():
                    sums[level][0] += got
                    sums[level][1] += of
        found[strategy] = {level: got / of for level, (got, of) in sums.items()}
    return found


def test_the_class_is_ranked_by_what_it_knows(shares):
    totals = {strategy: sum(levels.values()) for strategy, levels in shares.items()}
    assert all(totals[weak] < 0.5 * totals["one slip"] for weak in ("random", "middle", "copies practice")), shares
    assert totals["one slip"] < totals["right"] == len(LEVELS)


def test_at_the_hard_level_only_who_can_do_it_earns(shares):
    assert shares["right"]["hard"] == 1.0 and shares["one slip"]["hard"] >= 0.6
    assert all(shares[weak]["hard"] <= 0.1 for weak in ("random", "middle", "copies practice")), shares


def test_guessing_earns_less_the_harder_the_level(shares):
    for strategy in ("random", "middle", "copies practice"):
        assert shares[strategy]["hard"] <= shares[strategy]["standard"] + 0.1
        assert shares[strategy]["standard"] <= shares[strategy]["basic"], shares


def test_guesses_are_designs_that_could_be_built():
    solution = next(each for each in EXERCISES if each.name.startswith("05"))
    cell = next(c for c in solution.with_role("verdict") if c.facts.get("property"))
    assert design_fault(guessed(cell, solution, "", random.Random(1)), DESIGNS[cell.facts["property"]]) == ""
