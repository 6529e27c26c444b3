"""The bars of the bench: how far each outcome moved, in steps that a rider notices, with its value at their end."""

from __future__ import annotations

import numpy as np

from suspedu.ride.outcomes import OUTCOMES
from suspedu.school.bench import FELT, OnBench, betterment, steps_noticed
from suspedu.show.panels.words import with_unit
from suspedu.show.view import Axes, Curve, box

BAR_AXES = 2
MOST = 4.0  # steps that a bar shows
ROWS = {"comfort": "hands: shake", "harshness": "hands: hit", "body_comfort": "body: shake", "body_hit": "body: hit",
        "load_variation": "tyre: swing", "kick": "bars: throw", "ride_height": "mean stroke", "deepest": "deepest",
        "dive": "dive"}  # by the outcomes of FELT
DECIMALS = {"m/s^2": 1, "m/s": 2, "mm": 0, "": 2}
VERDICTS = {1: "better", -1: "worse", 0: ""}
ROLES = {1: ("main", ""), -1: ("second", "////"), 0: ("limit", "")}
TICKS = ((-4, "−4"), (-2, ""), (0, "0"), (2, ""), (4, "+4"))


def bar_axes(against: str) -> Axes:
    """Axes of the bars, under the name of what they are against."""
    rows = tuple((len(FELT) - 1 - row, ROWS[name]) for row, name in enumerate(FELT))
    return Axes("less     steps one notices     more", "", (-MOST, 2.75 * MOST), (-0.6, len(FELT) - 0.4),
                f"Against: {against}", xticks=TICKS, yticks=rows, place=(0.62, 0.47, 1.0, 1.0))


def bar_items(now: OnBench, before: OnBench) -> tuple:
    """One bar an outcome, in one of three looks, and its value."""
    steps = steps_noticed(now, before)
    top = len(FELT) - 0.5
    return (
        box("unnoticed", -1.0, -0.6, 2.0, top + 0.6, axes=BAR_AXES, role="limit", tint=0.15, edge=0.0),
        Curve("nought", np.zeros(2), np.array([-0.6, top]), BAR_AXES, "ink", margin=False),
        *(item for row, name in enumerate(FELT) for item in _bar(name, len(FELT) - 1 - row, steps[name])),
        *(_value(name, len(FELT) - 1 - row, now.felt[name], steps[name]) for row, name in enumerate(FELT)),
    )


def _bar(name: str, row: int, steps: float) -> tuple:
    """Better, worse or neither: one of the three has a length."""
    verdict = None if np.isnan(steps) else betterment(name, steps)
    length = 0.0 if verdict is None else float(np.clip(steps, -MOST, MOST))
    return tuple(box(f"{name} {VERDICTS[kind] or 'neither'}", 0.0, row - 0.32, length if kind == verdict else 0.0, 0.64,
                     axes=BAR_AXES, role=role, tint=0.7 if not hatch else 0.3, edge=0.8, hatch=hatch)
                 for kind, (role, hatch) in ROLES.items())


def _value(name: str, row: int, value: float, steps: float):
    """The value behind its bar, and a word where a rider would call it better or worse."""
    word = "" if np.isnan(steps) else VERDICTS[betterment(name, steps)]
    text = "not asked" if np.isnan(value) else f"{reading(name, value)} {word}".strip()
    return box(f"value {name}", 1.08 * MOST, row - 0.4, 1.67 * MOST, 0.8, axes=BAR_AXES, role="ink", tint=None,
               edge=0.0, label=text, folds=False)


def readings(outcome: str, before: float, now: float) -> tuple[str, str]:
    """Two outcomes [SI] with their unit, with as many decimals more as tell them apart, two at most.

    >>> readings("comfort", 0.26, 0.34), readings("comfort", 5.26, 6.0)
    (('0.26 m/s²', '0.34 m/s²'), ('5.3 m/s²', '6.0 m/s²'))
    """
    pairs = [(reading(outcome, before, more), reading(outcome, now, more)) for more in range(3)]
    return next((pair for pair in pairs if pair[0] != pair[1]), pairs[0])


def reading(outcome: str, value: float, more: int = 0) -> str:
    """An outcome [SI] with its unit, and with some decimals more than usual.

    >>> reading("deepest", 0.1514), reading("load_variation", 0.5)
    ('151 mm', '0.50')
    """
    unit = OUTCOMES[outcome].unit
    decimals = DECIMALS[unit] + more
    return with_unit(value, unit, decimals) if unit else f"{value:.{decimals}f}"
