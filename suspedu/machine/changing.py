"""The one way to change a machine: any row of the table of adjusters, set, read or turned."""

from __future__ import annotations

import dataclasses

from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.damper import Damper, stock_damper
from suspedu.machine.adjusters import LEG, Adjuster, adjuster
from suspedu.machine.model import Leg, Machine
from suspedu.units import InputError, require


def has(machine: Machine | Leg, name: str) -> bool:
    """Whether a machine, or one leg of it, has an adjuster.

    Raises: InputError for a name that is none.

    >>> from suspedu.machine import clickers, load
    >>> [name for name in clickers() if has(load("trail").legs[0], name)]
    ['compression_low', 'rebound']
    """
    row = adjuster(name)
    legs = machine.legs if isinstance(machine, Machine) else (machine,)
    fixed = all(leg.damper is not None and name in leg.damper.fixed for leg in legs)
    return row.read is not None or (not fixed and leads_somewhere(*_way(machine, row)))


def setting(machine: Machine | Leg, name: str):
    """Where an adjuster stands [SI, or clicks out]: of a leg, or of a machine (of two legs, the first that has it).

    Raises: InputError for a name that is none, or an adjuster that is not there.

    >>> from suspedu.machine import load
    >>> setting(load("enduro"), "rebound"), setting(load("enduro").legs[0], "oil_height")
    (12, 0.11)
    """
    row = adjuster(name)
    if not has(machine, name):
        raise InputError(_missing(name))
    return row.read(_first_leg(machine)) if row.read else value_at(*_way(machine, row))


def change(machine: Machine, name: str, value, leg: int | None = None) -> Machine:
    """The same machine with one thing changed; the one given stays as it is.

    Parameters: machine; name of `ADJUSTERS`; value [SI, or clicks out] of any shape, or the part itself;
    leg, 1 or 2 to change one leg only.
    Raises: InputError for a name that is no adjuster, one that this machine does not have, or a value out of range.

    >>> from suspedu.machine import load
    >>> change(load("enduro"), "preload", 0.008).legs[0].spring.preload
    0.008
    """
    row = adjuster(name)
    if not leads_somewhere(machine, row.place.rpartition(".")[0]) or (row.kind == "clicks" and not has(machine, name)):
        raise InputError(_missing(name))
    if leg is None or not row.place.startswith(LEG):
        return changed(machine, row.place, value)
    require("leg", leg, 1, 2)
    apart = dataclasses.replace(machine, legs=machine.both_legs)
    return changed(apart, f"{LEG}{leg}.{row.place.removeprefix(LEG)}", value)


def adjusted(machine: Machine, leg: int | None = None, **changes) -> Machine:
    """The same machine with other settings; the one given stays as it is.

    Parameters: machine; leg, 1 or 2 to change one leg only; changes, one after another: see `change`.
    Raises: InputError for a name that is no adjuster, or a value out of its range.

    >>> from suspedu.machine import load
    >>> adjusted(load("enduro"), preload=0.008).legs[0].spring.preload
    0.008
    """
    for name, value in changes.items():
        machine = change(machine, name, value, leg)
    return machine


def turned(machine: Machine, name: str, steps: float) -> Machine:
    """The machine with one adjuster turned by some of its steps [-], each leg from where it stands.

    Raises: InputError past an end, for an adjuster that is not there, or for a part, which is exchanged instead.

    >>> from suspedu.machine import load
    >>> round(turned(load("enduro"), "preload", 2).legs[0].spring.preload * 1e3, 6)
    6.0
    """
    row = adjuster(name)
    by = steps * row.step
    if not has(machine, name):
        raise InputError(_missing(name))
    if row.kind == "part":
        raise InputError(f"'{name}' has no steps to turn it by; say what it shall be: change(machine, '{name}', ...)")
    if not row.place.startswith(LEG):
        return change(machine, name, setting(machine, name) + by)
    fitted = [(count, leg) for count, leg in enumerate(machine.legs, start=1) if has(leg, name)]
    for number, leg in fitted:
        machine = change(machine, name, setting(leg, name) + by, number if len(machine.legs) == 2 else None)
    return machine


def range_of(machine: Machine | Leg, name: str) -> tuple[float, float]:
    """Lowest and highest value of an adjuster [SI, or clicks]: a clicker's own ends, or what a workshop usually meets.

    >>> from suspedu.machine import load
    >>> range_of(load("enduro"), "compression_high"), range_of(load("enduro"), "preload")
    ((0, 20), (0.0, 0.02))
    """
    row, _ = adjuster(name), setting(machine, name)  # refused where there is none
    if row.ends:
        return row.ends(_first_leg(machine))
    if row.kind != "clicks":
        return row.low, row.high
    root, way = _way(machine, row)
    return 0, value_at(root, way.removesuffix("clicks") + "last_click")


def refitted(machine: Machine, stock: str) -> Machine:
    """The same machine with another damper from the shelf in both legs, as it was built, its stop at the travel's end.

    Parameters: machine; stock, a name as `stock_damper` takes it.
    Raises: InputError for a damper that is not in stock, or a machine that describes no oil for one.

    >>> from suspedu.machine import load
    >>> type(refitted(load("enduro"), "damping rod").legs[0].damper.unit).__name__
    'DampingRod'
    """
    unit = stock_damper(stock)
    return dataclasses.replace(machine, legs=tuple(_refitted(leg, unit) for leg in machine.legs))


def _refitted(leg: Leg, unit: Damper) -> Leg:
    if leg.damper is None:
        raise InputError("this machine's file names no damper, so its oil is not known: it needs a table [legs.damper]")
    fitted = dataclasses.replace(leg.damper, unit=unit).fitted_to(leg.travel)
    return dataclasses.replace(leg, damper=fitted)


def _way(machine: Machine | Leg, row: Adjuster) -> tuple[object, str]:
    """Where to start and which way to go: a leg knows its own part of the way."""
    return machine, row.place if isinstance(machine, Machine) else row.place.removeprefix(LEG)


def _first_leg(machine: Machine | Leg) -> Leg:
    return machine.legs[0] if isinstance(machine, Machine) else machine


def _missing(name: str) -> str:
    return f"this machine has no adjuster '{name}': its file describes no such part, or its damper has none"
