"""From a recording to velocity, cycles and passes: what every curve and every search begins with.

Velocity is not recorded; it is the slope of a cubic laid through a window of strokes round each row (Savitzky and
Golay's filter, scipy's). A wide window quietens noise, and flattens what is shorter than itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import scipy

from suspedu.recordings.marching import BenchMotion
from suspedu.recordings.recording import Recording
from suspedu.school.smoothing import ORDER
from suspedu.units import InputError

LEAST_WINDOW = 5  # rows: the fewest that a cubic smooths
PART_OF_CYCLE = 12  # windows in the fastest cycle, unless asked otherwise: takes 0.03 % off its velocity
WIDEST_WINDOW = 501  # rows: wider ones cost time, and the noise is long gone
TURNED = 0.15  # of the whole span must a stroke cross, either side of the middle, to count as a cycle
ALIKE = 0.1  # cycles of one pass differ by less in length
STEPS_IN_CYCLE = 96  # at least, that are kept of each cycle for a search


@dataclass(frozen=True)
class Pass:
    """Cycles of one speed in a row: first row, row behind the last, how many, window of rows, greatest speed [m/s]."""

    start: int
    end: int
    cycles: int
    window: int
    peak_speed: float

    @property
    def rows_in_cycle(self) -> int:
        """Rows in one cycle."""
        return (self.end - self.start) // self.cycles


@dataclass(frozen=True, eq=False)
class Reduced:
    """A recording with its motion smoothed: arrays of one length, SI."""

    recording: Recording
    step: float  # s
    motion: BenchMotion
    passes: tuple[Pass, ...]
    noise: float  # N, standard deviation of the force from row to row

    @property
    def force(self) -> np.ndarray:
        """Force as recorded [N]."""
        return self.recording.force


def reduced(recording: Recording, window: int | None = None) -> Reduced:
    """A recording with velocity and acceleration, cut into passes of equal speed.

    Parameters: recording; window of the smoothing, an odd number of rows; None takes in each pass the twelfth part of
    its cycle.
    Returns: a `Reduced`.
    Raises: InputError for a test without a whole cycle, a window that is even, too short or longer than a third of a
    cycle.

    >>> from suspedu.recordings.samples import sine_recording
    >>> found = reduced(sine_recording(0.025, 2.0))
    >>> [(each.cycles, each.window, round(each.peak_speed, 2)) for each in found.passes]
    [(3, 41, 0.31)]

    Source: savitzky-golay-1964, smoothing and differentiation by least squares (printed, from memory)
    """
    step = (recording.time[-1] - recording.time[0]) / (len(recording.time) - 1)
    turns = cycle_starts(recording.stroke)
    if len(turns) < 2:
        raise InputError("the test has no whole cycle: the stroke should go in, out and in again")
    bounds = _alike(turns)
    windows = [_window(window, (rows[-1] - rows[0]) // (len(rows) - 1)) for rows in bounds]
    motion = _pass_by_pass(recording, bounds, windows)
    passes = _passes(bounds, windows, motion.velocity)
    return Reduced(recording, float(step), motion, passes, row_noise(recording.force))


def _pass_by_pass(recording: Recording, bounds, windows) -> BenchMotion:
    """Motion smoothed in each pass by its own window; what stands before the first or after the last goes along."""
    edges = [0, *(rows[0] for rows in bounds[1:]), len(recording.time)]
    pieces = [smoothed_motion(recording.time[begin:end], recording.stroke[begin:end], window)
              for (begin, end), window in zip(pairwise(edges), windows, strict=True)]
    return BenchMotion(*(np.concatenate(column) for column in zip(*pieces, strict=True)))


def _window(asked: int | None, fastest: int) -> int:
    if asked is None:
        return min(max(LEAST_WINDOW, fastest // PART_OF_CYCLE // 2 * 2 + 1), WIDEST_WINDOW)
    if asked != int(asked) or asked % 2 == 0 or not LEAST_WINDOW <= asked <= fastest // 3:
        raise InputError(f"window is {asked} rows; allowed: an odd number from {LEAST_WINDOW} to {fastest // 3}, a "
                         "third of the fastest cycle")
    return int(asked)


def smoothed_motion(time, stroke, window: int) -> BenchMotion:
    """Stroke, velocity and acceleration by a cubic through a window of rows.

    x, dx/dt, d2x/dt2 of the least-squares cubic, in the middle of the window

    Parameters: time [n, s], even; stroke [n, m]; window, odd, in rows.

    >>> time = np.arange(20) * 0.01
    >>> smoothed_motion(time, 0.1 + 2.0 * time**2, 7).velocity[10].round(6).item()  # 4 t
    0.4

    Source: savitzky-golay-1964 (printed, from memory)
    """
    step = (time[-1] - time[0]) / (len(time) - 1)
    smooth = [scipy.signal.savgol_filter(stroke, window, ORDER, deriv=times, delta=step) for times in range(3)]
    return BenchMotion(np.asarray(time, dtype=float), *smooth)


def row_noise(values):
    """Standard deviation of what changes from row to row [same unit], told from what a cubic through 7 rows leaves.

    Parameters: values [n, any unit]. Returns: one standard deviation [same unit].

    >>> values = 50.0 + np.random.default_rng(1).normal(0.0, 2.0, 20_000)
    >>> round(float(row_noise(values)), 1)
    2.0
    """
    left = values - scipy.signal.savgol_filter(values, 7, ORDER)
    middle = scipy.signal.savgol_coeffs(7, ORDER)[3]  # the filter follows each row's own noise by so much
    return float(np.std(left) / np.sqrt(1.0 - middle))


def cycle_starts(stroke) -> list[int]:
    """Rows at which cycles begin: the least strokes, each followed by one that crosses the middle and comes back.

    Parameters: stroke [n, m]. Returns: rows, rising.

    >>> cycle_starts(-np.cos(2.0 * np.pi * np.arange(101) / 25.0))
    [0, 25, 50, 75, 100]
    """
    low, high = float(np.min(stroke)), float(np.max(stroke))
    middle, reach = (low + high) / 2.0, TURNED * (high - low)
    side = np.where(stroke > middle + reach, 1, np.where(stroke < middle - reach, -1, 0))
    met = np.flatnonzero(side)
    turned = met[np.flatnonzero(np.diff(side[met]) != 0) + 1]  # rows at which the other side is reached
    bounds = [0, *turned.tolist(), len(stroke)]
    return [begin + int(np.argmin(stroke[begin:end])) for begin, end in pairwise(bounds)
            if side[met[np.searchsorted(met, begin)]] < 0]


def _alike(turns: list[int]) -> list[list[int]]:
    """Starts of cycles, those in a row that last alike together, each group with the end of its last."""
    groups: list[list[int]] = []
    for begin, end in pairwise(turns):
        if groups and abs((groups[-1][-1] - groups[-1][-2]) - (end - begin)) <= ALIKE * (end - begin):
            groups[-1].append(end)
        else:
            groups.append([begin, end])
    return groups


def _passes(bounds: list[list[int]], windows: list[int], velocity) -> tuple[Pass, ...]:
    return tuple(Pass(rows[0], rows[-1], len(rows) - 1, window, float(np.max(np.abs(velocity[rows[0]:rows[-1]]))))
                 for rows, window in zip(bounds, windows, strict=True))


def rows_kept(test: Reduced, per_cycle: int = STEPS_IN_CYCLE) -> tuple[np.ndarray, ...]:
    """Rows that a search looks at: the last cycle of each pass, and some before it in which the damper settles.

    Cycles that repeat each other repeat the errors of a model too: they are no further witness.

    Parameters: test; per_cycle, rows that are kept of each cycle, at least.
    Returns: rows [n]; how many rows round each are averaged [n]; whether each is compared; the number of its pass.
    """
    rows, counts, compared, turns = [], [], [], []
    for turn, each in enumerate(test.passes):
        length, last = each.rows_in_cycle, each.end - each.rows_in_cycle
        stride = max(length // per_cycle, 1)
        taken = np.arange(max(each.start, last - length // 2), each.end, stride)
        rows.append(taken)
        turns.append(np.full(len(taken), turn))
        counts.append(np.full(len(taken), stride - (stride % 2 == 0)))  # odd, so that a mean stands at its row
        compared.append(taken >= (last if each.cycles > 1 else each.start + length // 4))
    return tuple(np.concatenate(each) for each in (rows, counts, compared, turns))


def averaged(values, rows, counts):
    """Mean of the rows round each that is kept.

    Parameters: values [n, any unit]; rows [m, -]; counts [m, -], how many are averaged. Returns: means [m, same unit].

    >>> averaged(np.arange(10.0), np.array([2, 6]), np.array([1, 3])).tolist()
    [2.0, 6.0]
    """
    total = np.concatenate([[0.0], np.cumsum(values)])
    first = np.clip(rows - counts // 2, 0, len(values))
    last = np.clip(first + counts, 0, len(values))
    return (total[last] - total[first]) / (last - first)

