"""What the bench draws of a machine at rest and of its dampers: force over stroke, damping over velocity."""

from __future__ import annotations

import numpy as np

from suspedu.school.bench import FASTEST, OnBench
from suspedu.school.tables import Tabulated
from suspedu.show.panels.words import millimetres
from suspedu.show.view import Axes, Curve, Mark, band, box
from suspedu.units import from_si

SPRING_AXES, DAMPING_AXES = 0, 1
OPENERS = {"low-speed stack": "low-speed", "high-speed stack": "high-speed", "mid stack": "mid",
           "rebound stack": "rebound shims"}  # others open at once  # fmt: skip
SIDES = {"low-speed stack": (-1.15, 0.06), "high-speed stack": (-1.2, 0.06), "mid stack": (0.5, -0.045),
         "rebound stack": (1.5, -0.135)}  # where their words stand: m/s, share of the height  # fmt: skip
ROOFS, FLOORS = (2600, 5200, 12000), (-4000, -8000, -16000)  # N


def spring_axes(bench: OnBench) -> Axes:
    """Axes of the springs, as long as the travel."""
    return Axes("stroke [mm]", "", (0, from_si(bench.machine.travel, "mm")), (0, 4000), "Springs, both legs [N]",
                place=(0.0, 0.47, 0.3, 1.0))  # the last millimetres are a wall: the curve leaves the axes there


def damping_axes(bench: OnBench) -> Axes:
    """Axes of the damping: as high as this damper asks for."""
    low, high = (bench.damping.at(side * FASTEST) for side in (-1.0, 1.0))
    roof = next((each for each in ROOFS if high < 0.97 * each), ROOFS[-1])
    floor = next((each for each in FLOORS if low > 0.97 * each), FLOORS[-1])
    return Axes("velocity [m/s], plus = in", "", (-FASTEST, FASTEST), (floor, roof), "Damping, both legs [N]",
                place=(0.3, 0.47, 0.62, 1.0))


def spring_items(bench: OnBench) -> tuple:
    """Force over stroke, the coils' part of it, and where it rests alone and with the rider."""
    mm, none = from_si(bench.strokes, "mm"), np.zeros_like(bench.strokes)
    coil = bench.springs.coil
    return (
        band("coil part", mm, none, coil, axes=SPRING_AXES, role="second", tint=0.2),
        Curve("coils", mm, coil, SPRING_AXES, "second", margin=False),
        Curve("springs", mm, bench.springs.total, SPRING_AXES, "main", margin=False),
        _stopped(bench),
        *(Mark(f"rest {name}", from_si(at, "mm"), force, "", SPRING_AXES, "ink")
          for name, (at, force) in bench.rests.items()),
        words_at("rests", mm[-1] * 0.36, 3450.0, _rest_words(bench), SPRING_AXES),
        words_at("coils' part", mm[-1] * 0.74, 500.0, "coils", SPRING_AXES, "second"),
    )  # fmt: skip


def _stopped(bench: OnBench) -> Curve:
    """Springs and end stop together at a quick velocity, over the zone of the stop."""
    x, springs = bench.stop.x, Tabulated(bench.strokes, bench.springs.total)
    return Curve("end stop", from_si(x, "mm"), bench.stop.y + [springs.at(each) for each in x], SPRING_AXES, "third",
                 margin=False)


def _rest_words(bench: OnBench) -> str:
    return "\n".join(("at rest", *(f"{name} {millimetres(at)}" for name, (at, _) in bench.rests.items())))


def words_at(name: str, x: float, y: float, words: str, axes: int, role: str = "ink"):
    """Words about a place of the axes: they stay where they are while a control moves."""
    return box(name, x, y, 0.0, 0.0, axes=axes, role=role, tint=None, edge=0.0, label=words,
               folds=False)


def damping_items(bench: OnBench) -> tuple:
    """Damping over velocity, and the places at which shims open."""
    curve = bench.damping
    places = {short: bench.opens.get(found) for short in OPENERS
              for found in [next((what for what in bench.opens if what.endswith(short)), "")]}
    return (
        Curve("still", np.zeros(2), np.array([FLOORS[-1], ROOFS[-1]]), DAMPING_AXES, "limit", margin=False),
        Curve("damping", curve.x, curve.y, DAMPING_AXES, "main", margin=False),
        *(item for name, speed in places.items() for item in _opening(name, speed, bench)),
    )


def _opening(name: str, speed: float | None, bench: OnBench) -> tuple:
    """A dot where a stack opens and its word beside it; nothing where it has no such stack, or beyond the axes."""
    at = speed if speed is not None and abs(speed) <= FASTEST else np.nan
    force, high = bench.damping.at(at), bench.damping.at(FASTEST) - bench.damping.at(-FASTEST)
    right, up = SIDES[name]
    words = "" if np.isnan(at) else OPENERS[name]
    return (Mark(f"opens {name}", at, force, "", DAMPING_AXES, "third"),
            words_at(f"opener {name}", np.nan_to_num(at) + right, np.nan_to_num(force) + up * high, words, DAMPING_AXES,
                    "third"))
