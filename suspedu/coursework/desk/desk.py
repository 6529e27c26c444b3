"""The instructor's folder, and the exercises as an instructor has them: pristine, with solution and rows of numbers."""

from __future__ import annotations

import hashlib
import shlex
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from suspedu.coursework.desk import backups
from suspedu.coursework.desk.record_book import RecordBook
from suspedu.coursework.desk.secret import course_secret
from suspedu.coursework.exercise import draws, loading, numbers, options, places
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.coursework.exercise.versions import hashed, versions
from suspedu.units import InputError


@dataclass(frozen=True)
class Desk:
    """The instructor's folder: secret, record, hand-outs and return sheets of one course."""

    folder: Path

    @property
    def handed_out(self) -> Path:
        """Folder of the hand-outs, one folder per student in it."""
        return self.folder / "handed_out"

    @property
    def sheets(self) -> Path:
        """Folder of the return sheets, one page per student in it."""
        return self.folder / "return_sheets"

    @property
    def copies(self) -> Path:
        """Folder of the dated copies of the record."""
        return self.folder / "copies"

    def back_up(self) -> None:
        """Copy the record as it is, before a run that may change it."""
        backups.back_up(self.folder / "record.sqlite", self.copies)

    def secret(self, anew: bool = False) -> bytes:
        """The course secret; made where nothing was handed out yet.

        Parameters: anew, whether another one is made where it is lost.
        Raises: InputError where it is lost.
        """
        self._open_folder()
        path = self.folder / "course_secret"
        if not (anew or path.exists()) and next(self.handed_out.glob("*/*.ipynb"), None):
            raise InputError(f"course secret '{path}' is missing, and it sealed the copies in '{self.handed_out}'; "
                             "put it back from your copy of the desk, or seal them anew with 'suspedu handout CLASS.csv"
                             " --new-secret' (numbers stay; what is out already counts with 'mark --unsealed')")
        return course_secret(path)

    def _require_first(self, must_exist: bool) -> None:
        """Refuse to begin a record where there was one, or where there must be one."""
        if kept := backups.copies(self.copies):
            last = kept[-1].stem.removeprefix("record ")
            raise InputError(f"the record of '{self.folder}' is missing, and there are copies of it; the latest comes "
                             f"back with: suspedu pen restore \"{last}\" --desk {shlex.quote(str(self.folder))}")
        if must_exist and next(self.handed_out.glob("*/*.ipynb"), None):
            raise InputError(f"the record of '{self.folder}' is missing; hand out again with the same class list (the "
                             "copies that are out keep their numbers), then mark again")
        if must_exist:
            raise InputError(f"'{self.folder}' holds no record; hand out first, or name the right folder with --desk")

    def _open_folder(self) -> None:
        """Make the folder where there is none, for its owner's eyes only."""
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)

    def record(self, must_exist: bool = True) -> RecordBook:
        """The record, to be closed by the caller.

        Raises: InputError where nothing was handed out from this folder yet.
        """
        path = self.folder / "record.sqlite"
        if not backups.is_there(path):
            self._require_first(must_exist)
        self._open_folder()
        return RecordBook(path)


@dataclass(frozen=True)
class Lot:
    """What one student has of an exercise: a row of its table, or drawn numbers and an own order of options."""

    row: int
    numbers: draws.Numbers = field(default_factory=dict)
    orders: dict[str, options.Order] = field(default_factory=dict)


@dataclass(frozen=True)
class Material:
    """One exercise as an instructor has it; `stamp` changes with every change of it."""

    name: str
    path: Path
    pristine: Sheet
    solution: Sheet
    stamp: str

    @property
    def rows(self) -> int:
        """How many rows of numbers there are; 0 where the exercise has no own numbers."""
        return numbers.row_count(self.solution)

    def row_for(self, secret: bytes, student: str) -> int:
        """The row of numbers that a student gets."""
        return numbers.own_row(secret, student, self.name, self.rows) if self.rows else 0

    @property
    def is_drawn(self) -> bool:
        """Whether each student's numbers are drawn, and not a row of the table."""
        return draws.is_drawn(self.solution)

    def lot(self, secret: bytes, student: str, row: int) -> Lot:
        """What a student gets: a row of the table, or a draw with the options of choices in an own order."""
        if row < draws.FIRST:
            return Lot(row)
        own = draws.drawn(secret, student, self.solution, row - draws.FIRST)
        return Lot(row, own, options.own_orders(secret, student, self.pristine))

    def own_sheet(self, lot: Lot) -> Sheet:
        """The pristine exercise as one student has it."""
        own = draws.with_numbers(self._with_row(self.pristine, lot), lot.numbers)
        return options.in_order(own, lot.orders)

    def own_solution(self, lot: Lot) -> Sheet:
        """The solution with one student's numbers; its choices keep the letters of the exercise."""
        return draws.with_numbers(self._with_row(self.solution, lot), lot.numbers)

    def _with_row(self, sheet: Sheet, lot: Lot) -> Sheet:
        return numbers.with_row(sheet, self.solution, 0 if lot.numbers else lot.row)

    def key(self, row: int, own: draws.Numbers | None = None) -> str:
        """Hash of solution, numbers and versions, under which expected prints are kept."""
        return hashed(self.stamp, own or row, versions())


def materials(asked: Sequence[str], solutions: Path | None = None,
              exercises: Path | None = None) -> dict[str, Material]:
    """The exercises asked for by number or name (all, where none is), by full name.

    Raises: InputError naming what is missing.
    """
    solutions = Path(solutions) if solutions else places.solutions_folder()
    exercises = Path(exercises) if exercises else places.exercises_beside(solutions)
    paths = [places.notebook_of(solutions, number) for number in asked] or sorted(solutions.glob("[0-9][0-9]_*.ipynb"))
    if not paths:
        raise InputError(f"there is no solution in '{solutions}'; name the folder with --solutions")
    return {path.stem: _material(path, places.exercise_of(path, exercises)) for path in paths}


def _material(solution: Path, exercise: Path) -> Material:
    stamp = hashlib.sha256(solution.read_bytes() + b"\0" + exercise.read_bytes()).hexdigest()
    return Material(solution.stem, exercise, loading.exercise(exercise), loading.solution(solution), stamp)
