"""Expected prints of the practice numbers as an exercise carries them: out of sight, a letter not even readable."""

from __future__ import annotations

import base64
import json

from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.hidden_choice import HiddenChoice, Wanted, hidden
from suspedu.coursework.exercise.sheet import Sheet

CHOICE = "choice"  # stands first where only hashes follow; a print ends with a line break


def seal(expected: Expected, choice: str = "") -> str:
    """Text that keeps expected prints out of a reader's sight in the exercise's metadata.

    Parameters: expected; choice, a salt where the print is the letter of a choice, of which only hashes are kept.
    """
    return seal_choice(hidden(expected, choice)) if choice else _coded(expected.kept())


def seal_design(expected: Expected) -> str:
    """Text that keeps the hints of designs in the exercise's metadata; what is right is worked out, and not kept."""
    return _coded(Expected("", expected.slips).kept())


def seal_choice(choice: HiddenChoice) -> str:
    """Text that keeps the hashes of a choice in the exercise's metadata."""
    return _coded([CHOICE, choice.salt, choice.right, choice.slips])


def _coded(plain: list) -> str:
    return base64.b64encode(json.dumps(plain, ensure_ascii=False).encode()).decode()


def unseal(text: str) -> Wanted:
    """The inverse of `seal`, but for a letter, which nothing brings back.

    >>> unseal(seal(Expected("4.6 N/mm\\n", (("9.2 N/mm\\n", "one leg only"),)))).print
    '4.6 N/mm\\n'
    """
    first, *rest = json.loads(base64.b64decode(text))
    if first != CHOICE:
        return Expected.of([first, *rest])
    salt, right, slips = rest
    return HiddenChoice(salt, right, tuple(map(tuple, slips)))


def with_own_choices(practice: dict[str, Wanted], returned: Sheet) -> dict[str, Wanted]:
    """Practice prints, the letters of choices as a student's own copy has them: its options stand in an own order.

    Parameters: practice; returned, the copy, which may say anything: what is no hash of a letter is passed over.
    """
    own = {}
    for cell in returned.with_role("verdict"):
        try:
            found = unseal(str(cell.facts.get("sealed")))
        except (ValueError, TypeError):
            continue
        if isinstance(found, HiddenChoice) and isinstance(practice.get(cell.question), HiddenChoice):
            own[cell.question] = found
    return practice | own


def sealed(exercise: Sheet) -> dict[str, Wanted]:
    """Expected prints of the practice numbers, by question, as derived into an exercise."""
    return {cell.question: unseal(cell.facts["sealed"]) for cell in exercise.with_role("verdict")}
