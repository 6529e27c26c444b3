"""A set-up session: ride and listen, measure, change one thing, ride again, write it down, conclude."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

from suspedu.machine import Machine
from suspedu.machine.changing import setting, turned
from suspedu.machine.statics import free_sag, front_load, rider_sag, sag_band
from suspedu.parts.tyre import static_squash
from suspedu.show.panels.rides.complaints import COMPLAINTS, loop_outcomes
from suspedu.show.panels.rides.faults import FAULTS, Case, case
from suspedu.show.panels.rides.riding import ridden_machine
from suspedu.show.panels.setting import UNITS, millimetres
from suspedu.units import InputError, from_si, nearest

HANDS = ("preload", "oil_height", "compression_low", "compression_high", "rebound")  # what a session may turn
# A difference that a rider would speak of [SI], against the school's own machine: common practice, no source.
NOTICED = {"dive": 0.007, "ride_height": 0.006, "comfort": 0.20, "harshness": 2.5, "load_variation": 0.02,
           "deepest": 0.008, "margin": 0.003, "kick": 0.25, "settling": 0.20}  # fmt: skip
FEELS_WELL = "feels like the school's own machine"


@cache
def _usual() -> dict[str, float]:
    """How the school's own machine goes round the loop."""
    return loop_outcomes(ridden_machine())


def complaints_of(machine: Machine) -> dict[str, float]:
    """What a rider would say after a lap, worst first: how many times over each is above what one notices [-]."""
    now, usual = loop_outcomes(machine), _usual()
    worse = {text: -float(wrong.gain(now[text] - usual[text])) / NOTICED[wrong.outcome]
             for text, wrong in COMPLAINTS.items()}
    return {text: size for text, size in sorted(worse.items(), key=lambda item: -item[1]) if size >= 1.0}


def in_words(found: dict[str, float]) -> str:
    """A rider's sentence after a lap."""
    if not found:
        return FEELS_WELL
    return "; ".join(f"{text}{', badly' if size > 3 else ''}" for text, size in found.items())


@dataclass(frozen=True)
class Note:
    """One line of the session's notes: what was changed, how it stood, what came of it."""

    change: str
    clicks: str
    words: str


@dataclass
class Session:
    """One machine on the stand. Everything that is done is written down in `notes`."""

    number: int = 1
    notes: list[Note] = field(default_factory=list)
    changes: list[str] = field(default_factory=list)  # since the last lap

    def __post_init__(self):
        self.case: Case = case(self.number)
        self.machine = self.case.machine

    def turn(self, adjuster: str, steps: int) -> str:
        """Turn an adjuster by some steps of a mechanic's hand: clicks in, mm more preload, 5 mm less air."""
        if adjuster not in HANDS:
            raise InputError(f"'{adjuster}' cannot be turned here{nearest(adjuster, HANDS)}; "
                             f"there are: {', '.join(HANDS)}")
        before = setting(self.machine.legs[0], adjuster)
        self.machine = turned(self.machine, adjuster, steps)
        self.changes.append(f"{adjuster} {_read(adjuster, before)} to {self.reading(adjuster)}")
        return self.changes[-1]

    def reading(self, adjuster: str) -> str:
        """Where an adjuster stands, in workshop units."""
        return _read(adjuster, setting(self.machine.legs[0], adjuster))

    def lap(self) -> Note:
        """A slow lap, then one at pace: the rider's words go into the notes, with all that was changed."""
        what = " and ".join(self.changes) or "as it came"
        if len(self.changes) > 1:
            what += " (more than one change: which one was it?)"
        self.changes.clear()
        clicks = ", ".join(f"{name.replace('_', ' ')} {self.reading(name)}" for name in HANDS if name != "oil_height")
        self.notes.append(Note(what, clicks, in_words(complaints_of(self.machine))))
        return self.notes[-1]

    def measured(self) -> str:
        """What a tape measure finds on the stand: both sags, how far friction lets the sag stray, and the tyre."""
        low, high = sag_band(self.machine)
        squashed = static_squash(front_load(self.machine), self.machine.tyre)
        return (f"free sag {millimetres(free_sag(self.machine))}, rider sag {millimetres(rider_sag(self.machine))}; "
                f"let down from above and pressed in from below the sag differs by {millimetres(high - low)}; the "
                f"tyre is squashed by {millimetres(squashed, 1)}")

    def conclude(self, fault: str) -> str:
        """Say what is wrong; the answer says whether it is, and what a workshop does."""
        known = [each.name for each in FAULTS]
        if fault not in known:
            raise InputError(f"'{fault}' is not on the list{nearest(fault, known)}; there are: {', '.join(known)}")
        if fault == self.case.fault.name:
            return f"Yes: {fault}. {self.case.fault.cure}"
        return f"No, it is not '{fault}'. Measure, ride another lap, and look at what does not fit."


def _read(adjuster: str, value: float) -> str:
    """A setting [SI, or clicks] in workshop units."""
    return f"{from_si(value, UNITS[adjuster]):.3g} {UNITS[adjuster]}" if adjuster in UNITS else f"{value:.0f} out"
