"""Docstrings of the rooms that compute: one line, a unit on each quantity, examples that run."""

import ast
import doctest
import importlib
import re
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "suspedu"
PHYSICS = ("parts", "damper", "ride", "machine", "school", "recordings")
# Compiled scalar code behind ride/engine.py and recordings/marching.py; units stand at its state and its tuples.
INNER_LOOPS = {"ride/kernel.py", "ride/kernel_forces.py", "ride/kernel_lookup.py", "recordings/kernel.py"}
QUANTITY = re.compile(r"float|ndarray|ArrayLike")


def functions() -> dict[str, ast.FunctionDef]:
    """Public functions and methods of the rooms that compute, by "module:line"."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        place = path.relative_to(PACKAGE)
        if place.parts[0].removesuffix(".py") in PHYSICS and place.as_posix() not in INNER_LOOPS:
            tree = ast.parse(path.read_text(encoding="utf-8"))
            owners = [tree, *(node for node in tree.body if isinstance(node, ast.ClassDef) and node.name[0] != "_")]
            found |= {f"{place.as_posix()}:{node.lineno}": node for owner in owners for node in owner.body
                      if isinstance(node, ast.FunctionDef) and node.name[0] != "_"}
    return found


def prose(function: ast.FunctionDef) -> str:
    """The docstring without its examples and its source."""
    lines = (ast.get_docstring(function) or "").splitlines()
    kept = [line for line in lines if not line.strip().startswith((">>>", "..."))]
    return "\n".join(kept).partition("\nSource")[0]


def said_of(text: str, name: str) -> str:
    """What is said of a parameter: from where it is named in front of a unit to the end of that entry or sentence."""
    for hit in re.finditer(rf"(?<![\w.]){name}\b(.*?)(?=;|\.\s|\n\s*\n|\Z)", text, re.DOTALL):
        if "[" in hit[1]:
            return hit[1]
    return ""


def result(text: str) -> str:
    """What is said of the result: the section Returns, or the first sentence where there is none."""
    _, found, section = text.partition("Returns:")
    return section if found else text.partition("Parameters")[0].partition("\n\n")[0]


def is_quantity(annotation: ast.expr | None) -> bool:
    """Whether a value carries a unit: where nothing, a float or an array is annotated."""
    return annotation is None or bool(QUANTITY.search(ast.unparse(annotation)))


def returns_value(function: ast.FunctionDef) -> bool:
    return any(isinstance(node, ast.Return) and node.value is not None for node in ast.walk(function))


def faults(function: ast.FunctionDef) -> list[str]:
    """What the docstring lacks, in words."""
    text = prose(function)
    first = text.partition("\n")[0]
    found = [] if re.search(r"[.:!?]$", first) else ["the first line is not one whole sentence"]
    arguments = function.args.posonlyargs + function.args.args + function.args.kwonlyargs
    found += [f"{argument.arg} has no [unit]; annotate it where it is no quantity" for argument in arguments
              if argument.arg not in ("self", "cls") and is_quantity(argument.annotation)
              and not said_of(text, argument.arg)]
    if returns_value(function) and is_quantity(function.returns) and "[" not in result(text):
        found.append("the result has no [unit]; annotate it where it is no quantity")
    return found


def test_every_docstring():
    assert not {place: said for place, node in functions().items() if (said := faults(node))}


def test_law_catches_each_kind_of_fault():
    good = 'def rate(wire, turns: int):\n "Rate.\\n\\nParameters: wire [m]; turns.\\nReturns: rate [N/m]."\n return 1'
    short = 'def index(wire):\n "How tightly it is wound [1], for a wire [m] of any shape."\n return 1'
    assert faults(ast.parse(good).body[0]) == faults(ast.parse(short).body[0]) == []
    for text, old, new in ((good, "Rate.", "Rate"), (good, "wire [m]", "wire"), (good, "turns: int", "turns"),
                           (good, "rate [N/m]", "rate"), (short, " [m]", "")):
        assert len(faults(ast.parse(text.replace(old, new)).body[0])) == 1, (text, old)


def module_names() -> list[str]:
    names = [".".join(("suspedu", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")
             for path in sorted(PACKAGE.rglob("*.py"))]
    return [name for name in names if not name.endswith((".__main__", ".kernel_start"))]  # these two run when imported


@pytest.mark.parametrize("name", module_names())
def test_examples_run(name):
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.failed == 0


def test_every_module_shows_an_example():
    """A module that students read shows at least one call with its result."""
    places = {place.partition(":")[0] for place in functions()}
    assert not [place for place in sorted(places) if ">>> " not in (PACKAGE / place).read_text(encoding="utf-8")]


def laws() -> dict[str, ast.FunctionDef]:
    """Public functions, not methods, of the rooms whose source a student reads: parts, dampers, the machine."""
    found = {}
    for path in sorted(path for room in ("parts", "damper", "machine") for path in (PACKAGE / room).rglob("*.py")):
        place = path.relative_to(PACKAGE).as_posix()
        found |= {f"{place}:{node.name}": node for node in ast.parse(path.read_text("utf-8")).body
                  if isinstance(node, ast.FunctionDef) and node.name[0] != "_"}
    return found


def test_every_law_shows_an_example():
    assert not [place for place, law in laws().items() if ">>> " not in (ast.get_docstring(law) or "")]
