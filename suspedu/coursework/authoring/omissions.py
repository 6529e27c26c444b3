"""What a learner or whoever reads the words would miss in an exercise, though it runs: a sentence each."""

from __future__ import annotations

import ast
import re
from collections import Counter

from suspedu.coursework.exercise import options
from suspedu.coursework.exercise.sheet import Cell, Sheet

WORTH = re.compile(r"(\d+(?:[.,]\d+)?) points?: ")  # how a line of a rubric begins


def omissions(solution: Sheet) -> list[str]:
    """What a solution lacks to make a whole exercise; empty where nothing is missing."""
    return [*_doubled(solution), *_untitled(solution), *_filled_in(solution), *_without_options(solution),
            *_rubrics(solution)]


def _doubled(solution: Sheet) -> list[str]:
    counts = Counter(cell.id for cell in solution.cells)
    return [f"{count} cells have the id '{identity}', and answers are found by it; give each an id of its own"
            for identity, count in counts.items() if count > 1]


def _untitled(solution: Sheet) -> list[str]:
    return [] if solution.with_role("front") else [
        "there is no title cell, the first one, with the role 'front': title, points and what to do are written there"]


def _filled_in(solution: Sheet) -> list[str]:
    return [f"cell '{cell.id}': its blank sets nothing to '...', so a learner finds it filled in; put '...' where the "
            "answer goes" for cell in solution.with_role("answer") if not _is_open(str(cell.facts["blank"]))]


def _is_open(blank: str) -> bool:
    """Whether code leaves something open; what is no Python must at least show where.

    >>> _is_open("rate = ...  # N/m"), _is_open("rate = load / 2  # ...")
    (True, False)
    """
    try:
        return any(isinstance(node, ast.Constant) and node.value is ... for node in ast.walk(ast.parse(blank)))
    except (SyntaxError, ValueError):
        return "..." in blank


def _without_options(solution: Sheet) -> list[str]:
    listed = options.choices(solution)
    return [f"question '{cell.question}' is a choice and lists no options; list them above its answer in lines such as "
            "'- **a** It doubles.'" for cell in solution.with_role("verdict")
            if cell.facts.get("choice") and cell.question not in listed]


def _rubrics(solution: Sheet) -> list[str]:
    return [words for cell in solution.with_role("explain") if (words := _rubric_fault(cell))]


def _rubric_fault(cell: Cell) -> str:
    lines, points = cell.facts.get("rubric"), cell.facts["points"]
    if not (isinstance(lines, list) and lines):
        return (f"question '{cell.question}' has no rubric; say for what the points of its words are given, "
                "a line each, such as '1 point: the load is shared'")
    worth = [WORTH.match(str(line)) for line in lines]
    if None in worth:
        return (f"question '{cell.question}', rubric: {str(lines[worth.index(None)])!r} does not say how many points "
                "it is worth; begin it with '1 point: ' or such")
    given = sum(float(found[1].replace(",", ".")) for found in worth)
    return "" if given == points else (f"question '{cell.question}': its rubric gives {given:g} points in all, and the "
                                       f"question {points}; make them agree")
