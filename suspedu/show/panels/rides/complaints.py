"""Riders' complaints, and the outcome of which ride each is measured by. The words are common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.riding import ride
from suspedu.ride.outcomes import OUTCOMES, outcomes
from suspedu.ride.terrain import TERRAINS, Terrain, whoops
from suspedu.units import from_si

TALL = "tall whoops"  # 300 mm every 4 m: taken so fast that a quick rebound throws the bars


def loop_ground(name: str) -> Terrain:
    """A ground of the school's loop: one of the terrains, or its row of tall whoops.

    >>> round(loop_ground(TALL).statistics["highest"], 3)
    0.3
    """
    return whoops(0.3, 4.0, 11, 9.0, length=64.0) if name == TALL else TERRAINS[name]()


LOOP = (*TERRAINS, TALL)


@dataclass(frozen=True)
class Complaint:
    """What a rider says, where it shows best, and which outcome would have to move which way [less or more]."""

    ground: str
    outcome: str
    better: str
    measure: str  # the outcome in a rider's words

    def gain(self, change):
        """A change of the outcome [SI, any shape] as something good when above zero."""
        return change if self.better == "more" else -np.asarray(change)

    def shown(self, change) -> str:
        """A change of the outcome [SI] as text with its sign and unit."""
        unit = OUTCOMES[self.outcome].unit
        number, text = (from_si(change, unit), unit) if unit else (change, "")
        return f"{number:+.2g} {text}".replace("percent", "points").replace("^", "").replace("-", "−").strip()


COMPLAINTS = {
    "dives on the brakes": Complaint("hard braking", "dive", "less", "dive on the brakes"),
    "rides low": Complaint("rough ground", "ride_height", "less", "mean stroke"),
    "tall and reluctant to turn": Complaint("rough ground", "ride_height", "more", "mean stroke"),
    "harsh on small chop": Complaint("rough ground", "comfort", "less", "shake of the bars"),
    "hands hurt on long descents": Complaint("braking bumps", "comfort", "less", "shake of the bars"),
    "hits hard on square edges": Complaint("square edge", "harshness", "less", "hardest hit"),
    "deflects off rocks and roots": Complaint("rock garden", "load_variation", "less", "swing of the tyre's load"),
    "blows through mid-stroke": Complaint("log", "deepest", "less", "deepest stroke"),
    "bottoms on landings": Complaint("jump", "margin", "more", "travel left"),
    "packs in whoops": Complaint("whoops", "ride_height", "less", "mean stroke"),
    "kicks in whoops": Complaint(TALL, "kick", "less", "throw of the bars"),
    "takes long to settle": Complaint("whoops", "settling", "less", "time to settle"),
}


def loop_outcomes(machine: Machine) -> dict[str, float]:
    """What each complaint is measured by, on a lap of the school's loop [SI], by complaint."""
    rides = {ground: ride(machine, loop_ground(ground))
             for ground in dict.fromkeys(wrong.ground for wrong in COMPLAINTS.values())}
    return {text: outcomes(rides[wrong.ground], [wrong.outcome])[wrong.outcome] for text, wrong in COMPLAINTS.items()}
