"""Expected prints: what the solution prints for some numbers, and what its typical slips print.

They are always computed, by running the solution with nbval.  In a derived exercise those of the
practice numbers are kept out of sight (not secret: they are for practice only).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from suspedu.coursework.exercise import numbers
from suspedu.coursework.exercise.left_open import set_in
from suspedu.coursework.exercise.many_runs import run_sources
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.running.runner import ROOMY, CellOutcome, Job, Launcher, Step, run_batch, trusted_launcher
from suspedu.units import InputError

Key = int | str  # a row of the table, or the name of a draw
LONGEST_PRINT = 400  # characters; a verdict is a value or a short list, not a page
BEGIN, MIDDLE, END = "\x02", "\x03", "\x04"  # control characters that no verdict prints
NUMBERS = "\x05"  # stands before the question whose numbers are printed
GIVEN = """
for _name in {names}:
    if isinstance(globals().get(_name), (int, float)):
        print({begin!r} + _name + {middle!r} + repr(float(globals()[_name])), end={end!r})"""
MARKED = re.compile(f"{BEGIN}(.*?){MIDDLE}(.*?){END}", re.DOTALL)


@dataclass(frozen=True)
class Expected:
    """The right print of one question, (print, hint) of its slips, the numbers that its answers set, by name."""

    print: str
    slips: tuple[tuple[str, str], ...] = ()
    values: tuple[tuple[str, str], ...] = ()

    def hint_for(self, printed: str) -> str:
        """The hint of the slip that leads to this print, or nothing."""
        return next((hint for print_, hint in self.slips if print_ == printed), "")

    def kept(self) -> list:
        """What a record or an exercise keeps of it; `Expected.of` is the inverse.

        >>> Expected.of(Expected("b\\n", (("a\\n", "which?"),)).kept()).slips
        (('a\\n', 'which?'),)
        """
        return [self.print, self.slips, self.values]

    @classmethod
    def of(cls, kept: Sequence) -> Expected:
        """From what was kept; older records hold no numbers."""
        right, *pairs = kept
        return cls(right, *(tuple(map(tuple, each)) for each in pairs))

    def holds(self, printed: str) -> bool:
        """Whether the last lines are the right ones, after prints of one's own; a letter may stand in brackets.

        >>> Expected("4.6 N/mm\\n").holds("in the loop\\n4.6 N/mm\\n"), Expected("b\\n").holds("b)\\n")
        (True, True)
        """
        lines, last = printed.splitlines(), self.print.splitlines()
        if len(last) == 1 and len(last[0]) == 1:
            return letter_of(printed) == last[0]
        return bool(last) and lines[-len(last):] == last


def letter_of(printed: str) -> str:
    """The letter that the last line of a print gives, without brackets and quotes.

    >>> letter_of("(b)\\n")
    'b'
    """
    lines = printed.split()
    return lines[-1].strip("()[].:'\"") if lines else ""


def slips_of(solution: Sheet) -> list[tuple[Cell, dict]]:
    """All typical slips of a solution, each with the answer cell that it would stand in."""
    return [(cell, slip) for cell in solution.with_role("answer") for slip in cell.facts.get("slips", [])]


def of_rows(solution: Sheet, rows: Sequence[int], launcher: Launcher | None = None) -> dict[int, dict[str, Expected]]:
    """Expected prints by row of the solution's table and question; as `of_sheets`."""
    return of_sheets({row: numbers.with_row(solution, solution, row) for row in rows}, launcher)


def of_sheets(filled: Mapping[Key, Sheet], launcher: Launcher | None = None) -> dict[Key, dict[str, Expected]]:
    """Expected prints by question of a solution with several sets of numbers, all from one kernel.

    Parameters: filled, the solution with each set of numbers in it, by any key; launcher of the kernel.
    Raises: InputError where a verdict or a slip of the solution fails, prints nothing, or prints like the right one.
    """
    every = [programs(sheet, key) for key, sheet in filled.items()]
    found = run_sources({name: source for each in every for name, source in each.items()}, launcher)
    return {key: of_sheet(sheet, key, found) for key, sheet in filled.items()}


def programs(filled: Sheet, key: Key) -> dict[str, str]:
    """Programs that run a solution with its numbers, then again with each slip in place of its answer."""
    found = {right_key(key): joined(filled)}
    for number, (cell, slip) in enumerate(slips_of(filled)):
        wrong = filled.with_sources({cell.id: slip["answer"]})
        found[f"{key}:{number}"] = joined(wrong, cell.question, designed(filled) - {cell.question})
    return found


def designed(sheet: Sheet) -> frozenset[str]:
    """Questions whose answer is a design: worked out by a search, on which no other question builds."""
    return frozenset(cell.question for cell in sheet.with_role("verdict") if cell.facts.get("property"))


def right_key(key: Key) -> str:
    """Name of the program that runs a set of numbers with its right answers."""
    return f"{key}:right"


def joined(sheet: Sheet, question: str = "", without: frozenset[str] = frozenset()) -> str:
    """One source that runs a whole sheet (or up to the verdict of a question), each verdict's print between marks.

    Parameters: sheet; question, the last one; without, questions that are left out.
    """
    lines = []
    for cell in sheet.cells:
        if cell.kind != "code" or cell.role == "tool" or cell.question in without:
            continue
        if cell.role != "verdict":
            lines.append(cell.source)
            lines += [given(cell)] if cell.role == "answer" and not question else []
        elif question in ("", cell.question):
            lines += [f"print({BEGIN + cell.question + MIDDLE!r}, end='')", cell.source, f"print({END!r}, end='')"]
            if question:
                break
    return "\n".join(lines)


