"""How much an outcome has to change before a rider notices it."""

from __future__ import annotations

import numpy as np

from suspedu.spelling import minus
from suspedu.units import InputError, nearest

# Shares of what is there: of weighted vibration a tenth is told apart (morioka-griffin-2000, mansfield-griffin-2000
# about 13 %; printed, from memory); of peaks and throws a tenth, and of swings of the load, guess of the course.
SHARE = {"comfort": 0.10, "body_comfort": 0.10, "harshness": 0.10, "body_hit": 0.10, "peak_force": 0.10, "kick": 0.10,
         "load_variation": 0.10, "bumper_speed": 0.10}  # fmt: skip
# Below these nobody speaks of a share of it [SI]: guess of the course.
FLOOR = {"comfort": 0.5, "body_comfort": 0.5, "harshness": 5.0, "body_hit": 5.0, "kick": 0.5, "bumper_speed": 0.5}
# Differences as such [SI]: guess of the course.
STEP = {"ride_height": 0.005, "deepest": 0.005, "margin": 0.005, "drift": 0.005, "dive": 0.005, "early_dive": 0.006,
        "settling": 0.2}  # fmt: skip


def noticed(outcome: str, usual: float) -> float:
    """Least change of an outcome that is noticed, against what one is used to.

    Parameters: outcome, by name; usual, its usual value [SI].
    Returns: change [SI], > 0.
    Raises: InputError for an outcome that nobody notices as such.

    >>> noticed("early_dive", 0.07), round(noticed("harshness", 60.0), 9)
    (0.006, 6.0)

    Source: morioka-griffin-2000; mansfield-griffin-2000, difference thresholds (printed, from memory)
    """
    if outcome in STEP:
        return STEP[outcome]
    if outcome not in SHARE:
        known = (*SHARE, *STEP)
        raise InputError(f"'{outcome}' is not noticed as such{nearest(outcome, known)}; known: {', '.join(known)}")
    return SHARE[outcome] * max(abs(usual), FLOOR.get(outcome, 0.0))


def steps(size: float) -> str:
    """A size [steps, or times what is noticed] as text.

    >>> steps(1.04), steps(-2.0), steps(0.97)  # what is not noticed does not look as if it were
    ('1.0', '−2.0', '0.97')
    """
    near = round(abs(size), 1) == 1.0 and round(abs(size), 6) < 1.0
    shown = min(round(abs(size), 2), 0.99) if near else round(abs(size), 1)
    return minus(f"{np.copysign(shown, size) if shown else 0.0:.{2 if near else 1}f}")
