"""The options of a choice, in an order of each student's own: which letter means what."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import permutations

from suspedu.coursework.exercise.draws import keyed
from suspedu.coursework.exercise.expected import Expected, letter_of
from suspedu.coursework.exercise.sheet import Cell, Sheet

OPTION = re.compile(r"^- \*\*([a-f])\*\* (.*(?:\n(?!- \*\*|\s*$).*)*)", re.MULTILINE)
WITH_WORDS = re.compile(r"[(\[]?([a-f])[)\].:]+\s*(.+)")
Order = dict[str, str]  # the letter in a student's copy, by the letter in the exercise


def options_of(sheet: Sheet, question: str) -> tuple[Cell | None, dict[str, str]]:
    """The cell that lists the options of a choice, and their texts by letter; nothing where none does."""
    place = next(k for k, cell in enumerate(sheet.cells) if cell.role == "answer" and cell.question == question)
    for cell in reversed(sheet.cells[:place]):
        if cell.role in ("answer", "verdict"):
            break
        if found := dict(OPTION.findall(cell.source)):
            return cell, found
    return None, {}


def choices(sheet: Sheet) -> dict[str, tuple[Cell, dict[str, str]]]:
    """Cell and texts of every choice whose options are listed in lines such as "- **a** Softer springs."."""
    asked = [cell.question for cell in sheet.with_role("verdict") if cell.facts.get("choice")]
    found = {question: options_of(sheet, question) for question in asked}
    return {question: (cell, texts) for question, (cell, texts) in found.items() if cell and len(texts) > 1}


def own_orders(secret: bytes, student: str, sheet: Sheet) -> dict[str, Order]:
    """A student's order of the options, by question: each order as likely as any other, so every letter is."""
    own = f"{len(sheet.name)}:{sheet.name}{student}\0"
    return {question: _mixed(keyed(secret, own + question), list(texts))
            for question, (_, texts) in choices(sheet).items()}


def _mixed(number: int, letters: list[str]) -> Order:
    every = list(permutations(letters))
    return dict(zip(letters, every[number % len(every)], strict=True))


def in_order(sheet: Sheet, orders: dict[str, Order]) -> Sheet:
    """The sheet with the options of its choices in other orders; the letters run on from a."""
    found = choices(sheet)
    return sheet.with_sources({found[q][0].id: _relisted(found[q][0].source, orders[q]) for q in orders})


def _relisted(source: str, order: Order) -> str:
    texts = {order[letter]: text for letter, text in OPTION.findall(source)}
    lines = iter(sorted(texts.items()))

    def put(_) -> str:
        letter, text = next(lines)
        return f"- **{letter}** {text}"
    return OPTION.sub(put, source)


def own_prints(prints: dict[str, Expected], orders: dict[str, Order]) -> dict[str, Expected]:
    """Expected prints with the letters of a student's own orders."""
    return prints | {q: _own_print(prints[q], order) for q, order in orders.items() if q in prints}


def _own_print(expected: Expected, order: Order) -> Expected:
    def own(print_: str) -> str:
        letter = letter_of(print_)
        return print_.replace(letter, order.get(letter, letter)) if letter else print_
    return replace(expected, print=own(expected.print), slips=tuple((own(p), hint) for p, hint in expected.slips))


def own_answer(source: str, order: Order) -> str:
    """The source of an answer that chooses a letter of the exercise, with the letter of a student's own order.

    >>> own_answer('choice = "b"', {"a": "b", "b": "c", "c": "a"})
    'choice = "c"'
    """
    return re.sub(r"(?<=[\"'])([a-f])(?=[\"'])", lambda found: order.get(found[1], found[1]), source)


def meaning(printed: str, order: Order, texts: dict[str, str]) -> str:
    """A student's letter with what it means; the print itself where it is no letter of theirs.

    >>> meaning("c", {"a": "c", "b": "a"}, {"a": "Softer springs.", "b": "Stiffer springs."})
    'c: Softer springs. (a in the exercise)'
    """
    own = letter_of(printed)
    letter = next((letter for letter, there in order.items() if there == own), "")
    return f"{own}: {' '.join(texts[letter].split())} ({letter} in the exercise)" if letter else printed


def letter_alone(sheet: Sheet, question: str, printed: str) -> str:
    """A print that is a letter with the words of its own option, as the letter alone; any other as it is.

    Parameters: sheet, as the learner has it, in which the options are listed; question; printed.
    """
    found = WITH_WORDS.fullmatch((printed.strip().splitlines() or [""])[-1])
    listed = any(cell.role == "answer" and cell.question == question for cell in sheet.cells)
    if not (found and listed):
        return printed
    text = options_of(sheet, question)[1].get(found[1], "")
    return f"{found[1]}\n" if text and _bare(text) == _bare(found[2]) else printed


def _bare(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


def is_choice(expected: str) -> bool:
    """Whether an expected print is a letter, alone or with its meaning.

    >>> is_choice("b\\n"), is_choice("c: Softer springs. (a in the exercise)"), is_choice("5\\n")
    (True, True, False)
    """
    text = expected.strip()
    return text.endswith(" in the exercise)") or (len(text) == 1 and text.isalpha())