def given(cell: Cell) -> str:
    """Code that prints the numbers which an answer of the solution sets, between marks."""
    names = set_in(cell.facts.get("blank", ""))
    begin = BEGIN + NUMBERS + cell.question + MIDDLE
    return GIVEN.format(names=names, begin=begin, middle="=", end=END) if names else ""


def marked_numbers(outcome: CellOutcome, question: str) -> tuple[tuple[str, str], ...]:
    """Names and values of the numbers that the answers to a question set, from the run of a joined source."""
    found = [words for asked, words in MARKED.findall(outcome.printed) if asked == NUMBERS + question]
    return tuple((name, value) for name, _, value in (words.partition("=") for words in found))


def marked_prints(outcome: CellOutcome | None) -> dict[str, str]:
    """The prints of the verdicts in the run of a joined source, by question."""
    found = MARKED.findall(outcome.printed) if outcome else []
    return {question: words for question, words in found if not question.startswith(NUMBERS)}


def of_sheet(filled: Sheet, key: Key, found: dict[str, CellOutcome], blamed: dict | None = None) -> dict[str, Expected]:
    """Expected prints of one set of numbers, by question, from the outcomes of its programs.

    Parameters: filled, the solution with its numbers; key; found, by the names that `programs` gives; blamed as in
    `refuse_errors`.
    """
    refuse_errors(filled, key, found, blamed)
    prints = marked_prints(found[right_key(key)])
    slips: dict[str, list] = {question: [] for question in prints}
    for number, (cell, slip) in enumerate(slips_of(filled)):
        printed = marked_prints(found.get(f"{key}:{number}")).get(cell.question, "")
        name = f"{where(key)}: slip {slip['answer']!r} of question '{cell.question}'"
        _check_print(filled, name, printed, found.get(f"{key}:{number}"))
        if printed == prints[cell.question]:
            raise InputError(f"solution '{filled.name}', {name} prints the right value {printed!r}")
        slips[cell.question].append((printed, slip["hint"]))
    for question, printed in prints.items():
        _check_print(filled, f"{where(key)}: question '{question}'", printed, None)
    right = found[right_key(key)]
    return {q: Expected(prints[q], tuple(slips[q]), marked_numbers(right, q)) for q in prints}


def where(key: Key) -> str:
    """How a sentence names a set of numbers: a row of the table by its number, a draw as it is called."""
    return f"row {key}" if isinstance(key, int) else key


def refuse_errors(filled: Sheet, key: Key, found: dict[str, CellOutcome], blamed: dict | None = None) -> None:
    """Refuse a solution that fails with its own right answers, and name the cell: they are run again, one by one.

    Parameters: filled; key; found, outcomes of its programs; blamed, which cell was found for which fault, so that
    sets of numbers which fail alike are run again once.
    """
    outcome = found.get(right_key(key))
    if outcome and outcome.passed:
        return
    blamed, fault = {} if blamed is None else blamed, str(outcome and (outcome.fault, outcome.error))
    if fault not in blamed:
        blamed[fault] = _failing_cell(filled) or f" fails when its cells run as one: {words(outcome)}"
    raise InputError(f"solution '{filled.name}', {where(key)}{blamed[fault]}")


def _failing_cell(filled: Sheet) -> str:
    """Which cell of a solution fails when each is run by itself, and how; empty where none does."""
    cells = [cell for cell in filled.cells if cell.kind == "code" and cell.role != "tool"]
    steps = tuple(Step(cell.id, cell.source) for cell in cells)
    alone = run_batch([Job("solution", steps)], trusted_launcher(), ROOMY, record=True)["solution"]
    for cell in cells:
        if not (cell.id in alone and alone[cell.id].passed):
            return f", cell '{cell.id}' fails: {words(alone.get(cell.id))}"
    return ""


def _check_print(solution: Sheet, name: str, printed: str, outcome: CellOutcome | None) -> None:
    if not printed.strip():
        raise InputError(f"solution '{solution.name}', {name} prints nothing"
                         + (f": {words(outcome)}" if outcome and not outcome.passed else ""))
    if len(printed) > LONGEST_PRINT:
        raise InputError(f"solution '{solution.name}', {name} prints {len(printed)} characters; "
                         f"allowed: 1 to {LONGEST_PRINT}")


def words(outcome: CellOutcome | None) -> str:
    """Why a cell failed, in one line.

    >>> words(CellOutcome("failed", "error", "", {"name": "NameError", "words": "name 'x' is not defined", "line": 2}))
    "line 2: NameError: name 'x' is not defined"
    """
    if outcome is None:
        return "it was not reached"
    if outcome.error and outcome.fault == "error":
        line = f"line {outcome.error['line']}: " if outcome.error["line"] else ""
        first = (outcome.error["words"].splitlines() or [""])[0]
        return f"{line}{outcome.error['name']}: {first}".rstrip(": ")
    return {"timeout": "it ran out of time or printed without end", "died": "it ended the Python process",
            "flood": "it printed far too much", "dead": "the Python process had ended before",
            "differs": "it prints something else"}.get(outcome.fault, outcome.fault)
