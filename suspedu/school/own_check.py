"""The form of one's own machine, checked: typed texts to a table, a machine, and a sentence for each slip.

What is left empty gets the school's value, and is written down as such.
"""

from __future__ import annotations

import copy
import re
from dataclasses import dataclass, field
from functools import cache

from suspedu.changes import leads_somewhere, value_at
from suspedu.damper import stock_damper
from suspedu.data.reader import part_from_table, table_from_text
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.fitted import RANGE
from suspedu.machine.model import MACHINES, MachineFile
from suspedu.machine.riding import vehicle
from suspedu.school.own_fields import CLICKERS, FIELDS
from suspedu.school.own_slips import as_in_file, in_halves
from suspedu.units import InputError, from_si, parse

STOCK = "legs.damper.stock"
TEACHERS = {"closed cartridge": "enduro", "open cartridge": "trail", "damping rod": "enduro"}  # whose values are lent
STORY = "One's own machine."
LEAST_WALL = 2e-3  # m between the sliding tube and the bore it slides in, both sides together (guess of the course)
WIRE = ("wire", "mean_diameter", "active_coils", "shear_modulus", "dead_coils", "free_length")  # a spring without rate
PATH = re.compile(r"^legs\[1\][\w.]*: ")  # how the reader says where it stands


@dataclass(frozen=True)
class FilledForm:
    """What a filled-in form comes to: a table as a file holds it, and a machine where nothing is wrong."""

    table: dict
    assumed: tuple[str, ...]  # keys that have the school's value
    problems: dict[str, str] = field(default_factory=dict)  # by key; "" for what is wrong between several
    machine: MachineFile | None = None


@cache
def _school_text(name: str) -> str:
    return (MACHINES / f"{name}.toml").read_text(encoding="utf-8")


def _unknown(stock: str) -> str:
    return f"kind of damper is '{stock}'; there are: {', '.join(TEACHERS)}"


def school_table(stock: str = "closed cartridge") -> dict:
    """The table of the school's machine that has a kind of damper, its legs alike; clicks as the damper has them.

    Raises: InputError for a kind that the school has not.

    >>> school_table("damping rod")["legs"][0]["damper"]["stock"]
    'damping rod'
    """
    if stock not in TEACHERS:
        raise InputError(_unknown(stock))
    table = table_from_text(_school_text(TEACHERS[stock]))
    leg = table["legs"][-1]
    leg["damper"] = {"stock": stock, **_as_built(stock), "oil": leg["damper"]["oil"]}
    return table | {"legs": [leg], "story": STORY}


@cache
def _as_built(stock: str) -> dict[str, int]:
    """Clicks and ranges of the clickers that a damper on the shelf has."""
    unit = stock_damper(stock)
    places = {name: ADJUSTERS[name].in_damper for name in CLICKERS}
    fitted = {name: value_at(unit, place.removesuffix(".clicks")) for name, place in places.items()
              if leads_somewhere(unit, place)}
    return {name + end: getattr(part, what) for name, part in fitted.items()
            for end, what in ((RANGE, "last_click"), ("", "clicks"))}


def school_value(key: str, stock: str = "closed cartridge") -> str:
    """The school's value of a key, as text with its unit; empty where there is none.

    >>> school_value("legs.air.oil_height"), school_value("legs.travel", "open cartridge")
    ('110 mm', '280 mm')
    """
    return str(_found(school_table(stock), key) or "")


def checked(name: str, typed: dict[str, str], base: dict | None = None) -> FilledForm:
    """A filled-in form, checked whole.

    Parameters: name of the machine; typed, texts by key of `FIELDS`, missing or empty where nothing is known; base, the
    table of a file that was opened: what the form does not ask for is kept from it.
    Returns: `FilledForm`, with one sentence for each slip.
    """
    stock = typed.get(STOCK, "") or "closed cartridge"
    if stock not in TEACHERS:
        return FilledForm({}, (), {STOCK: _unknown(stock)})
    table, problems = _lent(base, stock), {}
    _put(table, "name", " ".join(name.split()))
    known = {key: " ".join(text.split()) for key, text in typed.items() if key in FIELDS and text.strip()}
    if "legs.spring.rate" in known:
        for each in WIRE:
            _put(table, f"legs.spring.{each}", None)
    for key, text in known.items():
        try:
            _put(table, key, as_in_file(FIELDS[key], text))
        except InputError as slip:
            problems[key] = str(slip)
    _fit_bore(table, known, problems)
    _fit_clicks(table, known)
    assumed = tuple(key for key in FIELDS if key not in known and key != STOCK and _found(table, key) is not None)
    return _built(_noted(table, assumed), assumed, problems)


