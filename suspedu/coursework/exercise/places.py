"""Where the course's notebooks lie: inside the installed package, or in the repository of a checkout."""

from __future__ import annotations

from pathlib import Path

from suspedu.files import PACKAGE, course_folder
from suspedu.units import InputError


def lessons_folder() -> Path:
    """The folder of the lessons."""
    return course_folder() / "lessons"


def exercises_folder() -> Path:
    """The folder of the pristine exercises."""
    return course_folder() / "exercises"


def exercises_beside(solutions: Path) -> Path:
    """The folder of the exercises that belong to some solutions: beside them, else the course's own."""
    beside = solutions.resolve().parent / "exercises"
    return beside if beside.is_dir() else exercises_folder()


def solutions_folder() -> Path:
    """The folder of the solutions: where the command was typed, or above it, else of the checkout of this package.

    Raises: InputError elsewhere, since solutions do not travel in the wheel.
    """
    here = Path.cwd()
    for folder in (here, *here.parents, PACKAGE.parent):
        if any((folder / "solutions").glob("[0-9][0-9]_*.ipynb")):
            return folder / "solutions"
    raise InputError("solutions are not part of the installed course; type this in the folder of your own course, or "
                     "inside a checkout of the repository, or name their folder with --solutions")


def notebook_of(folder: Path, number: str) -> Path:
    """The notebook of a number or of a full name in a folder.

    Raises: InputError naming the number and what there is.
    """
    known = sorted(path for path in Path(folder).glob("[0-9][0-9]_*.ipynb"))
    for path in known:
        if number in (path.stem, path.stem.partition("_")[0], path.name):
            return path
    there = ", ".join(path.stem for path in known) or "none"
    raise InputError(f"'{number}' is not the number of a notebook in '{folder}'; there are: {there}")


def exercise_of(solution: Path, exercises: Path) -> Path:
    """The derived exercise of a solution.

    Raises: InputError where it was not derived yet.
    """
    path = Path(exercises) / solution.name
    if not path.exists():
        raise InputError(f"exercise '{solution.stem}' is not derived yet; type: suspedu derive {solution.stem[:2]} "
                         f"--folder '{solution.parent.parent}' (or name the exercises that you want)")
    return path
