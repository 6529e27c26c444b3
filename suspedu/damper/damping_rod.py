"""The oldest architecture: a rod with holes inside the inner tube, nothing but fixed openings."""

from __future__ import annotations

from suspedu.damper.circuit import Circuit, Damper
from suspedu.damper.gas import ForksAir
from suspedu.damper.paths import Clearance, Hole
from suspedu.damper.ports import ShimPort
from suspedu.damper.valves import Valve
from suspedu.data.reader import one_kind_of
from suspedu.parts.restrictions import bore_area
from suspedu.units import InputError, check_fields, part, quantity


@one_kind_of(Damper)
@part
class DampingRod(Circuit):
    """A rod with holes inside the inner tube.

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
    reservoir = ForksAir()

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
