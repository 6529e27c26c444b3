"""Slips of form, not of physics: a value rounded too far, a number given as text, words beside the letter of a choice.

Each costs its points as before, and is said.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable
from decimal import Decimal

from suspedu.coursework.exercise.expected import letter_of
from suspedu.coursework.exercise.names import UNREADABLE

NEAR = Decimal("0.02")  # of the right value: rounded further it may as well be another one (guess of the course)
NUMBER = re.compile(r"(?<![\w.])[-+\u2212]?\d{1,30}(?:\.\d{1,30})?(?:e[-+]?\d{1,3})?(?![\w.])", re.IGNORECASE)
BEGINS_AS_NUMBER = re.compile(r"\s*[-+\u2212]?\.?\d")
TEXT = "for object of type 'str'"  # what Python says of a text where a format wants a number
NUMBER_ALONE = "a number alone is wanted here, with a point for its decimals: no quotes, brackets or unit"  # in a check
GIVEN_AS_TEXT = "a number was given as text: write it without quotes and without its unit"


def rounded_too_far(printed: str, right: str) -> int:
    """How many digits were wanted where a print is the right one, rounded to fewer; 0 where it is anything else.

    >>> rounded_too_far("12.600 N/mm", "12.635 N/mm"), rounded_too_far("12.700 N/mm", "12.635 N/mm")
    (5, 0)
    """
    last = "\n".join(printed.splitlines()[-len(right.splitlines()):])
    if not right.strip() or NUMBER.sub("#", last) != NUMBER.sub("#", right.rstrip("\n")):
        return 0
    pairs = [(_decimal(ours), _decimal(theirs)) for ours, theirs in
             zip(NUMBER.findall(right), NUMBER.findall(last), strict=True)]
    others = [(ours, theirs) for ours, theirs in pairs if ours != theirs]
    if not all(_is_rounded(theirs, ours) for ours, theirs in others):
        return 0
    return max((len(ours.as_tuple().digits) for ours, _ in others), default=0)


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace("\u2212", "-"))


def _is_rounded(value: Decimal, right: Decimal) -> bool:
    """Whether a value is another, rounded to fewer digits; that one is rounded itself, as it is printed."""
    digits = len(value.normalize().as_tuple().digits)
    if not value or digits >= len(right.as_tuple().digits) or abs(value - right) > NEAR * abs(right):
        return False
    half = (Decimal(1).scaleb(value.adjusted() - digits + 1) + Decimal(1).scaleb(right.as_tuple().exponent)) / 2
    return abs(value - right) <= half


def more_than_a_letter(printed: str) -> bool:
    """Whether a choice was answered with anything else than one letter.

    >>> more_than_a_letter("a) air in the oil\\n"), more_than_a_letter("(a)\\n"), more_than_a_letter("")
    (True, False, False)
    """
    return len(letter_of(printed)) > 1


def given_as_text(sources: Iterable[str], names: Iterable[str], words: str) -> bool:
    """Whether a number was given as text, in an answer whose check failed.

    Parameters: sources of the answer; names that it was to set to numbers; words of the error.

    >>> given_as_text(['rate = "94 N"'], ["rate"], "unsupported operand"), given_as_text(["rate = 94"], ["rate"], "")
    (True, False)
    """
    return TEXT in words or any(_sets_text(source, set(names)) for source in sources)


def _sets_text(source: str, names: set[str]) -> bool:
    try:
        nodes = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Assign)]
    except UNREADABLE:
        return False
    return any(isinstance(node.value, ast.Constant) and BEGINS_AS_NUMBER.match(str(node.value.value))
               and isinstance(node.value.value, str) and names & {ast.unparse(each) for each in node.targets}
               for node in nodes)
