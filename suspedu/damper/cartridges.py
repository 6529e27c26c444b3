"""Two architectures: the closed cartridge, sealed and under pressure, and the open one in the fork's oil bath."""

from __future__ import annotations

from suspedu.damper.circuit import Circuit, Damper
from suspedu.damper.end_stop import EndStop
from suspedu.damper.gas import ForksAir, Pressuriser
from suspedu.damper.valves import Valve
from suspedu.data.reader import one_kind_of
from suspedu.parts.restrictions import bore_area
from suspedu.units import InputError, check_fields, from_si, part, quantity


@part
class _Cartridge(Circuit):
    """What both cartridges have: bore, rod, four valves, and the oil columns that compress."""

    bore: float = quantity("mm", 14, 50, "cartridge bore")
    rod: float = quantity("mm", 6, 24, "damper rod")
    compression_column: float = quantity("mm", 50, 600, "oil column below the piston, fork extended")
    rebound_column: float = quantity("mm", 10, 300, "oil column above the piston, fork extended")
    base: Valve
    mid: Valve
    rebound: Valve
    refill: Valve

    def __post_init__(self):
        check_fields(self)
        if self.rod >= self.bore:
            raise InputError(f"damper rod is {from_si(self.rod, 'mm'):.4g} mm; it must be thinner than the bore, "
                             f"{from_si(self.bore, 'mm'):.4g} mm (were the two exchanged?)")

    @property
    def piston_area(self):
        """Area that compresses the lower chamber [m2]."""
        return bore_area(self.bore)

    @property
    def displaced_area(self):
        """Oil displaced to the reservoir per stroke: the rod's area [m2]."""
        return bore_area(self.rod)


@one_kind_of(Damper)
@part
class ClosedCartridge(_Cartridge):
    """Sealed, bled and under pressure: no air in the oil.

    >>> from suspedu.damper import stock_damper
    >>> round(stock_damper("closed cartridge").displaced_area * 1e6)  # mm2 of a 12 mm rod
    113
    """

    pressuriser: Pressuriser
    end_stop: EndStop | None = None
    air_fraction: float = quantity("", 1e-5, 0.3, "share of air in the oil", default=5e-4)

    @property
    def reservoir(self) -> Pressuriser:
        """The gas behind its bladder."""
        return self.pressuriser


@one_kind_of(Damper)
@part
class OpenCartridge(_Cartridge):
    """Stands in the fork's oil bath under the fork's own air, which it slowly whips into the oil."""

    end_stop: EndStop | None = None
    air_fraction: float = quantity("", 1e-5, 0.3, "share of air in the oil", default=0.02)

    reservoir = ForksAir()
