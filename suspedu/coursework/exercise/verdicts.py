"""From the outcomes of cells to a row per question: verdict, points, hint."""

from __future__ import annotations

import ast
from dataclasses import dataclass, replace

from suspedu.coursework.exercise.expected import Expected, words
from suspedu.coursework.exercise.sheet import Sheet, SheetQuestion, is_blank
from suspedu.coursework.running.runner import CellOutcome

RIGHT, WRONG, UNANSWERED, ERROR, NOT_RUN, BY_HAND = "right", "wrong", "not answered yet", "error", "not run", "by hand"
SET = "set by the examiner"
KILLERS = ("died", "flood", "timeout")  # faults that may take the later cells with them


@dataclass(frozen=True)
class Row:
    """What a learner is told about one question: points possible and earned; `printed` is their own print."""

    question: str
    title: str
    possible: int
    earned: int
    verdict: str
    hint: str = ""
    printed: str = ""
    by_hand: bool = False


def rows(pristine: Sheet, merged: Sheet, outcomes: dict[str, CellOutcome],
         expected: dict[str, Expected]) -> tuple[Row, ...]:
    """One row per question, in order.

    Parameters: pristine exercise; merged, with the learner's answers; outcomes by cell id; expected prints by question.
    """
    blanks = {cell.id: cell.source for cell in pristine.cells}
    return tuple(_row(question, blanks, outcomes, expected.get(question.id)) for question in merged.questions())


def _row(question: SheetQuestion, blanks: dict, outcomes: dict[str, CellOutcome], expected: Expected | None) -> Row:
    facts = (question.id, question.title, question.possible)
    if all(is_blank(cell.source, blanks[cell.id]) for cell in question.answers):
        return Row(*facts, 0, UNANSWERED, by_hand=question.verdict is None)
    if question.verdict is None:
        return Row(*facts, 0, BY_HAND, "your words are read by the instructor", by_hand=True)
    if gaps := _gaps(question):
        return Row(*facts, 0, UNANSWERED, f"still '...': {', '.join(gaps)}")
    for cell in question.answers:
        outcome = outcomes.get(cell.id)
        if outcome is None or not outcome.passed:
            return Row(*facts, 0, *_trouble(outcome))
    return _judged(facts, outcomes.get(question.verdict.id), expected)


def _judged(facts: tuple, outcome: CellOutcome | None, expected: Expected | None) -> Row:
    """The row of a question whose answer ran: nbval compared its print."""
    if outcome is None or outcome.fault in ("error", "dead", *KILLERS):
        return Row(*facts, 0, *_trouble(_inside_answer(outcome)))
    if outcome.passed:
        return Row(*facts, facts[2], RIGHT, "", outcome.printed)
    return Row(*facts, 0, WRONG, expected.hint_for(outcome.printed) if expected else "", outcome.printed)


def _trouble(outcome: CellOutcome | None) -> tuple[str, str]:
    """Verdict and hint of a cell that failed or was not reached."""
    if outcome is None or outcome.fault == "dead":
        return NOT_RUN, words(outcome)
    if outcome.error and "ellipsis" in outcome.error["words"]:
        return ERROR, f"it builds on an answer that is still '...' ({words(outcome)})"
    return ERROR, words(outcome)


def _inside_answer(outcome: CellOutcome | None) -> CellOutcome | None:
    """The outcome of a verdict, without a line number where the error did not arise in a function of the answer."""
    if outcome is None or not outcome.error or outcome.error["frames"] > 1:
        return outcome
    return replace(outcome, error=outcome.error | {"line": None})


def _gaps(question: SheetQuestion) -> list[str]:
    """Names that the answer still sets to `...`, and functions that still return it."""
    found = []
    for cell in question.answers:
        try:
            found += _left_open(cell.source)
        except (SyntaxError, ValueError, RecursionError, MemoryError):
            continue  # the run will tell
    return found


def _left_open(source: str) -> list[str]:
    nodes = list(ast.walk(ast.parse(source)))
    found = [ast.unparse(n.targets[0]) for n in nodes if isinstance(n, ast.Assign) and _is_dots(n.value)]
    return found + ["return" for n in nodes if isinstance(n, ast.Return) and n.value and _is_dots(n.value)]


def _is_dots(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is ...
