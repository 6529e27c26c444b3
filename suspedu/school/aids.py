"""Tables to look things up, made from the library itself: its laws and their sources, its complaints, its parts."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from suspedu.machine import ADJUSTERS
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.course_books import text_of
from suspedu.spelling import minus, readable_unit

LIBRARY = Path(__file__).resolve().parents[1]
ROOMS = ("parts", "damper", "ride", "machine", "school")
FORMULA = re.compile(r"^[\w()/', |.^]+ = .+")


def laws() -> Iterator[tuple[str, str, str]]:
    """Formula of each law of the library that has one, its name, and the file where it stands.

    >>> [(formula, where) for formula, name, where in laws() if name == "coil_force"]
    [('F = k (x + preload), at least 0', 'suspedu/parts/springs.py')]
    """
    for name, (text, where) in docstrings().items():
        paragraphs = text.split("\n\n")
        if len(paragraphs) > 1 and FORMULA.match(paragraphs[1]):
            yield minus(readable_unit(" ".join(paragraphs[1].split()))), name, where


@cache
def docstrings() -> dict[str, tuple[str, str]]:
    """Docstring and file of each public function of the rooms from parts to machine and school, by its name.

    >>> docstrings()["coil_rate"][1]
    'suspedu/parts/springs.py'
    """
    found = {}
    for path in (path for room in ROOMS for path in sorted((LIBRARY / room).rglob("*.py"))):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and node.name[0] != "_":
                found[node.name] = inspect.cleandoc(ast.get_docstring(node) or ""), \
                    path.relative_to(LIBRARY.parent).as_posix()
    return found


def complaint_rows() -> list[tuple[str, str, str, str]]:
    """Each complaint in a rider's words: what it is judged by, the ground it is ridden on, and which way is better.

    >>> complaint_rows()[0]
    ('dives on the brakes', 'dive on the brakes', 'hard braking', 'less')
    """
    return [(one.words, one.measure, one.ground, one.better) for one in COMPLAINTS.values()]


def sources_of(book: dict) -> list[tuple[str, str]]:
    """Laws that a lesson's code takes from the library, each with the source and place in its docstring.

    >>> cell = {"cell_type": "code", "source": "from suspedu.parts.springs import coil_rate"}
    >>> sources_of({"cells": [cell]})
    [('coil_rate', 'shigley, section 10-3, eq. 10-9; en-13906-1, rate of a compression spring (printed, from memory)')]
    """
    code = [text_of(cell) for cell in book["cells"] if cell["cell_type"] == "code"]
    taken = {name.name for text in code for node in ast.walk(ast.parse(text)) if isinstance(node, ast.ImportFrom)
             for name in node.names}  # fmt: skip
    hits = {name: re.search(r"^Source: (.+?)$", docstrings()[name][0], re.MULTILINE)
            for name in sorted(taken & docstrings().keys())}  # fmt: skip
    return [(name, hit[1]) for name, hit in hits.items() if hit]


def held_by(controls: dict[str, tuple]) -> list[tuple[str, str]]:
    """Which panels hold which adjuster, by its label.

    Parameters: controls of each panel, by the panel's name; a control has a name and a label.

    >>> from suspedu.machine import ADJUSTERS
    >>> held_by({"one": (ADJUSTERS["preload"],), "two": (ADJUSTERS["preload"], ADJUSTERS["rebound"])})
    [('Preload, each leg', 'one, two'), ('Rebound', 'two')]
    """
    held: dict[str, list[str]] = {}
    for panel, row in controls.items():
        for control in row:
            if control.name in ADJUSTERS:
                held.setdefault(ADJUSTERS[control.name].label, []).append(panel)
    return sorted((label, ", ".join(panels)) for label, panels in held.items())
