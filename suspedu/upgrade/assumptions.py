"""What a comparison leans on: each assumption moved both ways, the same settings ridden again."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from suspedu.changes import changed
from suspedu.machine import Machine, change, has
from suspedu.ride.simulate import on_all_cores
from suspedu.ride.terrain import Terrain
from suspedu.school.valves import LANDS, with_lands
from suspedu.upgrade.mix import WISHES, grounds
from suspedu.upgrade.oil_states import LOSS, Day, OilState, ridden_day, states
from suspedu.upgrade.technologies import Setting, technology


@dataclass(frozen=True)
class Assumption:
    """One thing that the comparison takes for granted, in words, and what it becomes at either side of it."""

    words: str
    low: str
    high: str
    machine: Callable[[Machine, int], Machine] = lambda machine, side: machine
    oil: Callable[[str, int], tuple[OilState, OilState]] = lambda stock, side: states(stock)
    over: Callable[[int], Mapping[str, Terrain] | None] = lambda side: None


def _by(place: str, share: float) -> Callable[[Machine, int], Machine]:
    """A quantity of the leg, times or divided by a share."""
    def moved(machine: Machine, side: int) -> Machine:
        where = machine.legs[0]
        for step in place.split("."):
            where = getattr(where, step)
        return changed(machine, f"legs.{place}", where * share**side)
    return moved


def _adjusted(name: str, step: float) -> Callable[[Machine, int], Machine]:
    """A row of the table of adjusters, so much lower or higher [SI]."""
    def moved(machine: Machine, side: int) -> Machine:
        now = {"rider_mass": machine.rider.mass, "tyre_pressure": machine.tyre.pressure}[name]
        return change(machine, name, now + side * step)
    return moved


def _lands(machine: Machine, side: int) -> Machine:
    if not has(machine, "compression_low"):
        return machine  # a damping rod has no lands under shims
    return changed(machine, "legs.damper.unit", with_lands(machine.legs[0].damper.unit, LANDS[(side + 1) // 2]))


ASSUMPTIONS = {
    "rider": Assumption("weight of the rider", "15 kg less", "15 kg more", machine=_adjusted("rider_mass", 15.0)),
    "tyre": Assumption("pressure of the tyre", "0.2 bar less", "0.2 bar more",
                       machine=_adjusted("tyre_pressure", 0.2e5)),
    "lands": Assumption("seat lands under the shims", "0.2 mm", "0.5 mm", machine=_lands),
    "seals": Assumption("friction of the seals", "half", "twice", machine=_by("friction.sliding", 2.0)),
    "air": Assumption("air whipped into an open bath", "half", "twice",
                      oil=lambda stock, side: states(stock, stirred=2.0**side)),
    "cooling": Assumption("heat lost to the wind", "half", "twice",
                          oil=lambda stock, side: states(stock, loss=LOSS * 2.0**side)),
    "rocks": Assumption("the rocks", "other ones", "others again", over=lambda side: grounds(seed=5 + side)),
    "pace": Assumption("pace over rocks and bumps", "10 % slower", "10 % faster",
                       over=lambda side: grounds(share=1.0 + 0.1 * side)),
}  # fmt: skip


@dataclass(frozen=True)
class Leaning:
    """Gain of one damper over another in every wish [SI]: as assumed, and with each assumption low and high."""

    usual: dict[str, float]
    moved: dict[str, dict[str, tuple[float, float]]]  # by assumption, by wish

    def turns(self, wish: str) -> list[str]:
        """Assumptions that turn the order of the two dampers in a wish."""
        return [name for name, gains in self.moved.items()
                if min(np.multiply(gains[wish], self.usual[wish])) < 0.0]


def leaning(one: tuple[str, Setting], other: tuple[str, Setting]) -> Leaning:
    """How the gain from one damper to another leans on the assumptions, both at settings that are held.

    Parameters: one, other: name of a technology and a setting of it.
    Assumes: one assumption is moved at a time; nobody tunes again.
    """
    asked = [(None, 0), *((name, side) for name in ASSUMPTIONS for side in (-1, 1))]
    rows = on_all_cores(lambda ask: _gains(_day(*one, *ask), _day(*other, *ask)), asked)
    each = dict(zip(asked, rows, strict=True))
    return Leaning(each[(None, 0)], {name: {wish: (each[(name, -1)][wish], each[(name, 1)][wish]) for wish in WISHES}
                                     for name in ASSUMPTIONS})


def _gains(before: Day, after: Day) -> dict[str, float]:
    return {name: float(wish.gain(after.of(name) - before.of(name))) for name, wish in WISHES.items()}


def _day(name: str, setting: Setting, assumption: str | None, side: int) -> Day:
    of = technology(name)
    if assumption is None:
        return ridden_day(of.fitted(setting), states(of.stock))
    moved = ASSUMPTIONS[assumption]
    return ridden_day(moved.machine(of.fitted(setting), side), moved.oil(of.stock, side), moved.over(side))
