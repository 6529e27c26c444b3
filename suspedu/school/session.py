"""A set-up session: ride and listen, measure, change one thing, ride again, write it down, conclude."""

from __future__ import annotations

from dataclasses import dataclass, field

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS, charted
from suspedu.machine.changing import setting, turned
from suspedu.machine.statics import free_sag, front_load, rider_sag, sag_band
from suspedu.parts.tyre import static_squash
from suspedu.school.complaints import complaints_of, in_words
from suspedu.school.faults import FAULTS, Case, case
from suspedu.school.setups import SetUp, today
from suspedu.units import InputError, from_si, nearest

CAUTION = "After every change the first lap is a slow one, in a safe place."
HANDS = tuple(name for name in charted() if ADJUSTERS[name].hand != "workshop")  # what a session may turn


@dataclass(frozen=True)
class Note:
    """One line of the session's notes: what was changed or measured, how it stood, what came of it."""

    change: str
    clicks: str
    words: str
    settings: dict[str, str] = field(default_factory=dict)  # by adjuster, in workshop units


@dataclass
class Session:
    """One machine on the stand. Everything that is done is written down in `notes`.

    >>> Session(1).turn("rebound", -2)
    'rebound 12 out to 14 out'
    """

    number: int = 1
    notes: list[Note] = field(default_factory=list)
    changes: list[str] = field(default_factory=list)  # since the last lap

    def __post_init__(self):
        self.case: Case = case(self.number)
        self.machine: Machine = self.case.machine

    def turn(self, adjuster: str, steps: int) -> str:
        """Turn an adjuster by some steps of a mechanic's hand: clicks in, mm more preload, 5 mm less air."""
        if adjuster not in HANDS:
            raise InputError(f"'{adjuster}' cannot be turned here{nearest(adjuster, HANDS)}; "
                             f"there are: {', '.join(HANDS)}")
        before = self.reading(adjuster)
        self.machine = turned(self.machine, adjuster, steps)
        self.changes.append(f"{adjuster} {before} to {self.reading(adjuster)}")
        return self.changes[-1]

    def reading(self, adjuster: str) -> str:
        """Where an adjuster stands, in workshop units."""
        return ADJUSTERS[adjuster].reading(setting(self.machine, adjuster))

    def lap(self) -> Note:
        """A slow lap, then one at pace: the rider's words go into the notes, with all that was changed."""
        what = " and ".join(self.changes) or "as it came"
        if len(self.changes) > 1:
            what += " (more than one change: which one was it?)"
        self.changes.clear()
        return self._noted(what, in_words(complaints_of(self.machine)))

    def _noted(self, what: str, words: str) -> Note:
        settings = {name: self.reading(name) for name in HANDS}
        clicks = ", ".join(f"{name.replace('_', ' ')} {at}" for name, at in settings.items() if name != "oil_height")
        self.notes.append(Note(what, clicks, words, settings))
        return self.notes[-1]

    def measured(self) -> str:
        """What a tape measure finds on the stand: sags, how far friction lets them stray, the tyre; noted as well."""
        low, high = sag_band(self.machine)
        squashed = static_squash(front_load(self.machine), self.machine.tyre)
        words = (f"free sag {_mm(free_sag(self.machine))} mm, rider sag {_mm(rider_sag(self.machine))} mm; let down "
                f"from above and pressed in from below the sag differs by {_mm(high - low)} mm; the tyre is squashed "
                f"by {_mm(squashed, 1)} mm")
        return self._noted(" and ".join(["measured on the stand", *self.changes]), words).words

    def conclude(self, fault: str) -> str:
        """Say what is wrong, by the id of a fault; the answer says whether it is, and what a workshop does."""
        if fault not in FAULTS:
            raise InputError(f"'{fault}' is not on the list{nearest(fault, FAULTS)}; there are: {', '.join(FAULTS)}")
        if fault == self.case.wrong:
            return f"Yes: {FAULTS[fault].words}. {self.case.fault.cure}"
        return f"No, it is not '{FAULTS[fault].words}'. Measure, ride another lap, and look at what does not fit."


def _mm(length, decimals: int = 0) -> str:
    return f"{from_si(float(length), 'mm'):.{decimals}f}"


def notes_text(session: Session) -> str:
    """The notes of a session, one lap or measurement a paragraph."""
    return "\n".join(f"{count}. {note.change}\n   {note.clicks}\n   {note.words}"
                     for count, note in enumerate(session.notes, start=1))


def session_setups(session: Session, date: str = "") -> list[SetUp]:
    """The notes of a session as set-ups, to be kept with the others: one each, laps and measurements alike.

    Parameters: session; date, today's if empty.

    >>> desk = Session(1)
    >>> _ = desk.lap()
    >>> [(one.name, one.settings["rebound"]) for one in session_setups(desk, "2026-11-26")]
    [('machine 1, note 1', '12 out')]
    """
    called = f"machine {session.number}"
    return [SetUp(f"{called}, note {count}", date or today(), f"{called} on the stand", "the school's loop",
                  f"{note.change}: {note.words}", note.settings) for count, note in enumerate(session.notes, start=1)]
