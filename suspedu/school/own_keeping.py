"""One's own machine as a file that a person can read: kept, opened again, never written over unseen."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from suspedu.data.reader import file_text, table_from_text
from suspedu.data.rewriter import rewritten
from suspedu.data.writer import toml_text
from suspedu.files import write_whole
from suspedu.school.machines import MACHINES, school_machine
from suspedu.school.own_check import FilledForm, _found, checked
from suspedu.school.own_fields import FIELDS, STOCKS
from suspedu.school.own_files import FOLDER, own_files, working_folder
from suspedu.units import InputError

LONGEST = 40  # signs of a name
NAME = re.compile(r"[\w][\w .()+-]*", re.UNICODE)
DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
LENT = "the school's value"
HEAD = f"""\
# A machine of one's own. What is marked as {LENT} is not known yet: put the right one in its place,
# and take its key out of `assumed`. What the form does not ask for is the school's too.

"""


@dataclass(frozen=True)
class Opened:
    """A file that was opened in the form: its texts by key, and the file as it stood then."""

    name: str
    typed: dict[str, str]
    table: dict
    text: str


def name_slip(name: str) -> str:
    """What is wrong with a name for a file of one's own; empty where nothing is.

    >>> name_slip("old hack"), name_slip("school enduro")
    ('', "'school enduro' is a machine of the school's: choose another name")
    """
    name = name.strip()
    if not name:
        return "the machine needs a name, by which it is chosen in the lessons"
    if name.lower() in {*MACHINES, *(school_machine(each).name.lower() for each in MACHINES)}:
        return f"'{name}' is a machine of the school's: choose another name"
    if len(name) > LONGEST or not NAME.fullmatch(name) or name.endswith("."):
        return (f"'{name[:LONGEST]}' cannot be a file's name: at most {LONGEST} letters, figures, blanks and . ( ) + -"
                ", a letter or figure first")
    return f"'{name}' is a word that some systems keep for themselves" if name.lower() in DEVICES else ""


def own_text(found: FilledForm, before: str = "") -> str:
    """The text of the file of a machine whose form has no slips; comments of the file `before` stay in it.

    Raises: InputError with the first slip there is.
    """
    if found.problems:
        raise InputError(next(iter(found.problems.values())))
    if before:
        return rewritten(before, found.table, set(found.assumed), LENT)
    return HEAD + toml_text(found.table, dict.fromkeys(found.assumed, LENT))


def save_own(name: str, typed: dict[str, str], opened: Opened | None = None, folder: Path | None = None) -> Opened:
    """Write one's own machine into the working folder, whole or not at all.

    Parameters: name; typed, texts by key; opened, the file that was opened or written last, if it was; folder, the
    working folder.
    Returns: the file as it stands now.
    Raises: InputError, one sentence: a slip in the form, or a file of this name that is not the one opened, or that was
    changed on disk since then; NotWrittenError where the disk refuses.
    """
    if slip := name_slip(name):
        raise InputError(slip)
    text = own_text(checked(name, typed, opened.table if opened else None), opened.text if opened else "")
    path = (folder or working_folder()) / FOLDER / f"{name.strip()}.toml"
    _refuse_unseen(path, opened, text)
    write_whole(path, text)
    return open_own(name.strip(), folder)


def _refuse_unseen(path: Path, opened: Opened | None, text: str) -> None:
    """Refuse to write over what the person at the form has not seen."""
    twin = next((each for each in path.parent.glob("*.toml") if each.name.lower() == path.name.lower()), None)
    if twin is None:
        return
    now = file_text(twin)
    if now == text or (opened is not None and opened.name == twin.stem and now == opened.text):
        return
    if opened is not None and opened.name == twin.stem:
        raise InputError(f"{twin.name} was changed on disk after it was opened here: open it again, or save under "
                         "another name")
    raise InputError(f"there is a machine '{twin.stem}' already: open that one, or save under another name")


def open_own(name: str, folder: Path | None = None) -> Opened:
    """One's own machine for the form.

    Raises: InputError, one sentence: no such file, a file that is no TOML, or one that the form cannot show.
    """
    found = own_files(folder)
    if name not in found:
        raise InputError(f"there is no machine '{name}' in {FOLDER}; there are: {', '.join(found) or 'none'}")
    try:
        text = file_text(found[name])
        table = table_from_text(text)
        _refuse_odd(table)
    except InputError as fault:
        raise InputError(f"{found[name].name}: {fault}") from None
    return Opened(name, _typed(table), table, text)


def _refuse_odd(table: dict) -> None:
    """Refuse what a form for two legs alike with a damper from the shelf cannot show."""
    legs = table.get("legs")
    if not isinstance(legs, list) or len(legs) != 1 or not isinstance(legs[0], dict):
        raise InputError("the form shows machines with both legs alike, [[legs]] once; change this one in the file")
    if _found(table, "legs.damper.stock") not in STOCKS or not isinstance(_found(table, "legs.spring"), dict):
        raise InputError("its damper is none of the school's kinds, or its spring is missing; change this one in the "
                         "file")


def _typed(table: dict) -> dict[str, str]:
    """Texts for the form: nothing where a value is the school's, and no unit where it is the form's own."""
    assumed = table.get("assumed", [])
    texts = {}
    for key, each in FIELDS.items():
        value = _found(table, key)
        if value is not None and key not in assumed:
            texts[key] = str(value).removesuffix(f" {each.unit}") if each.unit else str(value)
    return texts
