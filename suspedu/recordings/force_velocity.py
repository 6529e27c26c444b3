"""Force over velocity out of a test: what is no damping taken off, then read at the peaks or all along the loop.

The gas pushes whether the damper moves or not, friction does not grow with speed, and a mass that moves with the load
cell pulls at it: all three would be read as damping.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.recordings.reduction import Reduced
from suspedu.units import InputError

SLOW = 0.05  # m/s: passes below it tell gas and friction (guess of the course)
MIDDLE = 0.5  # of the greatest velocity of a pass: above it friction slides evenly
PEAK = 0.98  # of the greatest velocity: what counts as the peak
BANDS = 24  # of velocity, from end to end of a loop


@dataclass(frozen=True)
class Standing:
    """What a test shows at hardly any speed: gas as a line over stroke, and friction."""

    gas_at_middle: float  # N
    gas_rate: float  # N/m
    middle: float  # m
    friction: float  # N
    slow_damping: float  # N s/m, what the bleed adds for each m/s

    def gas(self, stroke):
        """Force of the gas [N] at a stroke [any shape, m]."""
        return self.gas_at_middle + self.gas_rate * (np.asarray(stroke) - self.middle)


@dataclass(frozen=True, eq=False)
class ForceVelocity:
    """Force over velocity, arrays of one length, SI: peaks in order of velocity, loops in the order of time."""

    velocity: np.ndarray
    force: np.ndarray


def standing_forces(test: Reduced) -> Standing:
    """Gas and friction, told by the slow passes of a test.

    F = g_0 + g_1 (x - x_m) + f sgn v + c v, by least squares where |v| is over half the greatest of its pass

    Parameters: test.
    Returns: a `Standing`.
    Raises: InputError where no pass is slow enough.
    Valid for: two slow passes or more; with one, c is part of f.

    >>> from suspedu.damper import stock_damper
    >>> from suspedu.recordings.reduction import reduced
    >>> from suspedu.recordings.samples import Rig, Schedule, sample_recording
    >>> slow = Schedule(speeds=(0.005, 0.02), cycles=(1, 1))
    >>> found = standing_forces(reduced(sample_recording(Rig(stock_damper("closed cartridge")), 1, slow)))
    >>> round(found.friction), round(float(found.gas(0.15)))  # 12 N were put in, and friction rises as it slows
    (14, 31)
    """
    slow = [each for each in test.passes if each.peak_speed < SLOW]
    if not slow:
        raise InputError(f"the slowest pass reaches {min(each.peak_speed for each in test.passes):.2g} m/s; gas and "
                         f"friction are told by passes below {SLOW} m/s: add one, or give them")
    velocity = test.motion.velocity
    rows = np.concatenate([each.start + np.flatnonzero(np.abs(velocity[each.start:each.end]) > MIDDLE * each.peak_speed)
                           for each in slow])
    stroke, middle = test.motion.stroke[rows], float(np.mean(test.motion.stroke[rows]))
    columns = [np.ones(len(rows)), stroke - middle, np.sign(velocity[rows])]
    columns += [velocity[rows]] if len(slow) > 1 else []
    found = np.linalg.lstsq(np.array(columns).T, test.force[rows], rcond=None)[0].tolist()
    return Standing(found[0], found[1], middle, found[2], found[3] if len(slow) > 1 else 0.0)


def damping_left(test: Reduced, standing: Standing | None = None, mass=0.0):
    """Force that is left for damping, row by row.

    F_d = F - F_gas - f sgn v - m a

    Parameters: test; standing, gas and friction, None to tell them by the test's own slow passes; mass m that moves
    with the load cell [kg]. Returns: force [n, N].
    """
    still = standing or standing_forces(test)
    return (test.force - still.gas(test.motion.stroke) - still.friction * np.sign(test.motion.velocity)
            - mass * test.motion.acceleration)


def peak_curve(test: Reduced, force) -> ForceVelocity:
    """Force at the greatest velocity in and out of each pass: one point each, inertia and lag at their least.

    Parameters: test; force [n, N], such as `damping_left`.
    Returns: `ForceVelocity` in rising order of velocity, pulled out first (below zero).

    >>> from suspedu.recordings.reduction import reduced
    >>> from suspedu.recordings.samples import sine_recording
    >>> test = reduced(sine_recording(0.025, 4.0))
    >>> peak_curve(test, test.force).velocity.round(2).tolist()
    [-0.62, 0.62]
    """
    points = []
    for each in test.passes:
        velocity, there = test.motion.velocity[each.start:each.end], force[each.start:each.end]
        for way in (1.0, -1.0):
            near = way * velocity > PEAK * np.max(way * velocity)
            points.append((float(np.mean(velocity[near])), float(np.mean(there[near]))))
    return ForceVelocity(*np.array(sorted(points)).T)


def whole_loop(test: Reduced, force, turn: int = -1) -> ForceVelocity:
    """Force over velocity all along one cycle: faster, slower, back; it opens where force lags behind.

    Parameters: test; force [n, N]; turn, which pass, the last one unless told.
    Returns: `ForceVelocity` of its last cycle.

    >>> from suspedu.recordings.reduction import reduced
    >>> from suspedu.recordings.samples import sine_recording
    >>> test = reduced(sine_recording(0.025, 4.0))
    >>> whole_loop(test, test.force).velocity.max().round(1).item()
    0.6
    """
    if not -len(test.passes) <= turn < len(test.passes):
        raise InputError(f"pass {turn} is asked for; the test has {len(test.passes)}")
    each = test.passes[turn]
    rows = slice(each.end - each.rows_in_cycle, each.end)
    return ForceVelocity(test.motion.velocity[rows], np.asarray(force)[rows])


def middle_curve(loop: ForceVelocity) -> ForceVelocity:
    """A loop closed: the mean of its way up and its way down in bands of velocity.

    Parameters: loop. Returns: `ForceVelocity` in rising order of velocity.

    >>> turn = np.linspace(0.0, 2.0 * np.pi, 400, endpoint=False)
    >>> line = middle_curve(ForceVelocity(np.sin(turn), 100.0 * np.sin(turn) + 5.0 * np.cos(turn)))
    >>> np.max(np.abs(line.force - 100.0 * line.velocity)).round().item()
    0.0
    """
    edges = np.linspace(np.min(loop.velocity), np.max(loop.velocity), BANDS + 1)
    band = np.clip(np.searchsorted(edges, loop.velocity, side="right") - 1, 0, BANDS - 1)
    counts = np.bincount(band, minlength=BANDS)
    there = counts > 0
    means = [np.bincount(band, values, BANDS)[there] / counts[there] for values in (loop.velocity, loop.force)]
    return ForceVelocity(*means)


def loop_opening(loop: ForceVelocity) -> float:
    """How far a loop stands open: the greatest distance of its two ways at one velocity [N].

    Parameters: loop, of one cycle, beginning at the least stroke.

    >>> turn = np.linspace(0.0, 2.0 * np.pi, 400, endpoint=False)
    >>> round(loop_opening(ForceVelocity(np.sin(turn), 100.0 * np.sin(turn) + 5.0 * np.cos(turn))), 1)
    10.0
    """
    turns = np.argmax(loop.velocity), np.argmin(loop.velocity)
    faster = np.concatenate([np.arange(turns[1], len(loop.velocity)), np.arange(0, turns[0] + 1)])  # v rises along it
    slower = np.arange(turns[0], turns[1] + 1)[::-1]
    speeds = np.linspace(*(0.95 * np.array([np.min(loop.velocity), np.max(loop.velocity)])), 101)
    up, down = (np.interp(speeds, np.maximum.accumulate(loop.velocity[way]), loop.force[way])
                for way in (faster, slower))
    return float(np.max(np.abs(up - down)))
