"""A machine as a mechanic meets it: chassis, tyre, two legs, a rider, and the setting they stand at.

Values may be arrays as well as numbers: a machine whose preload is an array of
eleven preloads has eleven sags. All laws broadcast.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np

from suspedu.damper.gas import sealed_area
from suspedu.data.reader import read_part
from suspedu.machine.fitted import FittedDamper
from suspedu.parts.air_spring import AirSpring
from suspedu.parts.friction import Bushings, SealFriction
from suspedu.parts.springs import CoilSpring, coil_room
from suspedu.parts.stops import Bumper, TopOutSpring
from suspedu.parts.tyre import Tyre
from suspedu.parts.wheel_end import TelescopicFork, WheelEnd
from suspedu.units import InputError, check_fields, nearest, part, quantity, require, shown

MACHINES = Path(__file__).parent.parent / "data" / "machines"
SAME_STROKE = 1e-6  # m: a micrometre is no misfit, only a number written otherwise


@part(kw_only=True)
class Chassis:
    """The machine without its rider, fuelled and ready: masses and front geometry."""

    mass: float = quantity("kg", 60, 250, "machine mass")
    front_share: float = quantity("percent", 35, 65, "front share of the machine alone")
    unsprung_mass: float = quantity("kg", 5, 30, "unsprung front mass", "wheel, axle, brake and the sliding tubes")
    wheelbase: float = quantity("mm", 1000, 1700, "wheelbase")
    rake: float = quantity("deg", 15, 35, "rake", "the angle of the fork from the vertical")
    centre_height: float = quantity("mm", 400, 1300, "height of the common mass centre")

    def __post_init__(self):
        check_fields(self)
        if np.any(np.less_equal(self.mass * self.front_share, self.unsprung_mass)):
            raise InputError(f"unsprung front mass is {shown(np.max(self.unsprung_mass), 'kg')}, more than the whole "
                             "front of the machine weighs: was the machine's mass or front share mistyped?")


@part(kw_only=True)
class Rider:
    """The rider in full riding gear, and the share of that weight which the front wheel carries."""

    mass: float = quantity("kg", 30, 160, "rider in gear")
    front_share: float = quantity("percent", 20, 65, "front share of the rider's weight")
    posture: str = "standing"  # or "sitting": how limbs carry the rider, see `ride.rider`


@part(kw_only=True)
class Leg:
    """One fork leg: what is in it and how it is set."""

    travel: float = quantity("mm", 80, 350, "travel")
    spring: CoilSpring
    air: AirSpring
    friction: SealFriction
    bushings: Bushings | None = None  # None: what they rub is not known, and left out
    top_out: TopOutSpring | None = None
    bumper: Bumper | None = None
    damper: FittedDamper | None  # no default: a file that was cut off before its last table must not pass

    def __post_init__(self):
        check_fields(self)
        object.__setattr__(self, "air", _beside(self.air, self.damper))
        require("travel plus preload", self.travel + self.spring.preload, 0, np.min(coil_room(self.spring)), "mm",
                "the coils would touch before the end of the stroke: spring too short, or too much preload")
        for end in (self.top_out, self.bumper):
            if end is not None:
                require("length of the top-out spring or bumper", end.length, 0, self.travel / 2, "mm")
        stop = None if self.damper is None else self.damper.unit.end_stop
        if stop is not None and np.any(np.abs(stop.full_stroke - self.travel) > SAME_STROKE):
            raise InputError(f"the damper's end stop ends at {shown(stop.full_stroke, 'mm')}, but the travel at "
                             f"{shown(np.max(self.travel), 'mm')}: fit the damper to the leg, `fitted_to(travel)`")

    @classmethod
    def from_file(cls, *, travel: float, damper: FittedDamper | None, **parts) -> Leg:
        """The leg that a file describes: its damper is fitted to its travel [m]."""
        return cls(travel=travel, damper=damper and damper.fitted_to(travel), **parts)


def _beside(air: AirSpring, damper: FittedDamper | None) -> AirSpring:
    """The air as a damper leaves it: a closed cartridge takes its rod out of it, and its oil swells."""
    if damper is None:
        return dataclasses.replace(air, sealed_area=0.0)
    return dataclasses.replace(air, sealed_area=sealed_area(damper.unit), oil_expansion=damper.oil.expansion)


@dataclass(frozen=True, kw_only=True)
class Machine:
    """A machine of the riding school with its rider. One leg in `legs` stands for two alike."""

    name: str
    story: str
    chassis: Chassis
    tyre: Tyre
    rider: Rider
    legs: tuple[Leg, ...]
    linkage: WheelEnd | None = None  # between wheel and legs, where they are no telescopic fork at the chassis' rake

    @classmethod
    def in_file(cls) -> type:
        """What a machine's file may hold: the machine, and what its owner noted beside it."""
        return MachineFile

    @classmethod
    def from_file(cls, **parts) -> Machine:
        """What a file describes: the machine alone, or a `MachineFile` with its owner's notes."""
        own = {field.name for field in dataclasses.fields(cls)}
        return cls(**{name: value for name, value in parts.items() if name in own})

    def __post_init__(self):
        if self.tyre is None:
            raise InputError("the machine has no tyre; without one there is nothing to ride on: give [tyre]")
        if len(self.legs) not in (1, 2):
            raise InputError(f"legs has {len(self.legs)} entries; a fork has two legs: give one for both, or two")
        if self.legs[0].travel != self.legs[-1].travel:
            raise InputError("the two legs have different travel; they are clamped side by side and move together")

    @property
    def both_legs(self) -> tuple[Leg, Leg]:
        """The two legs, also where they are alike and described once."""
        return self.legs[0], self.legs[-1]

    @property
    def travel(self) -> float:
        """Travel of the fork [m]."""
        return self.legs[0].travel

    @cached_property
    def wheel_end(self) -> WheelEnd:
        """What stands between the wheel and the stroke of the legs."""
        return TelescopicFork(self.chassis.rake) if self.linkage is None else self.linkage