def _lent(base: dict | None, stock: str) -> dict:
    """The school's table, under what an opened file has that the form does not ask for."""
    table = school_table(stock)
    if base is None:
        return table
    kept = copy.deepcopy(base)
    for key in FIELDS:
        _put(kept, key, _found(table, key))
    kept["legs"][0]["damper"]["stock"] = stock
    if any(name in kept["legs"][0]["spring"] for name in WIRE):
        kept["legs"][0]["spring"].pop("rate", None)  # a spring known by its wire: until a rate is typed
    return kept


def _fit_bore(table: dict, known: dict, problems: dict) -> None:
    """Where the sliding tube is known and the bore round it is not: as much room between them as at the school's."""
    tube, bore = "legs.air.tube_diameter", "legs.air.bore"
    if tube in problems or bore in problems:
        return
    width = parse(_found(table, tube), "mm", tube)
    if tube in known and bore not in known:
        lent = school_table(_found(table, STOCK))
        room = parse(_found(lent, bore), "mm", bore) - parse(_found(lent, tube), "mm", tube)
        _put(table, bore, f"{from_si(width + room, 'mm'):.4g} mm")
    elif bore in known and parse(_found(table, bore), "mm", bore) < width + LEAST_WALL:
        problems[bore] = (f"Bore of the outer tube is {_found(table, bore)}, but the sliding tube in it "
                          f"{_found(table, tube)}: was the cartridge's bore taken?")


def _fit_clicks(table: dict, known: dict) -> None:
    """Where only the range of a clicker is known: as far open as the school's. Without a clicker, no clicks."""
    damper = table["legs"][0]["damper"]
    for name in CLICKERS:
        last, usual = damper.get(name + RANGE), _as_built(damper["stock"])
        if f"legs.damper.{name}" not in known and name in usual and last is not None:
            _put(table, f"legs.damper.{name}", round(usual[name] * last / usual[name + RANGE]) if last else None)


def _noted(table: dict, assumed: tuple[str, ...]) -> dict:
    """The table with the note of what is not known, before all that is nested."""
    table.pop("assumed", None)
    head = {key: value for key, value in table.items() if not isinstance(value, dict | list)}
    return head | ({"assumed": list(assumed)} if assumed else {}) | {k: v for k, v in table.items() if k not in head}


def _built(table: dict, assumed, problems) -> FilledForm:
    """The machine of a table without slips; what is wrong between several values becomes a problem of the whole."""
    problems = problems | _click_slips(table)
    if problems:
        return FilledForm(table, assumed, problems)
    try:
        machine = part_from_table(_without_empty(table), MachineFile)
        _ = vehicle(machine)  # what cannot be ridden is told here, not at the first ride
        return FilledForm(table, assumed, problems, machine)
    except InputError as slip:
        return FilledForm(table, assumed, {_blamed(str(slip)): _plain(str(slip))})


def _click_slips(table: dict) -> dict[str, str]:
    """Clickers that stand beyond their own range, or that this kind of damper lacks."""
    found, damper = {}, table["legs"][0]["damper"]
    for name, label in CLICKERS.items():
        at, last, key = damper.get(name), damper.get(name + RANGE), f"legs.damper.{name}"
        if name not in _as_built(damper["stock"]) and (at is not None or last is not None):
            found[key] = f"the school's {damper['stock']} has no clicker for {label.lower()}: leave both empty"
        elif at is not None and last == 0:
            found[key] = f"{label} stands at {at} clicks, but has none in all: leave this empty, or count them"
        elif at is not None and at > last:
            found[key] = f"{label} stands at {at} clicks out of {last}: counted from gently closed?"
    return found


def _blamed(sentence: str) -> str:
    """The key that a sentence of the library begins with, or "" for several at once."""
    plain = PATH.sub("", sentence)
    return next((key for key, each in FIELDS.items() if plain.startswith(
        (f"{key} ", f"{key.removeprefix('legs.damper.')} ", f"{each.facts.get('label') or key} is "))), "")


def _plain(sentence: str) -> str:
    """A sentence of the library in the form's words, without the path into a file that nobody sees."""
    plain, key = in_halves(PATH.sub("", sentence)), _blamed(sentence)
    return f"{FIELDS[key].label} is {plain.partition(' is ')[2]}" if key else plain


def _found(table: dict, key: str):
    """What stands at a key of a table; None where nothing does."""
    for step in key.split("."):
        table = table[0] if isinstance(table, list) else table
        if not isinstance(table, dict) or step not in table:
            return None
        table = table[step]
    return table


def _put(table: dict, key: str, value) -> None:
    """Put a value at a key; None takes the key out."""
    *way, last = key.split(".")
    for step in way:
        table = table.setdefault(step, {})
        table = table[0] if isinstance(table, list) else table
    if value is None:
        table.pop(last, None)
    else:
        table[last] = value


def _without_empty(table: dict) -> dict:
    return {key: value for key, value in table.items() if value not in ([], {})}
