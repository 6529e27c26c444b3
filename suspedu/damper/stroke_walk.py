"""One full compression and rebound, instant by instant: the states of all valves, for cutaway and animation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper.circuit import Damper
from suspedu.damper.explain import Explanation, explained
from suspedu.damper.forces import WARM
from suspedu.parts.oil import Oil
from suspedu.units import STANDARD_ATMOSPHERE, InputError, require


@dataclass(frozen=True)
class Walk:
    """A stroke history and everything behind the damper's force along it; arrays [n]."""

    time: np.ndarray
    explanation: Explanation
    energy: np.ndarray  # J taken out of the motion so far by oil and end stop

    @property
    def stroke(self):
        """Stroke [m]."""
        return self.explanation.stroke

    @property
    def velocity(self):
        """Velocity [m/s], compression positive."""
        return self.explanation.velocity


def stroke_history(depth, compression_speed, rebound_speed, *, start=0.0, points: int = 241):
    """Times, strokes and velocities of a push to a depth and back, each half with its own peak speed.

    x = start + depth (1 - cos(pi t / T)) / 2 on the way in, T = pi depth / (2 v_peak); mirrored on the way out.

    Parameters: depth [m]; compression_speed, rebound_speed, peaks [m/s], above zero; start [m]; points, odd.
    Returns: time [n, s], stroke [n, m], velocity [n, m/s].
    Raises: InputError for a depth or a speed that is not above zero.

    >>> t, x, v = stroke_history(0.2, 2.0, 1.0, points=5)
    >>> x.round(3).tolist(), v.round(3).tolist()
    ([0.0, 0.1, 0.2, 0.1, 0.0], [0.0, 2.0, 0.0, -1.0, 0.0])
    """
    require("depth of the stroke", depth, 1e-3, 0.4, "mm")
    for name, speed in (("peak compression speed", compression_speed), ("peak rebound speed", rebound_speed)):
        require(name, speed, 1e-3, 12.0, "m/s")
    half = points // 2
    phase = np.linspace(0.0, np.pi, half + 1)
    there, back = (np.pi * depth / (2.0 * speed) for speed in (compression_speed, rebound_speed))
    time = np.concatenate([phase / np.pi * there, there + phase[1:] / np.pi * back])
    inward = depth * (1.0 - np.cos(phase)) / 2.0
    velocity = np.concatenate([compression_speed * np.sin(phase), -rebound_speed * np.sin(phase[1:])])
    velocity[[0, half, -1]] = 0.0  # sin(pi) is not quite nothing to a computer
    return time, start + np.concatenate([inward, inward[-2::-1]]), velocity


def stroke_walk(time, stroke, velocity, damper: Damper, oil: Oil, temperature=WARM, *, air_pressure=STANDARD_ATMOSPHERE
                ) -> Walk:
    """States of all valves along a stroke history, quasi-static.

    Parameters: time [n, s], rising; stroke [n, m]; velocity [n, m/s]; damper; oil; temperature [K];
    air_pressure, absolute, of the fork's air [n or scalar, Pa].
    Returns: a `Walk`.
    Raises: InputError for histories of different length or a time that does not rise.

    >>> from suspedu.damper import stock_damper
    >>> walk = stroke_walk(*stroke_history(0.2, 2.0, 1.0), stock_damper("open cartridge"), Oil(15e-6, 3.5e-6))
    >>> walk.energy[[0, 120, 240]].round(1).tolist()  # J: out, in, and out again; a damper only takes
    [0.0, 86.2, 159.1]
    """
    time, stroke, velocity = (np.array(values, dtype=float) for values in (time, stroke, velocity))
    if not time.shape == stroke.shape == velocity.shape or np.any(np.diff(time) <= 0.0):
        raise InputError("time, stroke and velocity must have one length, and time must rise")
    explanation = explained(stroke, velocity, damper, oil, temperature, air_pressure=air_pressure)
    power = (explanation.leg.damping_force + explanation.leg.stop_force) * velocity
    steps = 0.5 * (power[1:] + power[:-1]) * np.diff(time)
    return Walk(time, explanation, np.concatenate([[0.0], np.cumsum(steps)]))
