"""The folder of set-ups: kept whole or not at all, one file each, and never one written over another."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from suspedu.data.reader import file_text
from suspedu.files import csv_text, write_whole
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.ride.outcomes import OUTCOMES
from suspedu.school.own_files import working_folder
from suspedu.school.setups import FELT, SETTINGS, SetUp, setup_from_text, setup_text
from suspedu.spelling import readable_unit
from suspedu.units import InputError

FOLDER = "set-ups"
MOST = 9999  # files of one name and day


@dataclass(frozen=True)
class Kept:
    """A set-up and its file as it was read or written last."""

    file: str  # its name
    setup: SetUp
    text: str

    @property
    def name(self) -> str:
        """The set-up's name, with the number of its file where that has one, or the file where a hand named that.

        >>> Kept("2026-11-26 mud 2.toml", SetUp("mud", "2026-11-26", "enduro"), "").name
        'mud 2'
        """
        stem, called = self.file.removesuffix(".toml"), _stem(self.setup)
        number = stem.removeprefix(called)
        if number and not (stem.startswith(called) and number[:1] == " " and number[1:].isdecimal()):
            return f"{self.setup.name} ({self.file})"
        return f"{self.setup.name}{number}"


@dataclass(frozen=True)
class Shelf:
    """What the folder holds: set-ups by the names of their files, newest first; a sentence for what is no set-up."""

    kept: dict[str, Kept]
    broken: tuple[str, ...]


def setups_folder(folder: Path | None = None) -> Path:
    """The folder of set-ups in a working folder.

    >>> setups_folder(Path("work")).as_posix()
    'work/set-ups'
    """
    return (folder or working_folder()) / FOLDER


def shelf(folder: Path | None = None) -> Shelf:
    """All set-ups of a working folder, as they stand on the disk now; a broken file is told and left alone.

    Parameters: folder, the working folder; the present one's if None.

    >>> shelf(Path("no such folder")).kept
    {}
    """
    kept, broken = {}, []
    for path in setups_folder(folder).glob("[!.]*.toml"):
        try:
            text = file_text(path)
            kept[path.name] = Kept(path.name, setup_from_text(text), text)
        except InputError as fault:
            broken.append(f"{path.name}: {fault}")
    newest = sorted(kept.values(), key=lambda each: (each.setup.date, each.file), reverse=True)
    return Shelf({each.file: each for each in newest}, tuple(sorted(broken)))


def keep(setup: SetUp, opened: Kept | None = None, folder: Path | None = None) -> Kept:
    """Write a set-up, whole or not at all, and never over what was not seen.

    Parameters: setup; opened, the file that it was opened from, which it replaces while that still stands as it was
    read and name and date are the same; else the set-up gets a file of its own; folder, the working folder.
    Returns: the set-up in its file.
    Raises: NotWrittenError (an InputError), one sentence; then all files are as they were.
    """
    text, place = setup_text(setup), setups_folder(folder)
    if opened is not None and _alike(setup, opened.setup) and stands(opened, folder):
        write_whole(place / opened.file, text)
        return Kept(opened.file, setup, text)
    for number in range(1, MOST):
        path = place / f"{_stem(setup)}{f' {number}' if number > 1 else ''}.toml"
        if path.exists() and not _stands(path, text):
            continue
        write_whole(path, text, keep=True)
        if _stands(path, text):  # else another tab was first
            return Kept(path.name, setup, text)
    raise InputError(f"there are {MOST} set-ups '{setup.name}' of this day already: choose another name")


def stands(kept: Kept, folder: Path | None = None) -> bool:
    """Whether the file of a set-up still is what was read or written last; folder, the working folder.

    >>> stands(Kept("no such.toml", SetUp("mud", "2026-11-26", "enduro"), ""), Path("no such folder"))
    False
    """
    return _stands(setups_folder(folder) / kept.file, kept.text)


def _alike(one: SetUp, other: SetUp) -> bool:
    return (one.name, one.date) == (other.name, other.date)


def _stands(path: Path, text: str) -> bool:
    try:
        return file_text(path) == text
    except InputError:
        return False


def _stem(setup: SetUp) -> str:
    """Name of a file: the day and the set-up's name as far as every system takes it."""
    plain = re.sub(r"[^\w ()+-]+", " ", setup.name)
    return f"{setup.date} {' '.join(plain.split()) or 'set-up'}"


def setups_csv(setups: Iterable[SetUp]) -> str:
    """Set-ups as a table for a spreadsheet: one a row, settings and outcomes with their units.

    Parameters: setups, one a row.

    >>> setups_csv([SetUp("mud", "2026-11-26", "enduro", settings={"rebound": "9 out"})]).splitlines()[1][:24]
    'mud,2026-11-26,enduro,,,'
    """
    setups = list(setups)
    stood = list(dict.fromkeys(name for each in setups for name in each.stand))
    heads = ["name", "date", "machine", "ground", "changed", "felt",
             *(ADJUSTERS[name].label for name in SETTINGS), *stood,
             *(OUTCOMES[name].label for name in FELT), "cautions"]
    rows = [[each.name, each.date, each.machine, each.ground, each.changed, each.felt,
             *(each.settings.get(n, "") for n in SETTINGS), *(each.stand.get(n, "") for n in stood),
             *(_spelled(each.outcomes.get(n, "")) for n in FELT), each.cautions] for each in setups]
    return csv_text(heads, rows)


def _spelled(text: str) -> str:
    """A value with its unit as people write that."""
    number, blank, unit = text.partition(" ")
    return f"{number}{blank}{readable_unit(unit)}" if unit else number