@dataclass(frozen=True, kw_only=True)
class MachineFile(Machine):
    """A machine with its owner's notes: which values are not known, and what a tape measure found."""

    assumed: tuple[str, ...] = ()  # keys of the file whose values are the school's, for want of better ones
    measured_free_sag: float | None = quantity("mm", 0, 200, "free sag by tape", default=None)
    measured_rider_sag: float | None = quantity("mm", 0, 300, "rider sag by tape", default=None)


def of_one_setting(machine: Machine) -> Machine:
    """The machine itself, if it is one setting: a ride is of one, where statics answers for many at once.

    Raises: InputError for a machine that holds arrays.

    >>> of_one_setting(load("enduro")).name
    'School enduro'
    """
    try:
        hash(machine)
    except TypeError as fault:  # an array somewhere in it
        raise InputError("a ride is of one setting, and this machine holds arrays; ride them one by one") from fault
    return machine


def names() -> tuple[str, ...]:
    """Names of the riding school's machines, as `load` takes them.

    >>> names()
    ('enduro', 'trail')
    """
    return tuple(sorted(path.stem for path in MACHINES.glob("*.toml")))


def load(name_or_path: str | Path) -> Machine:
    """Machine of the riding school by its name, or of your own by the path of its TOML file.

    Raises: InputError, one sentence: an unknown name, an unreadable file, a key that is missing or misspelt.

    >>> load("enduro").travel
    0.3
    """
    text = str(name_or_path)
    if text in names():
        return read_part(MACHINES / f"{text}.toml", Machine)
    if text.endswith(".toml") or Path(text).exists():
        return read_part(text, Machine)
    raise InputError(f"machine '{text}' is not known{nearest(text, names())}; known: {', '.join(names())}, "
                     "or the path of a .toml file")
