"""Three ways to build a fork damper: closed cartridge, open cartridge, damping rod.

To the oil they are one circuit: a piston that displaces oil past itself, and a rod (or a tube wall) that displaces
oil out to a reservoir. Four valves do the work: base and mid on compression, rebound and refill on rebound.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from suspedu.damper.end_stop import EndStop
from suspedu.damper.paths import Clearance, Hole, ShimPort
from suspedu.damper.valves import Valve
from suspedu.data.reader import read_part
from suspedu.parts.restrictions import bore_area
from suspedu.units import ROOM_TEMPERATURE, STANDARD_ATMOSPHERE, InputError, check_fields, from_si, nearest, quantity


@dataclass(frozen=True)
class Pressuriser:
    """The gas behind the bladder of a closed cartridge, charged at room temperature with the rod out."""

    charge: float = quantity("bar", 0, 12, "charge of the cartridge (gauge)")
    gas_volume: float = quantity("cm**3", 20, 300, "gas volume of the cartridge")
    exponent: float = quantity("", 1, 1.4, "polytropic exponent", default=1.2)

    def __post_init__(self):
        check_fields(self)


@dataclass(frozen=True)
class _Cartridge:
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


@dataclass(frozen=True)
class ClosedCartridge(_Cartridge):
    """Sealed, bled and under pressure: no air in the oil."""

    pressuriser: Pressuriser
    end_stop: EndStop | None = None
    air_fraction: float = quantity("", 1e-5, 0.3, "share of air in the oil", default=5e-4)

    def outside_pressure(self, reservoir_abs):
        """Pressure on the rod's outer end [Pa]: that of the open air, whatever reservoir_abs [Pa]."""
        return np.full_like(reservoir_abs, STANDARD_ATMOSPHERE)


@dataclass(frozen=True)
class OpenCartridge(_Cartridge):
    """Stands in the fork's oil bath under the fork's own air, which it slowly whips into the oil."""

    end_stop: EndStop | None = None
    air_fraction: float = quantity("", 1e-5, 0.3, "share of air in the oil", default=0.02)

    def outside_pressure(self, reservoir_abs):
        """Pressure on the rod's outer end [Pa]: the fork's air, reservoir_abs [Pa]; so no gas force of its own."""
        return reservoir_abs


@dataclass(frozen=True)
class DampingRod:
    """A rod with holes inside the inner tube: nothing but fixed openings.

    The inner tube's wall displaces oil through the compression holes; the ring space between tube and rod refills
    past a check plate and empties through the rebound holes; a second check plate at the foot lets the oil back in.
    """

    tube: float = quantity("mm", 20, 60, "inner tube outside")
    tube_bore: float = quantity("mm", 18, 58, "inner tube bore")
    rod: float = quantity("mm", 6, 50, "damping rod")
    compression_column: float = quantity("mm", 50, 600, "oil column below the tube, fork extended")
    rebound_column: float = quantity("mm", 10, 300, "oil column in the ring space, fork extended")
    compression_holes: Hole
    rebound_holes: Hole
    ring_check: ShimPort
    foot_check: ShimPort
    ring_leak: Clearance
    air_fraction: float = quantity("", 1e-5, 0.3, "share of air in the oil", default=0.03)

    end_stop = None

    def __post_init__(self):
        check_fields(self)
        if not self.rod < self.tube_bore < self.tube:
            raise InputError("a damping rod must fit inside the tube's bore, and the bore inside the tube")
        if self.ring_check.stack or self.foot_check.stack:
            raise InputError("a damping rod has plain check plates; a shim stack would make it another damper")

    piston_area = property(lambda self: bore_area(self.tube) - bore_area(self.rod), doc="Compressing area [m2].")
    displaced_area = property(lambda self: bore_area(self.tube) - bore_area(self.tube_bore), doc="Tube wall [m2].")
    base = property(lambda self: Valve(self.ring_leak, holes=self.compression_holes), doc="Compression holes.")
    mid = property(lambda self: Valve(self.ring_leak, ports=(self.ring_check,)), doc="Check plate to the ring space.")
    rebound = property(lambda self: Valve(self.ring_leak, holes=self.rebound_holes), doc="Rebound holes.")
    refill = property(lambda self: Valve(self.ring_leak, holes=self.compression_holes, ports=(self.foot_check,)),
                      doc="The compression holes, the other way, and the check plate at the foot.")

    def outside_pressure(self, reservoir_abs):
        """Pressure on the outer end [Pa]: the fork's air, reservoir_abs [Pa]; so no gas force of its own."""
        return reservoir_abs


Damper = ClosedCartridge | OpenCartridge | DampingRod
VALVES = ("base", "mid", "rebound", "refill")


def reservoir_pressure(stroke, damper: Damper, temperature=ROOM_TEMPERATURE, air_pressure=STANDARD_ATMOSPHERE):
    """Absolute pressure of the reservoir: closed, the charge squeezed by the rod; otherwise the fork's own air.

    p = p_0 (T / T_0) (V_0 / (V_0 - A_r x))^n

    Parameters: stroke [any shape, m]; damper; temperature [K]; air_pressure, absolute, of the fork's air at this
    stroke [broadcasting, Pa], used by open dampers. Returns: pressure, absolute [Pa].
    Raises: InputError where the rod would leave the bladder no gas.

    >>> closed = stock_damper("closed cartridge")
    >>> (reservoir_pressure([0.0, 0.3], closed) / 1e5).round(2).tolist()  # bar, absolute
    [2.81, 4.38]
    """
    stroke = np.asarray(stroke, dtype=float)
    if not isinstance(damper, ClosedCartridge):
        return np.broadcast_arrays(np.asarray(air_pressure, dtype=float), stroke)[0]
    gas = damper.pressuriser
    left = gas.gas_volume - damper.displaced_area * stroke
    if np.any(left < 0.05 * gas.gas_volume):
        raise InputError(f"the rod leaves {float(np.min(left)) * 1e6:.3g} cm3 of the {gas.gas_volume * 1e6:.3g} cm3 of "
                         "gas in the cartridge; give it a larger gas volume or a thinner rod")
    charge = (gas.charge + STANDARD_ATMOSPHERE) * temperature / ROOM_TEMPERATURE
    return charge * (gas.gas_volume / left) ** gas.exponent


def stock_damper(name: str) -> Damper:
    """Damper of the riding school: "closed cartridge", "open cartridge" or "damping rod"; or any TOML file by its path.

    Raises: InputError for a name that is not in stock, or one sentence about the first slip in the file.

    >>> stock_damper("damping rod").base.needle is None
    True
    """
    shelf = Path(__file__).parent.parent / "data" / "dampers"
    known = {path.stem.replace("_", " "): path for path in shelf.glob("*.toml")}
    if not str(name).endswith(".toml") and name not in known:
        raise InputError(f"damper '{name}' is not in stock; known: {', '.join(sorted(known))}{nearest(name, known)}")
    return _from_shelf(known[name]) if name in known else read_part(name, _DamperFile).damper


@lru_cache(maxsize=16)
def _from_shelf(path: Path) -> Damper:
    return read_part(path, _DamperFile).damper


@dataclass(frozen=True)
class _DamperFile:
    damper: Damper
