"""What the form of one's own machine asks for: each key of a machine's file, in the trade's words, and how to find it.

Unit and range come from the part itself; here stand only words, and how far another machine may be from the school's.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from suspedu.machine.fitted import RANGE, FittedDamper
from suspedu.machine.model import Chassis, Leg, MachineFile, Rider, Tyre
from suspedu.parts.air_spring import AirSpring
from suspedu.parts.friction import Bushings, SealFriction
from suspedu.parts.oil import Oil
from suspedu.parts.springs import CoilSpring
from suspedu.parts.stops import Bumper, TopOutSpring

LEGS = "legs."  # both legs alike: one entry
PARTS = {"": MachineFile, "chassis": Chassis, "rider": Rider, "tyre": Tyre, "legs": Leg, "legs.spring": CoilSpring,
         "legs.air": AirSpring, "legs.friction": SealFriction, "legs.bushings": Bushings, "legs.top_out": TopOutSpring,
         "legs.bumper": Bumper, "legs.damper": FittedDamper.in_file(), "legs.damper.oil": Oil}  # fmt: skip
GROUPS = {"who": "Machine and rider", "springs": "Springs, oil and air", "damper": "Damper",
          "tape": "Measured with a tape, as it stands", "rare": "Rarely known"}
STOCKS = {"closed cartridge": "closed cartridge, under its own pressure", "open cartridge": "open cartridge, in the oil"
          " bath", "damping rod": "damping rod, fixed holes"}
POSTURES = {"standing": "standing on the pegs", "sitting": "sitting"}


@dataclass(frozen=True)
class Field:
    """One line of the form.

    >>> FIELDS["legs.travel"].unit, FIELDS["legs.damper.rebound"].kind, FIELDS["rider.posture"].kind
    ('mm', 'clicks', 'choice')
    """

    key: str  # of the machine's file
    label: str
    group: str
    how: str  # how one finds it
    doubt: float = 0.0  # in `unit`: how far a like machine may be from the school's (guess of the course)

    @property
    def facts(self) -> Mapping[str, Any]:
        """Unit, range and likely slip of the part's own field; empty for a choice, a text or a count."""
        place, _, name = self.key.rpartition(".")
        return next(each for each in dataclasses.fields(PARTS[place]) if each.name == name).metadata

    @property
    def kind(self) -> str:
        """What is asked: "number" (with a unit, or a bare one), "clicks", "choice" or "text"."""
        if "unit" in self.facts:
            return "number"
        return "clicks" if self.key.startswith("legs.damper.") and self.key not in CHOICES else (
            "choice" if self.key in CHOICES else "text")

    @property
    def unit(self) -> str:
        """The unit in which it is asked."""
        return self.facts.get("unit", "clicks" if self.kind == "clicks" else "")


CHOICES = {"rider.posture": POSTURES, "legs.damper.stock": STOCKS}
SCALES = "bathroom scales under the front wheel, the rear on a block as high; over the whole mass"
MANUAL = "the maker's manual"
LEGS = (f"{MANUAL}; the same in both legs and one of the school's kinds: legs that differ, or a damper of another "
        "build, are written into the file by hand")
OUT = "count from gently closed, by hand, never forced"
ALL = "count from gently closed to where it stops; 0 where there is no such clicker"
CLICKERS = {"compression_low": "Low-speed compression", "compression_high": "High-speed compression",
            "rebound": "Rebound"}  # fmt: skip
_WHO = (
    Field("chassis.mass", "Machine, fuelled", "who", f"{MANUAL}, or scales", 6),
    Field("rider.mass", "Rider in riding gear", "who", "bathroom scales, boots and pack on", 10),
    Field("rider.posture", "Rides", "who", "as on the ground in question"),
    Field("tyre.pressure", "Front tyre", "who", "a gauge, tyre cold", 0.15),
    Field("chassis.wheelbase", "Wheelbase", "who", f"{MANUAL}, or a tape from axle to axle", 30),
    Field("chassis.rake", "Rake, from the vertical", "who", MANUAL, 1),
)
_SPRINGS = (
    Field("legs.travel", "Travel of the fork", "springs", f"{MANUAL}; or springs out, top to bottom by tape", 10),
    Field("legs.spring.rate", "Spring rate, each leg", "springs", "stamped on the spring, or the manual", 0.3),
    Field("legs.spring.preload", "Preload, each leg", "springs",
          "free length less the room it has, by tape; plus the collar's turns", 4),
    Field("legs.air.oil_height", "Oil height", "springs",
          "ruler, leg compressed, spring out: top of the tube down to the oil", 15),
    Field("legs.air.tube_diameter", "Sliding tube, outside", "springs", "calliper, or the manual", 2),
    Field("legs.air.gauge_pressure", "Air left in, hanging", "springs", "0 once bled with the wheel in the air", 0.1),
)
_DAMPER = (
    Field("legs.damper.stock", "Kind of damper", "damper", LEGS),
    Field("legs.damper.oil.viscosity_40", "Fork oil at 40 °C", "damper", "data sheet of the oil, not the W on its can"),
    Field("legs.damper.oil.viscosity_100", "Fork oil at 100 °C", "damper", "the same data sheet"),
    *(Field(f"legs.damper.{name}{end}", f"{label}: {words}", "damper", how) for name, label in CLICKERS.items()
      for end, words, how in ((RANGE, "clicks in all", ALL), ("", "stands at", OUT))),
)
_TAPE = (
    Field("measured_free_sag", "Free sag", "tape",
          "tape along the fork: wheel in the air, less the machine alone on it; mean of let down and pressed up"),
    Field("measured_rider_sag", "Rider sag", "tape", "the same with the rider in gear aboard, still"),
)
_RARE = (
    Field("chassis.front_share", "Front share, machine alone", "rare", SCALES, 2),
    Field("rider.front_share", "Front share of the rider", "rare", f"{SCALES}, rider aboard less machine alone", 5),
    Field("chassis.unsprung_mass", "Wheel, axle, brake, sliding tubes", "rare", "scales, parts off", 2),
    Field("chassis.centre_height", "Height of the common mass centre", "rare", "about the navel of a standing rider"),
    Field("legs.air.bore", "Bore of the outer tube", "rare", "calliper, fork apart", 1.5),
    Field("legs.air.inside_diameter", "Cartridge, outside", "rare", "calliper, fork apart", 2),
    Field("legs.air.displaced_volume", "Volume of the spring", "rare", "its rise in a measuring jug of oil", 10),
    Field("legs.air.full_volume", "Oil to the tube's top", "rare", "measuring jug, on filling the dry leg"),
    Field("legs.friction.sliding", "Friction of the seals, each leg", "rare", "half of what a spring balance needs to "
          "move a leg without its spring", 6),
    Field("legs.bumper.length", "Bottoming bumper", "rare", "ruler, fork apart"),
    Field("legs.bumper.rate", "Rate of the bumper", "rare", "scales and ruler"),
    Field("legs.top_out.length", "Top-out spring", "rare", "ruler, fork apart", 3),
    Field("legs.top_out.rate", "Rate of the top-out spring", "rare", "scales and ruler"),
    Field("tyre.radius", "Radius of the front tyre", "rare", "tape, ground to axle, wheel in the air"),
    Field("tyre.width", "Width of its contact", "rare", "ink on the tread, on card"),
)

FIELDS: dict[str, Field] = {field.key: field for field in (*_WHO, *_SPRINGS, *_DAMPER, *_TAPE, *_RARE)}
