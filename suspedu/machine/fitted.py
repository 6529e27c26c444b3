"""The damper that a leg of a machine carries: the unit itself, at its clicks, and the oil in it."""

from __future__ import annotations

import dataclasses
from dataclasses import make_dataclass
from functools import cache
from math import ceil

from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.damper import Damper, stock_damper
from suspedu.damper.forces import WARM
from suspedu.damper.paths import counted
from suspedu.machine.adjusters import ADJUSTERS, clickers
from suspedu.parts.oil import Oil, density
from suspedu.units import InputError, check_fields, part, quantity

RANGE = "_range"  # behind a clicker's name in a file: how many clicks there are


@part(kw_only=True)
class FittedDamper:
    """A damper as it stands in a leg: the unit, set to its clicks, its oil, and how warm that is.

    A file names the unit on the shelf (or the damper's own file) and may say the clicks: see `in_file`.

    >>> FittedDamper(unit=stock_damper("open cartridge"), oil=Oil(15e-6, 3.5e-6)).unit.rebound.needle.clicks
    12
    """

    unit: Damper
    oil: Oil
    oil_temperature: float = quantity("degC", -30, 140, "oil temperature", default=WARM)
    fixed: tuple[str, ...] = ()  # clickers of the unit on the shelf that this one lacks: they stay as built

    def __post_init__(self):
        check_fields(self)
        _ = density(self.oil_temperature, self.oil)  # oil too cold to flow is refused here, not at the first ride

    @classmethod
    def in_file(cls) -> type:
        """What stands in a file: a name from stock (or the path of a damper's file), the oil, clicks out and ranges."""
        return _form(clickers())

    @classmethod
    def from_file(cls, stock: str, oil: Oil, oil_temperature: float = WARM, **clicks: int | None) -> FittedDamper:
        """The damper that a file describes; clicks and ranges left out or None are as built.

        Parameters: stock, as `stock_damper` takes it; oil; oil_temperature [K]; clicks out by name, and by name with
        `_range` how many there are from gently closed to fully open; 0 where that clicker is missing.
        Raises: InputError for a damper that is not in stock, or clicks that it does not have.
        Assumes: a clicker with more or fewer clicks opens as far in all as the one on the shelf.

        >>> FittedDamper.from_file("open cartridge", Oil(15e-6, 3.5e-6), rebound=8).unit.rebound.needle.clicks
        8
        """
        given = {name: at for name, at in clicks.items() if at is not None}
        ranges = {name.removesuffix(RANGE): given.pop(name) for name in tuple(given) if name.endswith(RANGE)}
        fixed = tuple(name for name, last in ranges.items() if last == 0)
        if twice := [name for name in fixed if name in given]:
            raise InputError(f"{twice[0]} stands at {given[twice[0]]} clicks, but {twice[0]}{RANGE} = 0 says that it "
                             "is not there")
        unit = _clicked(_ranged(stock_damper(stock), ranges), given)
        return cls(unit=unit, oil=oil, oil_temperature=oil_temperature, fixed=fixed)

    def fitted_to(self, travel: float) -> FittedDamper:
        """The same damper with its hydraulic stop, if it has one, ending where the fork's travel [m] ends.

        >>> short = FittedDamper.from_file("closed cartridge", Oil(15e-6, 3.5e-6)).fitted_to(0.280)
        >>> short.unit.end_stop.full_stroke
        0.28
        """
        if self.unit.end_stop is None or self.unit.end_stop.full_stroke == travel:
            return self
        return dataclasses.replace(self, unit=changed(self.unit, "end_stop.full_stroke", travel))


def _ranged(unit: Damper, ranges: dict[str, int]) -> Damper:
    """The damper with clickers of other ranges, each as far open as it was."""
    for name, last in ranges.items():
        place = _place(unit, name).removesuffix(".clicks")
        if last == 0:
            continue
        old = value_at(unit, place)
        whole, widest = old.pitch * old.last_click, next(f for f in dataclasses.fields(old) if f.name == "pitch")
        counted(f"{name}{RANGE}", last, ceil(whole / widest.metadata["high"]), 60,
                "few turns: count halves or quarters")
        now = {"clicks": round(old.clicks * last / old.last_click), "pitch": whole / last}
        unit = changed(unit, place, dataclasses.replace(old, last_click=last, **now))
    return unit


def _clicked(unit: Damper, clicks: dict[str, int]) -> Damper:
    for name, at in clicks.items():
        unit = changed(unit, _place(unit, name), at)
    return unit


def _place(unit: Damper, name: str) -> str:
    """Where a clicker sits inside a damper."""
    place = ADJUSTERS[name].in_damper
    if not leads_somewhere(unit, place):
        raise InputError(f"this damper has no adjuster '{name}': its openings are fixed")
    return place


@cache
def _form(names: tuple[str, ...]) -> type:
    """The dataclass of a file's table, with two keys for every clicker there is."""
    temperature = quantity("degC", -30, 140, "oil temperature", default=WARM)
    clicks = [(name + end, int | None, dataclasses.field(default=None)) for name in names for end in ("", RANGE)]
    return make_dataclass("FittedDamper", [("stock", str), ("oil", Oil), ("oil_temperature", float, temperature),
                                           *clicks], kw_only=True, frozen=True)
