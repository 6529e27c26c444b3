"""From the outcomes of cells to a row per question: verdict, points, hint."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from suspedu.coursework.exercise.expected import words
from suspedu.coursework.exercise.form_slips import (
    GIVEN_AS_TEXT,
    NUMBER_ALONE,
    given_as_text,
    more_than_a_letter,
    rounded_too_far,
)
from suspedu.coursework.exercise.hidden_choice import Wanted
from suspedu.coursework.exercise.left_open import left_open, set_in
from suspedu.coursework.exercise.names import names_used, rebound
from suspedu.coursework.exercise.near_pi import pi_typed
from suspedu.coursework.exercise.sheet import Cell, Sheet, SheetQuestion, is_blank
from suspedu.coursework.running.runner import CellOutcome

RIGHT, WRONG, UNANSWERED, ERROR, NOT_RUN, BY_HAND = "right", "wrong", "not answered yet", "error", "not run", "by hand"
ON_BLANK = "it builds on an answer that is still '...'"
SET = "set by the examiner"
GIVE_LETTER = 'give the letter only, such as choice = "a"'
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
         expected: dict[str, Wanted]) -> tuple[Row, ...]:
    """One row per question, in order.

    Parameters: pristine exercise; merged, with the learner's answers; outcomes by cell id; expected prints by question.
    """
    blanks = {cell.id: cell.source for cell in pristine.cells}
    return tuple(_row(question, blanks, outcomes, expected.get(question.id)) for question in merged.questions())


def _row(question: SheetQuestion, blanks: dict, outcomes: dict[str, CellOutcome], expected: Wanted | None) -> Row:
    facts = (question.id, question.title, question.possible)
    if all(is_unanswered(cell, blanks[cell.id]) for cell in question.answers):
        return Row(*facts, 0, UNANSWERED, by_hand=question.verdict is None)
    if question.verdict is None:
        return Row(*facts, 0, BY_HAND, "your words are read by the instructor", by_hand=True)
    if gaps := _gaps(question):
        return Row(*facts, 0, UNANSWERED, f"still '...': {', '.join(gaps)}")
    if taken := _rebound(question):
        return Row(*facts, 0, ERROR, f"your answer gives '{taken}' another meaning, and the check below it needs the "
                                     "usual one; choose another name")
    for cell in question.answers:
        outcome = outcomes.get(cell.id)
        if outcome is None or not outcome.passed:
            return Row(*facts, 0, *_trouble(outcome))
    row = _judged(facts, outcomes.get(question.verdict.id), expected)
    if row.verdict == WRONG:
        return replace(row, hint=row.hint or _slip_of_form(question, row.printed, expected))
    return replace(row, hint=_with_text(question, blanks, row.hint)) if row.verdict == ERROR else row


def _slip_of_form(question: SheetQuestion, printed: str, expected: Wanted | None) -> str:
    """A hint on how the answer was written, where it fits no slip of its own."""
    if question.verdict.facts.get("choice"):
        return GIVE_LETTER if more_than_a_letter(printed) else ""
    right = expected.print if expected and expected.print else ""
    digits = rounded_too_far(printed, right)
    return _too_short(question) or (f"this looks rounded too far: give {digits} digits" if digits else "")


def _with_text(question: SheetQuestion, blanks: dict, hint: str) -> str:
    """The hint on a check that failed, with a sentence before it where a number was given as text."""
    names = [name for cell in question.answers for name in set_in(blanks[cell.id])]
    text = not question.verdict.facts.get("choice") and given_as_text(
        [cell.source for cell in question.answers], names, hint)
    return f"{GIVEN_AS_TEXT} ({hint})" if text and hint != NUMBER_ALONE else hint


def is_unanswered(cell: Cell, blank: str) -> bool:
    """Whether an answer is as it was handed out, or of words nothing is left to read.

    Parameters: cell, the answer; blank, its text as handed out.

    >>> is_unanswered(Cell("a", "markdown", ' "" ', {"role": "explain"}), "Write here.")
    True
    """
    return is_blank(cell.source, blank) or (cell.role == "explain" and not re.search(r"\w", cell.source))


def _too_short(question: SheetQuestion) -> str:
    """A hint where pi was typed with a few digits."""
    typed = pi_typed(cell.source for cell in question.answers)
    return f"you typed {typed}: is it meant to be pi? math.pi has all its digits" if typed else ""


def _judged(facts: tuple, outcome: CellOutcome | None, expected: Wanted | None) -> Row:
    """The row of a question whose answer ran: nbval compared its print."""
    if outcome is None or outcome.fault in ("error", "dead", *KILLERS):
        return Row(*facts, 0, *_trouble(_inside_answer(outcome)))
    if outcome.printed.strip() == UNANSWERED:  # what a check of the course prints where it meets a `...`
        return Row(*facts, 0, ERROR, ON_BLANK, outcome.printed)
    if outcome.printed.strip() == NUMBER_ALONE:  # and where it meets a text in place of a number
        return Row(*facts, 0, ERROR, NUMBER_ALONE, outcome.printed)
    if judged(outcome, expected):
        return Row(*facts, facts[2], RIGHT, "", outcome.printed)
    return Row(*facts, 0, WRONG, expected.hint_for(outcome.printed) if expected else "", outcome.printed)


def judged(outcome: CellOutcome, expected: Wanted | None) -> bool:
    """Whether the print of a verdict is the right one."""
    compared = expected is None or expected.print is not None
    if outcome.fault not in ("", "differs"):
        return False
    return (outcome.passed and compared) or bool(expected and expected.holds(outcome.printed))


def _rebound(question: SheetQuestion) -> str:
    """A name of Python's own that the check needs and the answer gives another meaning; nothing where there is none."""
    taken = rebound(cell.source for cell in question.answers) & names_used(question.verdict.source)
    return min(taken, default="")


def _trouble(outcome: CellOutcome | None) -> tuple[str, str]:
    """Verdict and hint of a cell that failed or was not reached."""
    if outcome is None or outcome.fault == "dead":
        return NOT_RUN, words(outcome)
    if outcome.error and "ellipsis" in outcome.error["words"]:
        return ERROR, f"{ON_BLANK} ({words(outcome)})"
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
            found += left_open(cell.source)
        except (SyntaxError, ValueError, RecursionError, MemoryError):
            continue  # the run will tell
    return found
