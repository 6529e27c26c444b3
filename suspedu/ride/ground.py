"""From heights over distance to what the wheel's centre meets over time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import scipy

from suspedu.numerics import remembered
from suspedu.ride.profile import STEP, Terrain
from suspedu.units import InputError, require

BRAKE_RISE = 0.15  # s in which a brake bites or lets go


def tyre_envelope(height, radius: float, contact_length: float, step: float = STEP):
    """Path of the wheel's centre less its radius: a disc rolling on the ground, averaged over the contact length.

    path(s) = mean over the contact of max_u [ h(s+u) + sqrt(R^2 - u^2) - R ]

    Parameters: height [n, m]; radius, contact_length [m]; step [m].
    Returns: heights [n, m]; never below what a point would follow, before averaging.
    Assumes: a round, stiff carcass for edges and a soft one over the contact; 0 switches either off.

    >>> edge = np.repeat([0.0, 0.08], 200)
    >>> round(float(tyre_envelope(edge, 0.345, 0.09)[170] * 1e3), 1)  # 150 mm before an edge of 80 mm
    44.2
    """
    path = np.asarray(height, dtype=float)
    reach = int(radius / step)
    if reach:
        u = np.arange(-reach, reach + 1) * step
        disc = np.sqrt(np.maximum(radius**2 - u**2, 0.0)) - radius  # rounding at the rim
        path = scipy.ndimage.grey_dilation(path, structure=disc, mode="nearest")
    width = 2 * int(contact_length / step / 2) + 1
    return scipy.ndimage.uniform_filter1d(path, width, mode="nearest")


@dataclass(frozen=True, eq=False)
class Ground:
    """Ground over time, every half step: height [m], its rate [m/s], deceleration of the machine [m/s2]."""

    step: float  # s
    height: np.ndarray
    climb: np.ndarray
    slowing: np.ndarray
    distance: np.ndarray  # m

    @property
    def time(self) -> np.ndarray:
        """Instants of whole steps [s]."""
        return np.arange((len(self.height) + 1) // 2) * self.step

    @cached_property
    def highest(self) -> float:
        """Farthest from level, up or down [m]."""
        return float(np.abs(self.height).max())


@remembered(size=64)
def ground_path(terrain: Terrain, radius: float, contact_length: float) -> scipy.interpolate.CubicSpline:
    """Smooth curve through the enveloped heights: its slope is the rate's own, so height and rate agree.

    Parameters: terrain; tyre radius [m]; contact_length [m].
    """
    path = tyre_envelope(terrain.height, radius, contact_length)
    return scipy.interpolate.CubicSpline(np.arange(len(path)) * STEP, path)


@remembered(size=12)  # a megabyte each; what rides many machines stays on one ground
def ground_over_time(terrain: Terrain, speed: float, radius: float, contact_length: float, step: float) -> Ground:
    """Ground as the wheel meets it at a speed, slowing where the terrain says so.

    Parameters: terrain; speed at the start [m/s]; tyre radius, contact_length [m]; step [s].
    Returns: Ground, sampled every half step to the end of the run.
    Raises: InputError for a speed of 0, or a run too long or too short to simulate.
    """
    require("speed", speed, 0.5, 60.0, "m/s", "" if speed else "a machine that stands still rides over nothing")
    require("time step", step, 1e-5, 2e-3, "ms")
    distance, slowing = _travelled(terrain, speed, step)
    curve = ground_path(terrain, radius, contact_length)
    rolling = np.gradient(distance, step / 2)
    return Ground(step, curve(distance), curve(distance, 1) * rolling, slowing, distance)


def _travelled(terrain: Terrain, speed: float, step: float):
    """Distance and deceleration at every half step: constant speed, then braking with a soft bite and release."""
    brakes_at = terrain.brake_from if terrain.deceleration > 0 and speed > terrain.exit_speed else None
    duration = terrain.length / speed if brakes_at is None else _braked_duration(terrain, speed, brakes_at)
    require("duration of the ride", duration, 0.05, 300, "s", f"{terrain.length:.4g} m at {speed:.4g} m/s")
    time = np.arange(2 * int(duration / step) + 1) * (step / 2)
    if brakes_at is None:
        return speed * time, np.zeros_like(time)
    start, dab = brakes_at / speed, terrain.dab
    slowing = _pull(time, terrain.deceleration, start, (speed - terrain.exit_speed) / terrain.deceleration)
    if dab is not None:
        slowing = slowing + _pull(time, dab.deceleration, start + dab.after, dab.lasting)
    now = speed - _running(slowing, step / 2)
    return np.minimum(_running(now, step / 2), terrain.length), slowing


def _pull(time, deceleration, start, hold):
    """A brake that bites at `start` and is let go after `hold` [s]: deceleration over time [m/s2]."""
    return deceleration * (_smooth((time - start) / BRAKE_RISE) - _smooth((time - start - hold) / BRAKE_RISE))


def _braked_duration(terrain: Terrain, speed: float, brakes_at: float) -> float:
    """Time for the run: at speed, braking (its mean speed counts), then at the exit speed, less what a dab takes."""
    hold, dab = (speed - terrain.exit_speed) / terrain.deceleration, terrain.dab
    braked = (speed + terrain.exit_speed) / 2 * hold
    lost = 0.0 if dab is None else dab.deceleration * dab.lasting
    if dab is not None:
        braked -= lost * max(hold - dab.after - dab.lasting / 2, 0.0)
    rest = terrain.length - brakes_at - braked - speed * BRAKE_RISE
    if rest < 0:
        raise InputError(f"braking from {speed:.4g} m/s at {terrain.deceleration:.4g} m/s² takes {braked:.4g} m, more "
                         f"than the {terrain.length - brakes_at:.4g} m that '{terrain.name}' has left")
    return brakes_at / speed + hold + rest / max(terrain.exit_speed - lost, 0.5)


def _smooth(part):
    p = np.clip(part, 0.0, 1.0)
    return p * p * (3 - 2 * p)


def _running(rate, step):
    """Running integral by the trapezoidal rule."""
    return np.concatenate([[0.0], np.cumsum((rate[1:] + rate[:-1]) * (step / 2))])
