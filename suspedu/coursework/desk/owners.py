"""Whose a returned file is: its seal says it, unless it lies plainly among another student's files."""

from __future__ import annotations

import re
import time
from collections.abc import Sequence
from dataclasses import dataclass

from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.files_below import NOTEBOOK, printable
from suspedu.coursework.desk.seal import holds
from suspedu.units import InputError

# What browsers, mail and people add to a name and what is no student's number: "(1)", a date and time, "copy 2", "v3".
ADDED = re.compile(r"\(\d{1,3}\)|\b\d{4}[-_.]\d{2}[-_.]\d{2}(?:[t _-]+\d{1,2}[-_.:h]\d{2}(?:[-_.:]\d{2})?)?"
                   r"|\bcopy[ _-]*\d*|\bv\d{1,3}\b")
# Round a number alone: what stands between words, and the word that says what the number is.
ROUND = re.compile(r"^[\s._-]*(?:student[\s._-]*(?:number)?)?[\s._-]*|(?:\.zip)?[\s._-]*$")
SURE = 5  # digits of a platform's number from which on it is one wherever it stands, and no year, week or room
LONG = 4  # signs from which on a number is a student's wherever it stands alone, but for a year of late
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
    without a seal counts by the number in its path; left, numbers of those who left the class.
    """

    def __init__(self, students: Sequence[Student], exercises: Sequence[str], secret: bytes, unsealed: bool = False,
                 left: Sequence[str] = ()):
        self.numbers, self.left = {student.number for student in students}, set(left)
        self.exercises, self.secret, self.unsealed = list(exercises), secret, unsealed
        self._known, self._gone = _names(students), _names([Student(number) for number in left])
        self._platform = {s.platform.casefold(): s.number for s in students if len(s.platform) >= SURE}

    def by_path(self, parts: tuple[str, ...]) -> list[str]:
        """Students whose number stands in the outermost part of a path that holds any.

        >>> class_of_two = Owners([Student("1003"), Student("12", platform="48213")], ["01_springs"], b"")
        >>> class_of_two.by_path(("1003 (late)", "01_springs_0012.ipynb")), class_of_two.by_path(("Zoe_48213", "x"))
        (['1003'], ['12'])
        """
        return next(filter(None, (self._named(part) for part in parts)), [])

    def _named(self, part: str) -> list[str]:
        """Students whose number stands in one part of a path."""
        rest = self._without_additions(part)
        if rest.strip() in self._known:
            return [self._known[rest.strip()]]
        return sorted({self._known[word] for word in _words(rest) if word in self._known})

    def plainly(self, parts: tuple[str, ...]) -> set[str]:
        """Students to whom a file's own name, or the folder right round it, belongs: it is their number alone, or holds
        the long one that a platform writes.

        >>> class_of_two = Owners([Student("12"), Student("2026", platform="48213")], ["16_tolerances"], b"")
        >>> [class_of_two.plainly((folder, "16_tolerances.ipynb")) for folder in ("12", "winter 2026", "Zoe_48213")]
        [{'12'}, set(), {'2026'}]
        """
        *folders, name = parts
        return {owner for part in (name, *_innermost(folders)) if (owner := self._alone(part, ""))}

    def _alone(self, part: str, exercise: str) -> str:
        rest = self._without_additions(part)
        long = next((self._platform[word] for word in _words(rest) if word in self._platform), "")
        number = rest.strip() if rest.strip() in self._known else ROUND.sub("", rest)
        return long or ("" if _is_number_of(exercise, number) else self._known.get(number, ""))

    def _neighbour(self, student: str, parts: tuple[str, ...], exercise: str) -> str:
        """Another student among whose files one with this student's seal lies; nothing where it does not.

        From the file's name outwards, whoever stands first decides. Short numbers and years, which may stand for a week
        or a winter, say nothing of folders further out, nor against a number of the student's own anywhere.
        """
        near = {parts[-1], *_innermost(parts[:-1])}
        own = any(self._stands_in(student, part, exercise) for part in parts)
        for part in reversed(parts):
            if self._stands_in(student, part, exercise):
                return ""
            other = self._alone(part, exercise) or (self._before_exercise(part, exercise) if part == parts[-1] else "")
            if other and (self._is_sure(part) or (part in near and not own)):
                return other
        return ""

    def _stands_in(self, student: str, part: str, exercise: str) -> bool:
        """Whether a student's number stands in a part of a path, other than as that of the file's own exercise."""
        rest = self._without_additions(part)
        return student in self._named(part) and not _is_number_of(exercise, ROUND.sub("", rest))

    def _is_sure(self, part: str) -> bool:
        """Whether a number that stands in a part of a path is so long that it is a student's, and no year."""
        return any(_is_long(word) and word in self._known for word in _words(self._without_additions(part)))

    def _before_exercise(self, name: str, exercise: str) -> str:
        """The student with whose long number a file's name begins, the number of the exercise behind it."""
        first, *rest = [word for word in re.split(r"[^a-z0-9]+", NOTEBOOK.sub("", name.casefold())) if word]
        behind = any(_is_number_of(exercise, word) for word in rest)
        return self._known.get(first, "") if behind and _is_long(first) else ""

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
        if inside is not None and self._sealed(inside):
            return self._by_seal(parts, inside), ()
        if inside is not None and not self.unsealed:
            told = f" (it says: student {printable(inside.student, 32)})" if inside.student else ""
            raise InputError(f"it carries no seal of this class{told}: was it made anew, or handed out to somebody "
                             "else? --unsealed counts such files by the number in their path")
        return self._by_number(parts, inside), (UNSEALED,) if inside is not None else ()

    def _by_seal(self, parts: tuple[str, ...], inside: Inside) -> str:
        """Whose a sealed file is.

        Raises: InputError where that student left, or where it lies plainly among another student's files.
        """
        _refuse_left(inside.student in self.left, inside.student)
        if other := self._neighbour(inside.student, parts, inside.exercise):
            raise InputError(f"it was handed out to student {inside.student} and lies under the number of student "
                             f"{other}; it counts for neither")
        return inside.student

    def _by_number(self, parts: tuple[str, ...], inside: Inside | None) -> str:
        """Whose a file without a seal is: the path decides, and where the file says a student, it must be the same.

        Raises: InputError where the path names nobody or several, somebody who left, or another than the file.
        """
        named = self.by_path(parts) if inside else self._told_of(parts)
        if not named:
            gone = next((self._gone[word] for part in parts for word in _words(self._without_additions(part))
                         if word in self._gone), "")
            _refuse_left(bool(gone), gone)
        if len(named) != 1:
            raise InputError(f"its name fits {' and '.join(named[:3])}" if named
                             else "no student's number is in its path")
        if inside and inside.student and self._known.get(inside.student.casefold()) != named[0]:
            raise InputError(f"it says student {printable(inside.student, 32)} and lies under the number of student "
                             f"{named[0]}; it counts for neither")
        return named[0]

    def _told_of(self, parts: tuple[str, ...]) -> list[str]:
        """Who is told of a file that cannot be read: a number alone goes before one among words that comes first."""
        outermost = next((part for part in parts if self._named(part)), "")
        return sorted(self.plainly(parts) if not self._alone(outermost, "") else ()) or self.by_path(parts)

    def _sealed(self, inside: Inside) -> bool:
        known = inside.student in self.numbers or inside.student in self.left
        return known and holds(self.secret, inside.student, inside.exercise, inside.seal)


def _refuse_left(is_left: bool, student: str) -> None:
    if is_left:
        raise InputError(f"student {student} has left the class ('suspedu pen back {student}' takes them in again)")


def _innermost(folders: Sequence[str]) -> list[str]:
    """The folder right round a file; a ZIP counts with the folder that it lies in."""
    found: list[str] = []
    for folder in reversed(folders):
        found.append(folder)
        if not folder.lower().endswith(".zip"):
            break
    return found


def _words(rest: str) -> list[str]:
    """The words of a name, those with signs that a student number may have first."""
    return re.split(r"[^a-z0-9.-]+", rest) + re.split(r"[^a-z0-9]+", rest)


def _is_long(word: str) -> bool:
    """Whether a number is too long for a week, a group or a room, and no year that folders of today are named by."""
    now = time.localtime().tm_year
    return len(word) >= LONG and not (word.isdigit() and now - 5 <= int(word) <= now + 1)


def _is_number_of(exercise: str, word: str) -> bool:
    """Whether a word is the number of an exercise, such as 1 and 01 of "01_springs"."""
    return word.isdigit() and word.lstrip("0") == exercise.partition("_")[0].lstrip("0")


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
