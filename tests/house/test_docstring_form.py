"""Docstrings alike: one order, formulas as plain text, m3 written one way, examples that show a value."""

import ast
import doctest
import re
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "suspedu"
READ_BY_STUDENTS = "parts damper ride machine school recordings"
ROOMS = f"units.py sources.py numerics.py changes.py files.py {READ_BY_STUDENTS}"
ORDER = ("Parameters", "Returns", "Raises", "Valid for", "Assumes", ">>>", "Source")  # after the sentence and formula
SECTION = re.compile(r"^(Parameters|Returns|Raises|Valid for|Assumes|>>>|Sources?)(?=[: ])(?! *>>>$)")
SECOND_IN_LINE = re.compile(r"\. (Returns|Raises): ")  # "Parameters: index [1]. Returns: factor [1]."
POWER = re.compile(r"\[[^\]\n]*(?:m\^\d|m\*\*\d|[²³])[^\]\n]*\]|\b[cm]?m(?:\^[23]|\*\*[23])(?!\w)|[²³]")
MARKED_FORMULA = re.compile(r"`[^`\n]*(?:[<>]?= |\^)[^`\n]*`")
BARE_TRUTH = re.compile(r"\(?(?:True|False)(?:, (?:True|False))*\)?")


def documented(rooms: str, but_questions: bool = False) -> dict[str, str]:
    """Docstrings of the rooms' modules, classes and functions, by place; maybe without those that answer yes or no."""
    found = {}
    for room in rooms.split():
        for path in [PACKAGE / room] if room.endswith(".py") else sorted((PACKAGE / room).rglob("*.py")):
            place = path.relative_to(PACKAGE).as_posix()
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if path.exists() else ():
                text = ast.get_docstring(node) if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) else ""
                if text and not (but_questions and answers_yes_or_no(node)):
                    found[f"{place}:{node.lineno if hasattr(node, 'name') else 1}"] = text
    return found


def answers_yes_or_no(node: ast.AST) -> bool:
    return isinstance(node, ast.FunctionDef) and node.returns is not None and ast.unparse(node.returns) == "bool"


def sections(text: str) -> list[str]:
    """Names of the parts of a docstring in the order in which they begin, examples in a row counted once."""
    found = []
    for line in text.splitlines():
        names = [hit[1].rstrip("s") if hit[1] == "Sources" else hit[1] for hit in [SECTION.match(line)] if hit]
        names += SECOND_IN_LINE.findall(line) if names else []
        found += [name for name in names if not (name == ">>>" and found[-1:] == [">>>"])]
    return [name for place, name in enumerate(found) if name != "Source" or found[place - 1:place] != ["Source"]]


def prose(text: str) -> str:
    """The docstring without its examples."""
    return "\n".join(line for line in text.splitlines() if not line.startswith((">>>", "...")))


def faults(text: str) -> list[str]:
    """What is not as everywhere, in words."""
    order, found = [ORDER.index(name) for name in sections(text)], []
    if order != sorted(set(order)):
        found.append(f"the order is {sections(text)}; it should be {[ORDER[place] for place in sorted(set(order))]}")
    found += [f"{hit!r}: write m2, m3" for hit in POWER.findall(prose(text))]
    found += [f"{hit}: a formula stands without backticks, which are for names" for hit in MARKED_FORMULA.findall(text)]
    return found


def shows_a_value(text: str) -> bool:
    """Whether one example at least shows more than a truth value (or refuses something with its sentence)."""
    wants = [example.want.strip() for example in doctest.DocTestParser().get_examples(text) if example.want]
    return not wants or any(not BARE_TRUTH.fullmatch(want) for want in wants)


def test_docstrings_are_in_the_one_form():
    assert not {place: said for place, text in documented(ROOMS).items() if (said := faults(text))}


def test_examples_show_a_value():
    """Where only True or False is shown: show the number itself."""
    shown = documented(READ_BY_STUDENTS, but_questions=True)
    assert not [place for place, text in shown.items() if not shows_a_value(text)]


GOOD = """Rate of a spring.

k = G d^4 / (8 D^3 N_a)

Parameters: wire [m]; volume [m3]. Returns: rate [N/m].
Raises: InputError.
Assumes: close coils.

>>> rate(1)
2.0
>>> rate(2)
4.0

Source: shigley, chapter 10 (printed)
"""


@pytest.mark.parametrize(("old", "new"), [
    ("k = G d^4 / (8 D^3 N_a)", "`k = G d^4 / (8 D^3 N_a)`"), ("[m3]", "[m^3]"), ("[m3]", "[m³]"), ("[m3]", "[m**3]"),
    ("Assumes: close coils.\n", "Assumes: close coils.\nRaises: again.\n"),
    (">>> rate(1)", "Source: shigley\n\n>>> rate(1)"), ("Returns: rate [N/m].", "Returns: r [N].\nParameters: x [m].")])
def test_each_fault_is_found(old, new):
    assert faults(GOOD) == []
    assert faults(GOOD.replace(old, new))


def test_a_bare_truth_is_found():
    assert shows_a_value(GOOD)
    assert not shows_a_value(">>> x > 1\nTrue\n>>> y, z\n(True, False)\n")
    assert shows_a_value(">>> x > 1\nTrue\n>>> y\n3\n")
