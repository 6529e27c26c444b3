"""The spread of a batch, with error bars: what is known of a mean, a standard deviation and a share after n parts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from suspedu.machine.model import Leg
from suspedu.numerics import remembered
from suspedu.quality.bench_forces import bench_force
from suspedu.quality.tolerances import Scratch, Tolerance, drawn_legs
from suspedu.units import InputError, require

SEED = 16  # of the batches that lessons and panels draw
NINETY_FIVE = 1.959964  # standard errors either side that hold 95 of 100 (computed by scipy: norm.ppf(0.975))


@dataclass(frozen=True)
class Spread:
    """Mean and standard deviation of a batch, each with its standard error, of one shape."""

    count: int
    mean: np.ndarray
    deviation: np.ndarray
    mean_error: np.ndarray
    deviation_error: np.ndarray


def spread_of(values) -> Spread:
    """Mean and standard deviation of what was read of n parts, with the standard errors of both.

    e(mean) = s/n^(1/2); e(s) = [(m4 - s^4 (n - 3)/(n - 1))/n]^(1/2)/(2 s), and at least s/(2 (n - 1))^(1/2), which it
    is for a normal distribution: of few parts the fourth moment m4 comes out low

    Parameters: values [n, ...], one row for each part.
    Returns: `Spread`, in the unit of the values.
    Raises: InputError for fewer than 8 parts: error bars of so few say nothing.
    Assumes: parts drawn one by one; the error of s is that of its large-sample law.

    >>> normal = np.random.default_rng(1).standard_normal(10_000)
    >>> found = spread_of(normal)
    >>> round(float(found.deviation_error * np.sqrt(2 * 9_999) / found.deviation), 1)
    1.0

    Source: jcgm-101, section 7.6, mean and standard deviation of the draws (printed, from memory)
    """
    rows = np.asarray(values, dtype=float)
    count = require("number of parts", len(rows), 8, 1e9, slip="draw more: error bars of so few say nothing")
    mean, deviation = rows.mean(axis=0), rows.std(axis=0, ddof=1)
    fourth = ((rows - mean) ** 4).mean(axis=0)
    variance = np.maximum(fourth - deviation**4 * (count - 3) / (count - 1), 0.0) / count
    error = np.maximum(np.sqrt(variance) / (2.0 * np.where(deviation > 0.0, deviation, 1.0)),
                       deviation / np.sqrt(2.0 * (count - 1)))
    return Spread(int(count), mean, deviation, deviation / np.sqrt(count), error)


def share_outside(values, low: float, high: float) -> tuple[float, float, float]:
    """Share of parts outside limits, and the 95 % interval that so few parts leave (Wilson's).

    Parameters: values [n]; low, high limits, in their unit.
    Returns: share, lowest, highest [-].

    >>> [round(each, 3) for each in share_outside(np.arange(20.0), 0.5, 30.0)]
    [0.05, 0.009, 0.236]

    Source: scipy, binomtest, the interval of Wilson (computed by scipy)
    """
    if not low < high:
        raise InputError(f"limits are {low:.4g} and {high:.4g}; the lower one comes first")
    given = np.asarray(values, dtype=float)
    wrong = int(np.sum((given < low) | (given > high)))
    interval = scipy.stats.binomtest(wrong, given.size).proportion_ci(method="wilson")
    return wrong / given.size, float(interval.low), float(interval.high)


def normal_share_outside(mean, deviation, low, high):
    """Share outside limits of a normal distribution: what a spread says where counting would need thousands of parts.

    Parameters: mean, deviation >= 0, low, high, in one unit, any shape.
    Returns: share [-]; all or nothing where nothing strays.

    >>> round(float(normal_share_outside(0.0, 1.0, -3.0, 3.0)), 4)
    0.0027
    """
    wide = np.maximum(deviation, 1e-12 * np.subtract(high, low))
    below, above = np.subtract(low, mean) / wide, np.subtract(high, mean) / wide
    return (scipy.special.ndtr(below) + scipy.special.ndtr(-above))[()]


@remembered(size=64)
def batch_forces(leg: Leg, tolerances: tuple[Tolerance, ...], velocities: tuple[float, ...], count: int,
                 seed: int = SEED, scratch: Scratch | None = None) -> np.ndarray:
    """Forces that the bench reads of a batch, each leg through the damper's own laws: a Monte Carlo run.

    Parameters: leg as it is drawn on paper; tolerances of it; velocities [n_v, m/s]; count of legs; seed; scratch.
    Returns: force [count, n_v, N].

    >>> from suspedu.machine import load
    >>> from suspedu.quality.tolerances import usual_tolerances
    >>> leg = load("enduro").legs[0]
    >>> batch_forces(leg, usual_tolerances(leg, shims=0.0), (-1.0,), 8).shape
    (8, 1)

    Source: jcgm-101, section 7, propagation of distributions (printed, from memory)
    """
    return np.array([bench_force(each, velocities) for each in drawn_legs(leg, tolerances, count, seed, scratch)])
