"""Deadlines: when a return is due, and what a late one loses."""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from suspedu.coursework.desk.marked import Marked
from suspedu.coursework.desk.which_counts import NO_DATE, date
from suspedu.units import InputError

DAY = 86400.0  # s
FORMS = ("%Y-%m-%d %H:%M", "%Y-%m-%d")  # year first, as people type it; a day alone ends with that day

UNDATED = "when it was saved is unknown, so nothing is taken off for being late"


@dataclass(frozen=True)
class Due:
    """When a return is due, and what share of its points each day of delay takes."""

    at: float  # s since 1970
    off_a_day: float = 1.0

    def taken(self, saved: float) -> float:
        """Share of the points that is lost, by when the file was saved [s since 1970]; a begun day counts.

        >>> due = Due(0.0, 0.25)
        >>> due.taken(-5.0), due.taken(1.0), due.taken(86401.0), due.taken(1e7)
        (0.0, 0.25, 0.5, 1.0)
        """
        return min(1.0, self.off_a_day * math.ceil(max(saved - self.at, 0.0) / DAY))


def moment(when: str) -> float:
    """A day or a minute as typed, local time, in seconds since 1970.

    Raises: InputError for anything else.
    """
    for form in FORMS:
        try:
            found = time.mktime(time.strptime(when.strip(), form))
        except (ValueError, OverflowError):
            continue
        return found + (DAY if form == FORMS[-1] else 0.0)
    raise InputError(f"the deadline is '{when[:40]}'; type it as 2026-12-01 or 2026-12-01 18:00")


def in_time(marked: Iterable[Marked], dues: Mapping[tuple[str, str], Due]) -> Iterator[Marked]:
    """Marks with what being late takes off, said in their notes.

    Parameters: marked; dues, by exercise and student, of which a student's own goes before that of all ("").
    """
    for one in marked:
        due = due_for(dues, one.student, one.exercise)
        saved = date(one.saved)
        off = due.taken(saved) if due and saved != NO_DATE else 0.0
        said = _told(saved - due.at, off) if due and off else UNDATED if due and saved == NO_DATE and one.digest else ""
        yield replace(one, off=off, notes=(*one.notes, said)) if said else one


def due_for(dues: Mapping[tuple[str, str], Due], student: str, exercise: str) -> Due | None:
    """The deadline that holds for a student: an own one before that of all ("")."""
    return dues.get((exercise, student)) or dues.get((exercise, ""))


def _told(delay: float, off: float) -> str:
    days = math.ceil(delay / DAY)
    return f"saved {days} day{'s' * (days > 1)} late: {100 * off:.0f} % of the points off"
