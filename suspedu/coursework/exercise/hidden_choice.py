"""The right letter of a choice, as an exercise carries it for the self-check: no reader of the file finds it there.

Whoever computes can still try all letters; so it is for practice, and marks come from the desk.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from suspedu.coursework.exercise.expected import Expected, letter_of
from suspedu.coursework.exercise.sought import Sought

ROUNDS = 20_000  # of hashing, some milliseconds


@dataclass(frozen=True)
class HiddenChoice:
    """The right letter and those of the typical slips, each as a salted hash; it is asked as an `Expected` is."""

    salt: str
    right: str
    slips: tuple[tuple[str, str], ...] = ()
    print: None = None  # nbval has nothing to compare with

    def holds(self, printed: str) -> bool:
        """Whether a print is the right letter."""
        return hashed_letter(printed, self.salt) == self.right

    def hint_for(self, printed: str) -> str:
        """The hint of the slip that leads to this print, or nothing."""
        found = hashed_letter(printed, self.salt)
        return next((hint for slip, hint in self.slips if slip == found), "")


Wanted = Expected | HiddenChoice | Sought


def hidden(expected: Expected, salt: str) -> HiddenChoice:
    """An expected print of a letter without the letter.

    >>> found = hidden(Expected("b\\n", (("a\\n", "the radius?"),)), "01 q5")
    >>> found.holds("(B)\\n".lower()), found.holds("a\\n"), found.hint_for("a\\n")
    (True, False, 'the radius?')
    """
    slips = tuple((hashed_letter(print_, salt), hint) for print_, hint in expected.slips)
    return HiddenChoice(salt, hashed_letter(expected.print, salt), slips)


def hashed_letter(printed: str, salt: str) -> str:
    """Salted and slow hash of the letter that a verdict printed.

    Source: rfc-8018, section 5.2, PBKDF2 (printed, from memory)
    """
    letter = letter_of(printed).encode("utf-8", "replace")
    return hashlib.pbkdf2_hmac("sha256", letter, salt.encode(), ROUNDS).hex()[:32]


def in_own_order(choice: HiddenChoice, order: dict[str, str], salt: str) -> HiddenChoice:
    """The same choice where the options stand in another order, under another salt.

    Parameters: choice; order, the new letter by the old one; salt.

    >>> old = hidden(Expected("b\\n", (("a\\n", "the radius?"),)), "01 q5")
    >>> new = in_own_order(old, {"a": "c", "b": "a", "c": "b"}, "own")
    >>> new.holds("a\\n"), new.hint_for("c\\n")
    (True, 'the radius?')
    """
    letters = {hashed_letter(old, choice.salt): hashed_letter(new, salt) for old, new in order.items()}
    slips = tuple((letters.get(slip, slip), hint) for slip, hint in choice.slips)
    return HiddenChoice(salt, letters.get(choice.right, choice.right), slips)
