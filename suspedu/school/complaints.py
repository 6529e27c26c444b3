"""Riders' complaints, and the outcome of which ride each is measured by. The words are common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.riding import ride
from suspedu.numerics import remembered
from suspedu.ride.outcomes import OUTCOMES, outcomes
from suspedu.school.loop import BRAKING, TALL, loop_ground
from suspedu.school.machines import school_machine
from suspedu.school.noticed import noticed
from suspedu.spelling import readable
from suspedu.units import InputError, from_si, nearest

BADLY = 3  # times what one notices
FEELS_WELL = "feels like the school's own machine"


@dataclass(frozen=True)
class Complaint:
    """What a rider says, where it shows best, and which outcome would have to move which way [less or more]."""

    words: str
    ground: str
    outcome: str
    better: str
    measure: str  # the outcome in a rider's words
    cured: str  # what a rider feels once it is better

    def gain(self, change):
        """A change of the outcome [SI, any shape] as something good when above zero."""
        return change if self.better == "more" else -np.asarray(change)

    def shown(self, change) -> str:
        """A change of the outcome [SI] as text with its sign and unit."""
        unit = OUTCOMES[self.outcome].unit
        number, text = (from_si(change, unit), unit) if unit else (change, "")
        return readable(f"{number + 0.0:+.2g}", text.replace("percent", "points"))


COMPLAINTS = {
    "dives": Complaint("dives on the brakes", BRAKING, "dive", "less", "dive on the brakes",
                       "the front goes down less"),
    "rides-low": Complaint("rides low", "rough ground", "ride_height", "less", "mean stroke",
                           "the front stands higher"),
    "stands-tall": Complaint("tall and reluctant to turn", "rough ground", "ride_height", "more", "mean stroke",
                             "the front stands lower and turns in sooner"),
    "harsh-on-chop": Complaint("harsh on small chop", "rough ground", "comfort", "less", "shake of the bars",
                               "the bars shake less"),
    "hands-hurt": Complaint("hands hurt on long descents", "braking bumps", "comfort", "less", "shake of the bars",
                            "the bars shake less"),
    "hits-edges": Complaint("hits hard on square edges", "square edge", "harshness", "less", "hardest hit",
                            "the edge hits less hard"),
    "deflects": Complaint("deflects off rocks and roots", "rock garden", "load_variation", "less",
                          "swing of the tyre's load", "the front wheel holds its line"),
    "kicks-roots": Complaint("kicks over roots", "log", "kick", "less", "throw of the bars",
                             "the bars are thrown up less"),
    "blows-through": Complaint("blows through mid-stroke", "dip", "deepest", "less", "deepest stroke",
                               "the fork goes in less deep"),
    "bottoms": Complaint("bottoms on landings", "flat landing", "margin", "more", "travel left",
                         "more travel is left at the end"),
    "unused-travel": Complaint("leaves travel unused on landings", "flat landing", "margin", "less", "travel left",
                               "the landing uses more of the travel"),
    "packs": Complaint("packs in whoops", "whoops", "ride_height", "less", "mean stroke", "the front stays up"),
    "kicks": Complaint("kicks in whoops", TALL, "kick", "less", "throw of the bars", "the bars are thrown up less"),
    "settles-late": Complaint("takes long to settle", "whoops", "settling", "less", "time to settle",
                              "the front comes to rest sooner"),
}


def complaints_of(machine: Machine) -> dict[str, float]:
    """What a rider would say after a lap, worst first: how many times over each is above what one notices [-].

    >>> from suspedu.school.machines import set_machine
    >>> list(complaints_of(set_machine(coil_rate=3.0)))[0]
    'blows-through'
    """
    now, usual = loop_outcomes(machine), _usual()
    worse = {name: -float(wrong.gain(now[name] - usual[name])) / noticed(wrong.outcome, usual[name])
             for name, wrong in COMPLAINTS.items()}
    return {name: size for name, size in sorted(worse.items(), key=lambda item: -round(item[1], 6)) if size >= 1.0}


def complaint(name: str) -> Complaint:
    """A complaint by its id.

    Raises: InputError for one that is none.

    >>> complaint("packs").words
    'packs in whoops'
    """
    if name not in COMPLAINTS:
        raise InputError(f"'{name}' is no complaint{nearest(name, COMPLAINTS)}; there are: {', '.join(COMPLAINTS)}")
    return COMPLAINTS[name]


def loop_outcomes(machine: Machine) -> dict[str, float]:
    """What each complaint is measured by, on a lap of the school's loop [SI], by id."""
    rides = {ground: ride(machine, loop_ground(ground))
             for ground in dict.fromkeys(wrong.ground for wrong in COMPLAINTS.values())}
    return {name: outcomes(rides[wrong.ground], [wrong.outcome])[wrong.outcome] for name, wrong in COMPLAINTS.items()}


@remembered
def _usual() -> dict[str, float]:
    """How the school's own machine goes round the loop."""
    return loop_outcomes(school_machine())


def in_words(found: dict[str, float]) -> str:
    """A rider's sentence after a lap, from what `complaints_of` found [steps one notices].

    >>> in_words({"packs": 4.0, "dives": 1.5})
    'packs in whoops, badly; dives on the brakes'
    """
    if not found:
        return FEELS_WELL
    return "; ".join(f"{COMPLAINTS[name].words}{', badly' if size > BADLY else ''}" for name, size in found.items())
