"""One's own machines: TOML files in the folder `machines` of the working folder, known by their names."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from suspedu.data.reader import file_text, part_from_text
from suspedu.machine import Machine
from suspedu.numerics import remembered
from suspedu.units import InputError

FOLDER = "machines"
LAID = Path(".suspedu") / "laid.json"  # beside the lessons of a course that was laid into a folder


def working_folder() -> Path:
    """The folder that holds what a person of the course keeps: the one the course was laid into, else the present one.
    """
    here = Path.cwd()
    return here.parent if (here.parent / LAID).is_file() else here


def own_files(folder: Path | None = None) -> dict[str, Path]:
    """Files of one's own machines by their names, in order.

    Parameters: folder, the working folder; the present one's if None.

    >>> own_files(Path("no such folder"))
    {}
    """
    found = sorted(((folder or working_folder()) / FOLDER).glob("*.toml"), key=lambda path: path.stem.lower())
    return {path.stem: path for path in found if not path.name.startswith(".")}


def own_machine(name: str, folder: Path | None = None) -> Machine:
    """One's own machine by its name, as its file stands now; it is called as its file, which a hand may have renamed.

    Raises: InputError, one sentence: no such file, or the first slip in it.
    """
    path = ((folder or working_folder()) / FOLDER) / f"{name}.toml"
    try:
        return _read(file_text(path), name)
    except InputError as fault:
        raise InputError(f"{path.name}: {fault}") from None


@remembered(size=16)
def _read(text: str, name: str) -> Machine:
    return replace(part_from_text(text, Machine), name=name)
