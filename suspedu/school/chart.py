"""Which adjuster helps a complaint, and what it costs elsewhere: the school's machines ridden round its loop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.machine.adjusters import charted
from suspedu.machine.riding import Sensitivity, sensitivity
from suspedu.numerics import remembered
from suspedu.school.complaints import COMPLAINTS, Complaint, complaint
from suspedu.school.loop import LOOP, loop_ground
from suspedu.school.machines import MACHINES, school_machine

LITTLE = 3.0  # % of the strongest adjuster: less is not worth a word


def gains(table: Sensitivity, wrong: Complaint, ground: str | None = None) -> dict[str, float]:
    """What one step of each adjuster does for a complaint [SI of the outcome], > 0 = better.

    Parameters: table; complaint; ground, where the complaint shows best if None.
    """
    place = LOOP.index(ground or wrong.ground)
    outcome = table.outcomes.index(wrong.outcome)
    return {name: float(wrong.gain(table.change[place, number, outcome]))
            for number, name in enumerate(table.adjusters)}


def shares(found: dict[str, float]) -> dict[str, float]:
    """Each gain found [SI] against the strongest adjuster's [%], missing adjusters as 0; {} where none is asked.

    >>> shares({"preload": 1.0, "rebound": -4.0})["preload"]
    25.0
    """
    strongest = max((abs(value) for value in found.values()), default=0.0)
    known = {name: 100 * value / strongest if strongest > 0 else 0.0 for name, value in found.items()}
    return {name: float(np.nan_to_num(known.get(name, 0.0))) for name in charted()}


@remembered
def chart(machine: str) -> Sensitivity:
    """The table behind the chart, ridden once for each machine of the school: 9 grounds, two rides per adjuster."""
    names = tuple(dict.fromkeys(complaint.outcome for complaint in COMPLAINTS.values()))
    return sensitivity(school_machine(machine), [loop_ground(name) for name in LOOP], names=names)


def ride_charts(say: Callable[[str], None]) -> None:
    """Ride the charts of the school's machines, saying so; some seconds, once."""
    for machine in MACHINES:
        say(f"Riding the chart of {school_machine(machine).name}: {len(LOOP)} grounds, every adjuster both ways.")
        chart(machine)


@dataclass(frozen=True)
class Advice:
    """The first choice against a complaint on a ground, what it brings and what it costs elsewhere."""

    wrong: Complaint
    ground: str
    gains: dict[str, float]  # SI of the outcome, per step of each adjuster
    shares: dict[str, float]  # %, per step of each adjuster
    first: str  # the adjuster that moves most
    way: float  # 1: one step more of it, -1: one step less
    elsewhere: dict[str, float]  # % for every complaint, of that step

    @property
    def asked(self) -> bool:
        """Whether this ground can tell at all."""
        return bool(np.isfinite(list(self.gains.values())).all())

    @property
    def effect(self) -> str:
        """What that step does to the outcome itself, as text."""
        return self.wrong.shown(float(self.wrong.gain(self.way * self.gains[self.first])))

    @property
    def price(self) -> tuple[str, float] | None:
        """The complaint that gets worst by it, and how much worse [%]; None if next to nothing."""
        others = {name: size for name, size in self.elsewhere.items()
                  if COMPLAINTS[name].outcome != self.wrong.outcome}
        worst = min(others, key=lambda name: round(others[name], 6))  # alike to rounding: the first on the list
        return (worst, -others[worst]) if others[worst] < -LITTLE else None


def first_choice(machine: str, name: str, ground: str | None = None) -> Advice:
    """What to turn on a machine of the school against a complaint, where it shows best or on another ground.

    >>> found = first_choice("enduro", "bottoms")
    >>> found.first, found.way
    ('coil_rate', 1.0)
    """
    table, wrong = chart(machine), complaint(name)
    found = gains(table, wrong, ground)
    share = shares(found)
    first = max(share, key=lambda each: abs(share[each]))
    way = 1.0 if share[first] > 0 else -1.0
    elsewhere = {each: way * shares(gains(table, other))[first] for each, other in COMPLAINTS.items()}
    return Advice(wrong, ground or wrong.ground, found, share, first, way, elsewhere)
