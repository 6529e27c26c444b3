"""Design questions, answered otherwise: a right design is right in whatever way its numbers came about."""

import contextlib
import io
from pathlib import Path

import pytest

from suspedu.coursework.exercise import loading, printed_design
from suspedu.coursework.exercise.left_open import set_in
from suspedu.coursework.exercise.task import made_plain
from suspedu.school.designs import DESIGNS

SOLUTIONS = [loading.solution(path) for path in
             sorted((Path(__file__).resolve().parents[2] / "solutions").glob("[0-9][0-9]_*.ipynb"))]
ASKED = {each.name[:2]: (each, cell) for each in SOLUTIONS for cell in each.with_role("verdict")
         if cell.facts.get("property")}
NUMBERS = {  # how a number may have come about
    "as it is": "{name} = {value!r}", "a float": "{name} = float({value!r})",
    "of numpy": "import numpy\n{name} = numpy.float64({value!r})",
    "an array of one": "import numpy\n{name} = numpy.array([{value!r}])",
    "a fraction": "import fractions\n{name} = fractions.Fraction(str({value!r}))",
    "of sympy": "import sympy\n{name} = sympy.Float({value!r}, 17)",
    "of mpmath": "import mpmath\n{name} = mpmath.mpf({value!r})",
    "off by rounding": "{name} = {value!r} * (1 + 1e-12)",
}
SHIMS = {
    "as it is": "{name} = {value!r}", "lists": "{name} = [list(shim) for shim in {value!r}]",
    "of numpy": "import numpy\n{name} = numpy.array({value!r})", "one by one": "{name} = (shim for shim in {value!r})",
    "zipped": "{name} = list(zip(*zip(*{value!r})))", "whole": "{name} = [(int(w), t) for w, t in {value!r}]",
}


def parts(number):
    """The verdict of a design question, what it reads, the names that its answer sets, and the solution's design."""
    solution, verdict = ASKED[number]
    answer = next(cell for cell in solution.with_role("answer") if cell.question == verdict.question)
    design = DESIGNS[verdict.facts["property"]]
    return verdict, design, answer.facts["blank"], printed_design.read_design(shown(verdict), design)


def shown(verdict):
    """What the solution printed when it was recorded."""
    return "".join("".join(out.get("text", "")) for out in RECORDED[verdict.id])


RECORDED = {cell["id"]: cell["outputs"] for each in SOLUTIONS for cell in loading.notebook(
    Path(__file__).resolve().parents[2] / "solutions" / f"{each.name}.ipynb")["cells"] if cell["cell_type"] == "code"}


def printed(verdict, blank, design, values, ways):
    """What a verdict prints where its answer came about in one of these ways."""
    names, said = set_in(blank), io.StringIO()
    assert len(names) == len(design.entries)
    sources = [ways.format(name=name, value=value) for name, value in zip(names, values, strict=True)]
    with contextlib.redirect_stdout(said):
        exec("\n".join([*sources, made_plain(blank), verdict.source]), {})
    return said.getvalue()


def ways_of(design):
    return SHIMS if hasattr(design.entries[0], "thicknesses") else NUMBERS


@pytest.mark.parametrize("number", ASKED)
def test_a_right_design_is_right_however_its_numbers_came_about(number):
    verdict, design, blank, right = parts(number)
    ways = ways_of(design)
    assert len(ways) > 5
    for name, way in ways.items():
        text = printed(verdict, blank, design, right.values(), way)
        assert not printed_design.design_fault(text, design), name
        assert printed_design.read_design(text, design) == right, name


@pytest.mark.parametrize("number", ASKED)
def test_a_right_design_is_right_printed_twice_and_after_other_prints(number):
    """What counts is the last design that is printed, as its verdict prints it."""
    verdict, design, _, right = parts(number)
    text = shown(verdict)
    for again in (text + text, "tried 12 of them\n" + text, text.replace("\n", "  \n")):
        assert printed_design.read_design(again, design) == right


@pytest.mark.parametrize("number", ASKED)
def test_a_design_in_other_units_or_in_words_gets_a_sentence(number):
    verdict, design, blank, right = parts(number)
    if ways_of(design) is SHIMS:
        wrong = [printed(verdict, blank, design, [tuple((wide / 1e3, thick / 1e3) for wide, thick in each)
                                                  for each in right.values()], SHIMS["as it is"])]
    else:
        sized = [entry.name for entry in design.entries if not entry.whole]
        wrong = [printed(verdict, blank, design, [value * factor if name in sized else value
                                                  for name, value in right.items()], NUMBERS["as it is"])
                 for factor in (1e-3, 1e3) if sized]
        wrong.append(shown(verdict).strip().replace("\n", " mm\n", 1) + " clicks\n")
    for text in wrong:
        assert len(printed_design.design_fault(text, design).split()) > 5, text
