"""Which adjuster helps a complaint, and what it costs elsewhere: a machine ridden round the school's loop.

Adjusters are compared by what half of their usable range does, and by what that is for a minute of work: a click, a
millimetre of preload and a spring are no measure of one another.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import has
from suspedu.numerics import remembered
from suspedu.school.complaints import COMPLAINTS, Complaint, complaint
from suspedu.school.jobs import HALVES, at_half, half_rides
from suspedu.school.loop import LOOP
from suspedu.school.machines import MACHINES, chosen_machine, school_machine
from suspedu.school.noticed import noticed
from suspedu.units import InputError

MINUTES = {"by hand": 1.0, "with tools": 20.0, "workshop": 60.0}  # of work, both legs (guess of the course)


@dataclass(frozen=True, eq=False)
class Chart:
    """Outcomes of a machine over the loop, as it stands and at both ends of half of each range."""

    machine: str
    adjusters: tuple[str, ...]
    rides: dict[str, list[dict]]  # by ground, see `jobs.half_rides`

    def ends(self, name: str, ground: str, outcome: str) -> tuple[float, float]:
        """An outcome [SI] on a ground at the low and the high end of half of an adjuster's range."""
        place, found = 1 + 2 * self.adjusters.index(name), self.rides[ground]
        return found[place][outcome], found[place + 1][outcome]


def gains(table: Chart, wrong: Complaint, ground: str | None = None) -> dict[str, float]:
    """What half of the usable range of each adjuster does for a complaint [SI of the outcome], > 0 = better.

    Parameters: table; complaint; ground, where the complaint shows best if None.
    """
    ends = {name: table.ends(name, ground or wrong.ground, wrong.outcome) for name in table.adjusters}
    return {name: float(wrong.gain(high - low)) for name, (low, high) in ends.items()}


def chart(machine: str) -> Chart:
    """The table behind the chart, ridden once for each machine, the school's or one's own: all grounds of the loop.

    Raises: InputError for a machine that is not known, or whose file cannot be read.
    """
    return _charted(machine, chosen_machine(machine))


@remembered(size=8)
def _charted(name: str, machine: Machine) -> Chart:
    names = tuple(each for each in HALVES if has(machine, each) and _reaches(machine, each))
    return Chart(name, names, half_rides(machine, names))


def _reaches(machine: Machine, name: str) -> bool:
    """Whether a machine can stand at both ends of half of an adjuster's range: one's own may have fewer clicks."""
    try:
        return bool(at_half(machine, name))
    except InputError:
        return False


def felt(table: Chart, wrong: Complaint, ground: str | None = None) -> dict[str, float]:
    """The gains in times of what is noticed [-], > 0 = better; nothing for an adjuster that is missing or not asked.

    Parameters: table; complaint; ground, where the complaint shows best if None.
    """
    usual = table.rides[ground or wrong.ground][0][wrong.outcome]
    found, least = gains(table, wrong, ground), noticed(wrong.outcome, usual)
    return {name: float(np.nan_to_num(found.get(name, 0.0) / least)) for name in HALVES}


def minutes(name: str) -> float:
    """Work that it takes to move an adjuster through half of its range, both legs [min] (guess of the course).

    >>> minutes("rebound"), minutes("oil_height"), minutes("coil_rate")
    (1.0, 20.0, 60.0)
    """
    return MINUTES[ADJUSTERS[name].hand]


def half_in_words(name: str, way: float = 1.0) -> str:
    """Half of an adjuster's usable range in words, the way [-] it is gone: > 0 to its high end.

    >>> half_in_words("rebound"), half_in_words("oil_height", -1)
    ('rebound, 18 to 6 out', 'oil height, 95 to 125 mm')
    """
    row, (start, end) = ADJUSTERS[name], HALVES[name][:: 1 if way > 0 else -1]
    return f"{row.label.partition(',')[0].lower()}, {start:g} to {end:g} {'out' if row.kind == 'clicks' else row.unit}"


def ride_charts(say: Callable[[str], None]) -> None:
    """Ride the charts of the school's machines, saying so; some seconds, once."""
    for machine in MACHINES:
        say(f"Riding the chart of {school_machine(machine).name}: {len(LOOP)} grounds, half of every adjuster's range.")
        chart(machine)


@dataclass(frozen=True)
class Advice:
    """The first choice against a complaint on a ground, what it brings and what it costs elsewhere."""

    wrong: Complaint
    ground: str
    gains: dict[str, float]  # SI of the outcome, through half of each range
    felt: dict[str, float]  # the same in times of what is noticed
    first: str  # the adjuster that moves most
    way: float  # 1: towards the high end of its half, -1: towards the low one
    quickest: str  # the adjuster that moves most for a minute of work
    elsewhere: dict[str, float]  # of the first choice, for every complaint, in times of what is noticed

    @property
    def asked(self) -> bool:
        """Whether this ground can tell at all."""
        return bool(np.isfinite(list(self.gains.values())).all())

    def effect(self, name: str) -> str:
        """What half of an adjuster's range does to the outcome, the way that helps, as text."""
        return self.wrong.shown(float(self.wrong.gain(abs(self.gains[name]))))

    @property
    def price(self) -> tuple[str, float] | None:
        """The complaint that gets worst by it, in times of what is noticed [-]; None if none is noticed."""
        others = {name: size for name, size in self.elsewhere.items()
                  if COMPLAINTS[name].outcome != self.wrong.outcome}
        worst = min(others, key=lambda name: round(others[name], 6))  # alike to rounding: the first on the list
        return (worst, -others[worst]) if others[worst] <= -1.0 else None


def first_choice(machine: str, name: str, ground: str | None = None) -> Advice:
    """What to turn on a machine against a complaint, where it shows best or on another ground.

    Parameters: machine, as `chart` takes it; name of the complaint; ground.

    >>> found = first_choice("enduro", "hits-edges")
    >>> found.first, found.way, found.quickest
    ('tyre_pressure', -1.0, 'tyre_pressure')
    """
    table, wrong = chart(machine), complaint(name)
    times = felt(table, wrong, ground)
    first = max(times, key=lambda each: round(abs(times[each]), 6))  # alike to rounding: the first of them, as above
    quickest = max(times, key=lambda each: round(abs(times[each]) / minutes(each), 6))
    way = 1.0 if times[first] > 0 else -1.0
    elsewhere = {each: way * felt(table, other)[first] for each, other in COMPLAINTS.items()}
    return Advice(wrong, ground or wrong.ground, gains(table, wrong, ground), times, first, way, quickest, elsewhere)
