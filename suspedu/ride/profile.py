"""What every ground is: heights over distance, brakes on it, and the flight that it may begin with."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from suspedu.numerics import frozen
from suspedu.units import InputError, check_fields, part, quantity

STEP = 0.005  # m between the heights of a profile
RUN_IN = 4.0  # m of flat ground before anything happens


@part
class Dab:
    """A short, harder pull of a brake that is already held."""

    deceleration: float = quantity("m/s^2", 0, 12, "deceleration of the dab, on top")
    after: float = quantity("s", 0, 30, "time from the brake's bite to the dab's")
    lasting: float = quantity("s", 0.1, 10, "time until the dab is let go")


@part
class Flight:
    """The wheel starts in the air, fork and rider at ease as in any flight, and falls onto the ground."""

    height: float = quantity("m", 0, 5, "height of the wheel above the ground at the start")
    slope: float = quantity("", -2, 2, "slope of the lip it left", default=0.0)
    crest: float = quantity("m", 0, 200, "distance of the landing's crest", default=0.0)


@part(eq=False)
class Terrain:
    """A height profile over distance, where a rider brakes on it, and whether the wheel comes flying."""

    name: str
    height: np.ndarray  # [n, m] every STEP
    speed: float = quantity("m/s", 0.5, 60, "speed usual on this terrain")
    quiet_from: float | None = None  # m: flat from here on, so that settling can be judged
    brake_from: float | None = None  # m
    deceleration: float = quantity("m/s^2", 0, 12, "deceleration", default=0.0)
    exit_speed: float = quantity("m/s", 0.5, 60, "speed after braking", default=3.0)
    dab: Dab | None = None
    flight: Flight | None = None

    def __post_init__(self):
        check_fields(self)
        if not np.isfinite(self.height).all():
            raise InputError(f"terrain '{self.name}' holds heights that are not numbers")
        object.__setattr__(self, "height", frozen(np.array(self.height, dtype=float)))  # nobody else can write into it

    @property
    def length(self) -> float:
        """Length of the run [m]."""
        return (len(self.height) - 1) * STEP

    @property
    def statistics(self) -> dict[str, float]:
        """Length, r.m.s. height about the mean, lowest, highest [m] and steepest slope [-]."""
        h = self.height
        return {"length": self.length, "rms": float(h.std()), "lowest": float(h.min()), "highest": float(h.max()),
                "steepest": float(np.abs(np.diff(h)).max() / STEP)}

    @property
    def statement(self) -> str:
        """The statistics as a sentence."""
        s = self.statistics
        return (f"{self.name}: {s['length']:.0f} m, heights {1e3 * s['lowest']:.0f} to {1e3 * s['highest']:.0f} mm, "
                f"r.m.s. {1e3 * s['rms']:.1f} mm")


def laid(length: float, shape: Callable) -> np.ndarray:
    """Heights [m] of shape(distance) every STEP, over a length [m]."""
    return np.asarray(shape(np.arange(round(length / STEP) + 1) * STEP), dtype=float)


def fits(what: str, needed: float, run: float) -> None:
    """Refuse what takes more ground than the run has.

    Parameters: what; needed, run [m].
    Raises: InputError where it does not fit.

    >>> fits("whoops", 70.0, 64.0)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: the whoops take 70 m with the run-in, longer than the run of 64 m
    """
    if needed > run:
        raise InputError(f"the {what} take {needed:.4g} m with the run-in, longer than the run of {run:.4g} m")
