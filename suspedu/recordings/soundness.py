"""What goes wrong on test benches: gaps, repeated times, stuck sensors, columns in each other's place. Each is refused.

Nothing is repaired: whoever cuts, fills or turns a recording knows more of the test than its file does.
"""

from __future__ import annotations

import numpy as np

from suspedu.recordings.recording import Recording
from suspedu.units import InputError, require, shown

LEAST_ROWS = 50  # two cycles of a sine with some 20 rows each, and a little more (guess of the course)
EVEN = 0.02  # a clock's step may differ by so much from the usual one (guess of the course)
STUCK = 0.3  # of its own span does one signal cross while the other stays at one value (guess of the course)
SLOWEST, FASTEST = 1e-3, 20.0  # m/s: no bench that reads a fork is slower or faster (guess of the course)
LONGEST, STRONGEST = 0.4, 20e3  # m, N: no fork leg has more stroke, no test of one more force (guess of the course)


def sound(recording: Recording) -> Recording:
    """The recording itself, where it can be read; otherwise one sentence for the person who brought it.

    Raises: InputError for too few rows; values that are none; time that stands, jumps back or leaves gaps; stroke or
    force that no fork has; a sensor that is stuck; a loop that gives energy instead of taking it.

    >>> time = np.arange(100) / 100.0
    >>> turn = 2.0 * np.pi * time
    >>> _ = sound(Recording(time, 0.1 - 0.02 * np.cos(turn), 300.0 * np.sin(turn)))
    >>> sound(Recording(time, 0.1 - 0.02 * np.cos(turn), -300.0 * np.sin(turn)))
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: the damper gives 18.8 J instead of taking them: is the sign of stroke or force turned \
(pushed in and pushed against count as more), or do the two columns stand in each other's place?
    """
    for check in (_rows, _values, _clock, _reach, _moves, _takes_energy):
        check(recording)
    return recording


def _rows(test: Recording) -> None:
    if len(test.time) < LEAST_ROWS:
        raise InputError(f"the file has {len(test.time)} rows of numbers; a test needs {LEAST_ROWS} at least")


def _values(test: Recording) -> None:
    for name in ("time", "stroke", "force", "temperature"):
        values = getattr(test, name)
        bad = np.flatnonzero(~np.isfinite(values)) if values is not None else ()
        if len(bad):
            raise InputError(f"{name} is not a number in {len(bad)} of {len(values)} rows, first in row {bad[0] + 1}; "
                             "cut the test there, or export it anew")


def _clock(test: Recording) -> None:
    steps = np.diff(test.time)
    usual = float(np.median(steps))
    allowed = min(max(EVEN * usual, 1.001 * last_digit(test.time)), 0.4 * usual)
    for wrong, words in ((steps < 0.0, "time runs back"), (steps == 0.0, "time stands still: a row is repeated"),
                         (steps > usual + allowed, "time leaves a gap"), (steps < usual - allowed, "time hurries")):
        places = np.flatnonzero(wrong)
        if len(places):
            at = shown(float(test.time[places[0] + 1]), "s")
            raise InputError(f"{words} in {len(places)} of {len(steps)} steps, first at row {places[0] + 2} ({at}), "
                             f"where the usual step is {usual * 1e3:.4g} ms; velocity needs even steps: cut it there")


def last_digit(time) -> float:
    """Unit of the last digit [s] with which times were written: an even clock that was rounded jumps by as much.

    Parameters: time [n, s].

    >>> last_digit(np.array([0.0, 0.0007, 0.0013]))
    0.0001
    """
    first = time[:1000]
    written = (10.0**-k for k in range(9) if np.allclose(first * 10.0**k, np.round(first * 10.0**k), atol=1e-6))
    return next(written, 1e-9)


def _reach(test: Recording) -> None:
    swapped = "were columns swapped, or is the unit another?"
    require("span of the stroke", float(np.ptp(test.stroke)), 1e-3, LONGEST, "mm", swapped)
    require("largest force", float(np.max(np.abs(test.force))), 1.0, STRONGEST, "N", swapped)
    require("least stroke", float(np.min(test.stroke)), 0.0, LONGEST, "mm",
            "strokes count from full extension; give the stroke at which the bench reads zero as mounted_at")
    speed = float(np.max(np.abs(np.diff(test.stroke) / np.diff(test.time))))
    require("greatest speed", speed, SLOWEST, FASTEST, "m/s", "is time in another unit, ms or s?")
    if test.temperature is not None:
        require("coldest oil", float(np.min(test.temperature)), 233.0, 473.0, "degC", swapped)
        require("hottest oil", float(np.max(test.temperature)), 233.0, 473.0, "degC", swapped)


def _moves(test: Recording) -> None:
    for name, other, unit in (("stroke", "force", "mm"), ("force", "stroke", "N")):
        values, others = getattr(test, name), getattr(test, other)
        start, end = longest_rest(values)
        crossed = float(np.ptp(others[start:end])) if end > start else 0.0
        if crossed > STUCK * float(np.ptp(others)):
            raise InputError(f"{name} stays at {shown(float(values[start]), unit)} from row {start + 1} to {end}, "
                             f"while {other} goes on: is its sensor stuck, at its end, or too coarse?")


def longest_rest(values) -> tuple[int, int]:
    """First row and row behind the longest run of one and the same value.

    Parameters: values [n, any unit].

    >>> longest_rest(np.array([1.0, 2.0, 2.0, 2.0, 3.0, 3.0]))
    (1, 4)
    """
    edges = np.concatenate([[0], np.flatnonzero(np.diff(values) != 0.0) + 1, [len(values)]])
    longest = int(np.argmax(np.diff(edges)))
    return int(edges[longest]), int(edges[longest + 1])


def _takes_energy(test: Recording) -> None:
    work = float(np.trapezoid(test.force, test.stroke))
    if work < 0.0:
        raise InputError(f"the damper gives {-work:.3g} J instead of taking them: is the sign of stroke or force "
                         "turned (pushed in and pushed against count as more), or do the two columns stand in each "
                         "other's place?")
