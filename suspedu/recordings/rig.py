"""What a test of a damper is made with: one leg's damper in a test bench, driven along its stroke."""

from __future__ import annotations

from dataclasses import dataclass, field

from suspedu.damper import WARM, Damper
from suspedu.parts.friction import SealFriction
from suspedu.parts.oil import Oil
from suspedu.units import check_fields, part, quantity

SCHOOL_OIL = Oil(viscosity_40=15e-6, viscosity_100=3.5e-6)  # the demo machines' own (guess of the course)


@part
class Moving:
    """What moves between the damper and the load cell, and what stands above the piston where oil is missing."""

    mass: float = quantity("kg", 0, 20, "mass that moves with the load cell", default=0.0)
    pocket: float = quantity("cm**3", 0, 50, "air pocket above the piston", default=0.0)

    def __post_init__(self):
        check_fields(self)


@dataclass(frozen=True)
class Rig:
    """A damper on the test bench: the leg's damper, its oil, the friction of its seals, the mass that moves along.

    >>> from suspedu.damper import stock_damper
    >>> Rig(stock_damper("closed cartridge")).seals.sliding
    12.0
    """

    damper: Damper
    oil: Oil = SCHOOL_OIL
    temperature: float = WARM  # K
    seals: SealFriction = field(default_factory=lambda: SealFriction(sliding=12.0, slow=0.001))
    moving: Moving = field(default_factory=Moving)
