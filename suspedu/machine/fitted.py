"""The damper that a leg of a machine carries: the unit itself, at its clicks, and the oil in it."""

from __future__ import annotations

import dataclasses
from dataclasses import make_dataclass
from functools import cache

from suspedu.changes import changed, leads_somewhere
from suspedu.damper import Damper, stock_damper
from suspedu.damper.forces import WARM
from suspedu.machine.adjusters import ADJUSTERS, clickers
from suspedu.parts.oil import Oil, density
from suspedu.units import InputError, check_fields, part, quantity


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

    def __post_init__(self):
        check_fields(self)
        _ = density(self.oil_temperature, self.oil)  # oil too cold to flow is refused here, not at the first ride

    @classmethod
    def in_file(cls) -> type:
        """What stands in a file: a name from stock (or the path of a damper's file), the oil, clicks out."""
        return _form(clickers())

    @classmethod
    def from_file(cls, stock: str, oil: Oil, oil_temperature: float = WARM, **clicks: int | None) -> FittedDamper:
        """The damper that a file describes; clicks left out or None are as built.

        Parameters: stock, as `stock_damper` takes it; oil; oil_temperature [K]; clicks out, by name.
        Raises: InputError for a damper that is not in stock, or clicks that it does not have.

        >>> FittedDamper.from_file("open cartridge", Oil(15e-6, 3.5e-6), rebound=8).unit.rebound.needle.clicks
        8
        """
        given = {name: at for name, at in clicks.items() if at is not None}
        return cls(unit=_clicked(stock_damper(stock), given), oil=oil, oil_temperature=oil_temperature)

    def fitted_to(self, travel: float) -> FittedDamper:
        """The same damper with its hydraulic stop, if it has one, ending where the fork's travel [m] ends.

        >>> short = FittedDamper.from_file("closed cartridge", Oil(15e-6, 3.5e-6)).fitted_to(0.280)
        >>> short.unit.end_stop.full_stroke
        0.28
        """
        if self.unit.end_stop is None or self.unit.end_stop.full_stroke == travel:
            return self
        return dataclasses.replace(self, unit=changed(self.unit, "end_stop.full_stroke", travel))


def _clicked(unit: Damper, clicks: dict[str, int]) -> Damper:
    for name, at in clicks.items():
        place = ADJUSTERS[name].in_damper
        if not leads_somewhere(unit, place):
            raise InputError(f"this damper has no adjuster '{name}': its openings are fixed")
        unit = changed(unit, place, at)
    return unit


@cache
def _form(names: tuple[str, ...]) -> type:
    """The dataclass of a file's table, with one key for every clicker there is."""
    temperature = quantity("degC", -30, 140, "oil temperature", default=WARM)
    clicks = [(name, int | None, dataclasses.field(default=None)) for name in names]
    return make_dataclass("FittedDamper", [("stock", str), ("oil", Oil), ("oil_temperature", float, temperature),
                                           *clicks], kw_only=True, frozen=True)
