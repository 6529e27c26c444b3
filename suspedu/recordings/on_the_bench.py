"""Single cycles of a sound and a spoilt cartridge, by the quick law: what a panel shows while a hand moves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper import stock_damper
from suspedu.numerics import remembered
from suspedu.recordings.fault_kinds import FAULT_KINDS, HEALTHY, FaultKind
from suspedu.recordings.force_velocity import ForceVelocity, loop_opening
from suspedu.recordings.marching import BenchMotion, predicted_force
from suspedu.recordings.reduction import smoothed_motion
from suspedu.recordings.rig import Rig
from suspedu.school.smoothing import velocity_left, velocity_noise
from suspedu.units import InputError, nearest, require

AMPLITUDE, MIDDLE = 0.025, 0.15  # m
STEPS, TURNS = 128, 3  # steps of a cycle, cycles until it repeats itself
ROW_STEP, ROWS, SHORT_STROKE = 1e-3, 400, 0.01  # s, rows shown, m: what a window is tried on
BEFORE = 60  # rows on either side that are smoothed but not shown
FAULT_NAMES = tuple(dict.fromkeys(kind.name for kind in FAULT_KINDS))


@dataclass(frozen=True, eq=False)
class BenchCycle:
    """One settled cycle, arrays of one length, SI, from the least stroke to the least stroke."""

    stroke: np.ndarray
    velocity: np.ndarray
    force: np.ndarray

    @property
    def work(self) -> float:
        """Energy that the cycle takes out [J]: the area inside force over stroke."""
        return float(np.trapezoid(self.force, self.stroke))

    @property
    def opening(self) -> float:
        """How far the loop over velocity stands open [N]."""
        return loop_opening(ForceVelocity(self.velocity, self.force))


def fault_size(name: str, bad) -> float:
    """Size of a fault, from just worth naming to as bad as it is looked for.

    Parameters: name of a fault; bad, from 0 to 1 [-]. Returns: size [SI].

    >>> [round(fault_size("entrained air", bad), 3) for bad in (0.0, 1.0)], round(fault_size("lost gas", 1.0), 2)
    ([0.015, 0.2], 0.02)
    """
    kind = _kind(name)
    share = float(require("how bad", bad, 0.0, 1.0))
    share = 1.0 - share if name == "lost gas" else share  # less charge is worse
    return float(kind.least * (kind.most / kind.least) ** share)


def _kind(name: str) -> FaultKind:
    found = next((kind for kind in FAULT_KINDS if kind.name == name), None)
    if found is None:
        raise InputError(f"there is no fault '{name}'{nearest(name, FAULT_NAMES)}")
    return found


@remembered(size=512)
def bench_cycle(name: str = HEALTHY, bad: float = 0.0, speed: float = 0.5) -> BenchCycle:
    """A cycle of the school's closed cartridge, sound or with a fault.

    Parameters: name of a fault, or "healthy"; bad, how bad it is, 0 to 1 [-]; speed, the greatest [m/s].

    >>> [round(bench_cycle(name, 0.5, 0.5).work, 1) for name in ("healthy", "worn seal")]
    [17.2, 16.1]
    """
    rig = Rig(stock_damper("closed cartridge"))
    rig = rig if name == HEALTHY else _kind(name).spoil(rig, fault_size(name, bad))
    pace = speed / AMPLITUDE
    time = np.arange(TURNS * STEPS + 1) * 2.0 * np.pi / pace / STEPS
    turn = pace * time
    motion = BenchMotion(time, MIDDLE - AMPLITUDE * np.cos(turn), speed * np.sin(turn), speed * pace * np.cos(turn))
    last = slice((TURNS - 1) * STEPS, None)
    return BenchCycle(motion.stroke[last], motion.velocity[last], predicted_force(motion, rig)[last])


@dataclass(frozen=True, eq=False)
class WindowedVelocity:
    """Velocity of a short sine as a window of rows reads it from a noisy stroke: arrays of one length, SI."""

    time: np.ndarray
    read: np.ndarray
    true: np.ndarray
    length: float  # s of the window
    left: float  # share of the true velocity that the window leaves
    noise: float  # m/s, one standard deviation


@remembered(size=256)
def windowed_velocity(window: int, stroke_noise: float, frequency: float) -> WindowedVelocity:
    """A sine of 10 mm to either side, a thousand rows a second, through a window.

    Parameters: window, odd, in rows; stroke_noise, one standard deviation [m]; frequency [Hz].

    >>> seen = windowed_velocity(21, 20e-6, 8.0)
    >>> len(seen.read), round(seen.left, 3), round(seen.length, 3)
    (400, 1.0, 0.021)
    """
    time = np.arange(-BEFORE, ROWS + BEFORE) * ROW_STEP
    fast = 2.0 * np.pi * frequency
    noise = np.random.default_rng(14).normal(0.0, 1.0, len(time))  # one seed: each window reads the same rows
    stroke = MIDDLE - SHORT_STROKE * np.cos(fast * time) + stroke_noise * noise
    shown = slice(BEFORE, BEFORE + ROWS)
    return WindowedVelocity(time[shown], smoothed_motion(time, stroke, window).velocity[shown],
                            fast * SHORT_STROKE * np.sin(fast * time[shown]), window * ROW_STEP,
                            float(velocity_left(frequency, ROW_STEP, window)),
                            float(velocity_noise(stroke_noise, ROW_STEP, window)))
