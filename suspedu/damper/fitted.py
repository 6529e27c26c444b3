"""The damper that a leg of a machine carries: which one from the shelf, its clicks, its oil."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from suspedu.changes import changed
from suspedu.damper.architectures import Damper, stock_damper
from suspedu.damper.forces import WARM
from suspedu.parts.oil import Oil, density
from suspedu.units import check_fields, quantity


@dataclass(frozen=True, kw_only=True)
class FittedDamper:
    """A damper by its name in stock (or the path of its file), set to clicks out from gently closed; None = as built.

    >>> FittedDamper(stock="open cartridge", oil=Oil(15e-6, 3.5e-6), rebound=8).damper.rebound.needle.clicks
    8
    """

    stock: str
    oil: Oil
    oil_temperature: float = quantity("degC", -30, 140, "oil temperature", default=WARM)
    compression_low: int | None = None
    compression_high: int | None = None
    rebound: int | None = None

    def __post_init__(self):
        check_fields(self)
        _ = self.damper, density(self.oil_temperature, self.oil)  # a wrong name or click, or oil too cold to flow, is
        # refused here and not at the first ride

    @property
    def damper(self) -> Damper:
        """The damper itself, at these clicks."""
        return _at_clicks(self.stock, self.compression_low, self.compression_high, self.rebound)


@lru_cache(maxsize=1024)
def _at_clicks(stock: str, compression_low, compression_high, rebound) -> Damper:
    """Dampers are frozen, and asked for at every step of a search for the sag: each is made once."""
    damper = stock_damper(stock)
    for place, clicks in (("base.needle.clicks", compression_low), ("base.ports.adjuster.clicks", compression_high),
                          ("rebound.needle.clicks", rebound)):
        damper = damper if clicks is None else changed(damper, place, clicks)
    return damper
