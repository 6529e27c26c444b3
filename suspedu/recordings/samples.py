"""Recordings of tests that nobody made: the exact damper with compressible oil, noise, and a seed. Always marked so."""

from __future__ import annotations

from bisect import bisect
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import cos, sin
from pathlib import Path

import numpy as np

from suspedu.damper import loop_along, stock_damper
from suspedu.files import write_whole
from suspedu.numerics import remembered
from suspedu.parts.friction import friction_force
from suspedu.recordings.recording import Recording
from suspedu.recordings.rig import Rig
from suspedu.units import from_si, require

SIMULATED = "simulated: made by the course, not by a test bench"
SPEEDS = (0.005, 0.02, 0.1, 0.3, 0.8, 1.5)  # m/s, greatest speed of each pass
CYCLES = (1, 1, 2, 3, 3, 4)


@dataclass(frozen=True)
class Schedule:
    """What a test bench is told: amplitude and middle of the stroke, passes of rising speed, rows in a second."""

    amplitude: float = 0.025  # m
    middle: float = 0.15  # m
    speeds: tuple[float, ...] = SPEEDS  # m/s
    cycles: tuple[int, ...] = CYCLES
    rate: float = 1000.0  # 1/s

    @cached_property
    def corners(self) -> list[float]:
        """Times at which passes begin and end [s], starting at 0: each begins and ends at the least stroke, at rest."""
        lengths = np.divide(self.cycles, self.speeds) * 2.0 * np.pi * self.amplitude
        return [0.0, *np.cumsum(lengths).tolist()]

    def turn(self, time: float) -> tuple[float, float]:
        """Greatest speed of the pass at a time [m/s], and the angle in its sine [rad], for a time [s]."""
        place = min(max(bisect(self.corners, time) - 1, 0), len(self.speeds) - 1)
        return self.speeds[place], self.speeds[place] / self.amplitude * (time - self.corners[place])

    def stroke(self, time: float) -> float:
        """Stroke at a time [s]: middle - amplitude cos(speed t / amplitude) [m]."""
        return self.middle - self.amplitude * cos(self.turn(time)[1])

    def velocity(self, time: float) -> float:
        """Velocity at a time [s]: speed sin(speed t / amplitude) [m/s]."""
        speed, angle = self.turn(time)
        return speed * sin(angle)

    def acceleration(self, time: float) -> float:
        """Acceleration at a time [s]: speed^2 / amplitude cos(speed t / amplitude) [m/s2]."""
        speed, angle = self.turn(time)
        return speed**2 / self.amplitude * cos(angle)


@dataclass(frozen=True)
class Sensors:
    """What a test bench adds: standard deviations of noise, and the steps in which it writes down."""

    force_noise: float = 2.0  # N
    stroke_noise: float = 10e-6  # m
    force_step: float = 0.1  # N
    stroke_step: float = 1e-6  # m


def sample_recording(rig: Rig, seed: int = 1, schedule: Schedule | None = None, sensors: Sensors | None = None, *,
                     friction: Callable | None = None) -> Recording:
    """A recording of a rig that the course makes itself: noise from a seed on the exact damper with compressible oil.

    F = loop's force + friction of the seals + m a, then noise and the sensors' steps

    Parameters: rig; seed of the noise; schedule, what the bench is told; sensors; friction, a law of velocity [m/s] and
    pressure in the chambers [Pa] that stands in for the rig's own.
    Returns: a `Recording`, marked as simulated in its notes.
    Raises: InputError for a stroke that the damper cannot make.

    >>> from suspedu.damper import stock_damper
    >>> quick = Schedule(speeds=(0.3,), cycles=(2,))
    >>> test = sample_recording(Rig(stock_damper("closed cartridge")), 7, quick)
    >>> len(test.time), test.notes[0][:9]
    (1047, 'simulated')
    """
    plan = schedule or Schedule()
    time, stroke, force = _exact(rig, plan, friction)
    noise, gauge = np.random.default_rng(seed), sensors or Sensors()
    stroke = _stepped(stroke + noise.normal(0.0, gauge.stroke_noise, len(time)), gauge.stroke_step)
    force = _stepped(force + noise.normal(0.0, gauge.force_noise, len(time)), gauge.force_step)
    return Recording(time, stroke, force, np.full(len(time), rig.temperature), (f"{SIMULATED}, seed {seed}",))


@remembered(size=32)
def _exact(rig: Rig, plan: Schedule, friction: Callable | None):
    require("seconds of the test", plan.corners[-1], 0.05, 300.0, "s", "is a speed too slow?")
    time = np.arange(round(plan.corners[-1] * plan.rate)) / plan.rate
    loop = loop_along(time, _either(plan.stroke), _either(plan.velocity), rig.damper, rig.oil, rig.temperature,
                      pocket=rig.moving.pocket)
    pressure = np.maximum(loop.compression_chamber, loop.rebound_chamber)
    rubbing = friction_force(loop.velocity, rig.seals) if friction is None else friction(loop.velocity, pressure)
    inertia = rig.moving.mass * _either(plan.acceleration)(time)
    return time, loop.stroke, loop.force + rubbing + inertia


def _either(law: Callable) -> Callable:
    """A law of one number for one number or an array of them: an integrator asks thousands of times for one."""
    return lambda time: np.array([law(t) for t in time.tolist()]) if np.ndim(time) else law(time)


def _stepped(values, step):
    return np.round(values / step) * step


def sine_recording(amplitude=0.025, frequency=2.0, seed: int = 1) -> Recording:
    """A short simulated test for examples: three cycles of the school's closed cartridge.

    Parameters: amplitude [m]; frequency [Hz]; seed.

    >>> sine_recording().force.max().round(-1).item()
    140.0
    """
    speed = 2.0 * np.pi * frequency * amplitude
    return sample_recording(Rig(stock_damper("closed cartridge")), seed,
                            Schedule(amplitude=amplitude, speeds=(speed,), cycles=(3,)))


def write_recording(path: Path | str, recording: Recording) -> Path:
    """Write a recording as CSV: its notes as remarks, then columns with units.

    Parameters: path; recording. Returns: the path. Raises: NotWrittenError.
    """
    columns = {"time [s]": recording.time, "stroke [mm]": from_si(recording.stroke, "mm"),
               "force [N]": recording.force}
    if recording.temperature is not None:
        columns["temperature [degC]"] = from_si(recording.temperature, "degC")
    form = ",".join(["%.6f", "%.4f", "%.2f", "%.1f"][:len(columns)])
    rows = "\n".join(form % row for row in zip(*(values.tolist() for values in columns.values()), strict=True))
    remarks = "".join(f"# {note}\n" for note in recording.notes)
    return write_whole(path, f"{remarks}{','.join(columns)}\n{rows}\n")
