"""What a lesson imports and which law it names: the faces of the rooms, and a law that stands first in its file."""

import ast
import json
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LAW = re.compile(r"^- Read the law: `(suspedu/[\w/]+\.py)`, `(\w+)`\.$", re.MULTILINE)
MOST_LINES = 5  # of imports from the library
INSIDE = re.compile(r"^from suspedu\.(?:machine|ride|damper|school)\.(\w+)", re.MULTILINE)


def cells(path: Path, kind: str) -> list[str]:
    book = json.loads(path.read_text(encoding="utf-8"))
    return ["".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == kind]


def first_law(file: str) -> str:
    """The first public function of a file of the library."""
    body = ast.parse((ROOT / file).read_text(encoding="utf-8")).body
    return next(node.name for node in body if isinstance(node, ast.FunctionDef) and node.name[0] != "_")


def law_faults(words: str) -> list[str]:
    """What is wrong with the law that a lesson names, in words."""
    named = LAW.findall(words)
    if len(named) != 1:
        return [f"{len(named)} laws to read, not one"]
    (file, law), = named
    if not (ROOT / file).is_file():
        return [f"there is no {file}"]
    return [] if first_law(file) == law else [f"{law} is not the first law of {file}: {first_law(file)} is"]


def test_a_lesson_names_a_law_that_stands_first_in_its_file(lesson):
    assert law_faults("\n".join(cells(lesson, "markdown"))) == []


def test_a_lesson_imports_through_the_faces_of_the_rooms(lesson):
    code = "\n".join(cells(lesson, "code"))
    setup = next(cell for cell in cells(lesson, "code") if "suspedu" in cell)
    assert len(re.findall(r"^from suspedu", setup, re.MULTILINE)) <= MOST_LINES
    assert INSIDE.findall(code) == []


@pytest.mark.parametrize(("words", "fault"), [
    ("nothing", "0 laws"), ("- Read the law: `suspedu/parts/nowhere.py`, `coil_rate`.", "there is no"),
    ("- Read the law: `suspedu/parts/springs.py`, `wahl_factor`.", "not the first law"),
])
def test_a_wrong_law_would_be_found(words, fault):
    assert fault in law_faults(words)[0]
    assert INSIDE.findall("from suspedu.machine.statics import rider_sag")
