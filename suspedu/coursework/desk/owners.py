"""Whose a returned file is: its seal says it, the path must not say otherwise."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.files_below import NOTEBOOK, printable
from suspedu.coursework.desk.seal import holds
from suspedu.units import InputError

# What browsers, mail and people add to a name and what is no student's number: "(1)", a date and time, "copy 2", "v3".
ADDED = re.compile(r"\(\d{1,3}\)|\b\d{4}[-_.]\d{2}[-_.]\d{2}(?:[t _-]+\d{1,2}[-_.:h]\d{2}(?:[-_.:]\d{2})?)?"
                   r"|\bcopy[ _-]*\d*|\bv\d{1,3}\b")
UNSEALED = "it carries no seal of this class; it counts by the number in its path, since --unsealed was given"


@dataclass(frozen=True)
class Inside:
    """What a notebook says of itself: of which exercise it is, to whom it was handed out, and the seal on that."""

    exercise: str = ""
    student: str = ""
    seal: str = ""


class Owners:
    """The class, as files name it: by its numbers, by a platform's own numbers, by seals.

    Parameters: students; exercises, full names of those that are marked; secret of the course; unsealed, whether a file
    without a seal counts by the number in its path.
    """

    def __init__(self, students: Sequence[Student], exercises: Sequence[str], secret: bytes, unsealed: bool = False):
        self.numbers = {student.number for student in students}
        self.exercises, self.secret, self.unsealed = list(exercises), secret, unsealed
        self._known = _names(students)

    def by_path(self, parts: tuple[str, ...]) -> list[str]:
        """Students whose number stands in the outermost part of a path that holds any.

        >>> class_of_two = Owners([Student("1003"), Student("12", platform="48213")], ["01_springs"], b"")
        >>> class_of_two.by_path(("1003 (late)", "01_springs_0012.ipynb")), class_of_two.by_path(("Zoe_48213", "x"))
        (['1003'], ['12'])
        """
        for part in parts:
            rest = self._without_additions(part)
            words = re.split(r"[^a-z0-9.-]+", rest) + re.split(r"[^a-z0-9]+", rest)
            if rest.strip() in self._known:
                return [self._known[rest.strip()]]
            if found := sorted({self._known[word] for word in words if word in self._known}):
                return found
        return []

    def _without_additions(self, part: str) -> str:
        rest = part.casefold()
        for exercise in self.exercises:
            rest = rest.replace(exercise.casefold(), " ")
        return ADDED.sub(" ", NOTEBOOK.sub(" ", rest))

    def exercise_by_path(self, parts: tuple[str, ...]) -> str:
        """The exercise whose name stands in a file's own name, or in a folder's; nothing where none does."""
        for part in reversed(parts):
            found = [e for e in self.exercises if e.casefold() in part.casefold()]
            if found:
                return max(found, key=len)
        return ""

    def owner(self, parts: tuple[str, ...], inside: Inside | None) -> tuple[str, tuple[str, ...]]:
        """Whose a file is, and notes on that.

        Parameters: parts of its path; inside, what it says of itself, or None where it cannot be read: then its path
        decides who is told so.
        Raises: InputError saying why it is nobody's.
        """
        named = self.by_path(parts)
        if inside is not None and self._sealed(inside):
            if named and inside.student not in named:
                raise InputError(f"it was handed out to student {inside.student} and lies under the number of student "
                                 f"{' and '.join(named[:3])}; it counts for neither")
            return inside.student, ()
        if inside is not None and not self.unsealed:
            told = f" (it says: student {printable(inside.student, 32)})" if inside.student else ""
            raise InputError(f"it carries no seal of this class{told}: was it made anew, or handed out to somebody "
                             "else? --unsealed counts such files by the number in their path")
        if len(named) != 1:
            why = f"its name fits {' and '.join(named[:3])}" if named else "no student's number is in its path"
            raise InputError(why)
        return named[0], (UNSEALED,) if inside is not None else ()

    def _sealed(self, inside: Inside) -> bool:
        return inside.student in self.numbers and holds(self.secret, inside.student, inside.exercise, inside.seal)


def _names(students: Sequence[Student]) -> dict[str, str]:
    """Student numbers by what files may call them; zeros in front matter only where two numbers differ by them."""
    short: dict[str, list[str]] = {}
    for student in students:
        for name in {student.number, student.platform} - {""}:
            short.setdefault(name.casefold().lstrip("0"), []).append(student.number)
    lone = {name: numbers[0] for name, numbers in short.items() if len(set(numbers)) == 1 and name}
    padded = {name.rjust(width, "0"): number for name, number in lone.items() if name.isdigit() for width in range(13)}
    whole = {name.casefold(): s.number for s in students for name in (s.platform, s.number) if name}
    return lone | padded | whole
