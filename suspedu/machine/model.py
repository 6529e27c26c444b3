"""A machine as a mechanic meets it: chassis, tyre, two legs, a rider, and the setting they stand at.

Values may be arrays as well as numbers: a machine whose preload is an array of
eleven preloads has eleven sags. All laws broadcast.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from suspedu.damper.fitted import FittedDamper
from suspedu.data.reader import read_part
from suspedu.parts.air_spring import AirSpring
from suspedu.parts.friction import SealFriction
from suspedu.parts.springs import CoilSpring, coil_room
from suspedu.parts.stops import Bumper, TopOutSpring
from suspedu.units import InputError, check_fields, nearest, quantity, require, shown

MACHINES = Path(__file__).parent.parent / "data" / "machines"

# Where each adjuster sits. A leg's own path starts at "legs".
ADJUSTERS = {
    "preload": ("legs", "spring", "preload"),
    "coil_rate": ("legs", "spring", "rate"),
    "oil_height": ("legs", "air", "oil_height"),
    "air_temperature": ("legs", "air", "temperature"),
    "rider_mass": ("rider", "mass"),
    "compression_low": ("legs", "damper", "compression_low"),
    "compression_high": ("legs", "damper", "compression_high"),
    "rebound": ("legs", "damper", "rebound"),
}


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class Tyre:
    """The front tyre as a spring and damper that can push on the ground but not pull."""

    stiffness: float = quantity("N/mm", 50, 400, "tyre stiffness")
    damping: float = quantity("N*s/m", 0, 2000, "tyre damping")
    contact_length: float = quantity("mm", 20, 250, "tyre contact length")

    def __post_init__(self):
        check_fields(self)


@dataclass(frozen=True, kw_only=True)
class Rider:
    """The rider in full riding gear, and the share of that weight which the front wheel carries."""

    mass: float = quantity("kg", 30, 160, "rider in gear")
    front_share: float = quantity("percent", 20, 65, "front share of the rider's weight")

    def __post_init__(self):
        check_fields(self)


@dataclass(frozen=True, kw_only=True)
class Leg:
    """One fork leg: what is in it and how it is set."""

    travel: float = quantity("mm", 80, 350, "travel")
    spring: CoilSpring
    air: AirSpring
    friction: SealFriction
    top_out: TopOutSpring | None = None
    bumper: Bumper | None = None
    damper: FittedDamper | None  # no default: a file that was cut off before its last table must not pass

    def __post_init__(self):
        check_fields(self)
        require("travel plus preload", self.travel + self.spring.preload, 0, np.min(coil_room(self.spring)), "mm",
                "the coils would touch before the end of the stroke: spring too short, or too much preload")
        for part in (self.top_out, self.bumper):
            if part is not None:
                require("length of the top-out spring or bumper", part.length, 0, self.travel / 2, "mm")


@dataclass(frozen=True, kw_only=True)
class Machine:
    """A machine of the riding school with its rider. One leg in `legs` stands for two alike."""

    name: str
    story: str
    chassis: Chassis
    tyre: Tyre
    rider: Rider
    legs: tuple[Leg, ...]

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


def adjusted(machine: Machine, leg: int | None = None, **changes) -> Machine:
    """The same machine with other settings; the one given stays as it is.

    Parameters: machine; leg, 1 or 2 to change one leg only; changes, names of `ADJUSTERS` with values in SI
    or in clicks, of any shape.
    Raises: InputError for a name that is no adjuster, or a value out of its range.

    >>> adjusted(load("enduro"), preload=0.008).legs[0].spring.preload
    0.008
    """
    for name, value in changes.items():
        if name not in ADJUSTERS:
            raise InputError(f"'{name}' is not an adjuster{nearest(name, ADJUSTERS)}; known: {', '.join(ADJUSTERS)}")
        first, *rest = ADJUSTERS[name]
        if first == "legs":
            machine = dataclasses.replace(machine, legs=_changed_legs(machine, leg, rest, value))
        else:
            machine = _changed(machine, [first, *rest], value)
    return machine


def refitted(machine: Machine, stock: str) -> Machine:
    """The same machine with another damper from the shelf in both legs, at the clicks it was built with.

    Parameters: machine; stock, a name as `stock_damper` takes it.
    Raises: InputError for a damper that is not in stock, or a machine that describes no oil for one.

    >>> refitted(load("enduro"), "damping rod").legs[0].damper.stock
    'damping rod'
    """
    if any(leg.damper is None for leg in machine.legs):
        raise InputError("this machine's file names no damper, so its oil is not known: it needs a table [legs.damper]")
    as_built = {"stock": stock, "compression_low": None, "compression_high": None, "rebound": None}
    return dataclasses.replace(machine, legs=tuple(
        dataclasses.replace(leg, damper=dataclasses.replace(leg.damper, **as_built)) for leg in machine.legs))


def _changed_legs(machine, leg, path, value) -> tuple[Leg, ...]:
    if leg is None:
        return tuple(_changed(each, path, value) for each in machine.legs)
    require("leg", leg, 1, 2)
    return tuple(_changed(each, path, value) if count == leg else each
                 for count, each in enumerate(machine.both_legs, start=1))


def _changed(part, path, value):
    if part is None:
        raise InputError(f"'{path[0]}' cannot be set: this machine's file describes no such part")
    name, *rest = path
    if not any(field.name == name for field in dataclasses.fields(part)):
        raise InputError(f"this machine has no adjuster '{name}'")
    if rest:
        return dataclasses.replace(part, **{name: _changed(getattr(part, name), rest, value)})
    if isinstance(part, CoilSpring) and name == "rate":  # another spring: the old one's wire no longer counts
        return CoilSpring(preload=part.preload, rate=value)
    return dataclasses.replace(part, **{name: value})
