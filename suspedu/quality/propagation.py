"""The spread without a draw: each cause by its slope, their squares added; and the worst that could be."""

from __future__ import annotations

import numpy as np

from suspedu.machine.model import Leg
from suspedu.numerics import remembered
from suspedu.quality.bench_forces import bench_force
from suspedu.quality.tolerances import SIGMAS, Scratch, Tolerance, scratched


@remembered(size=512)
def contribution(leg: Leg, tolerance: Tolerance, velocities: tuple[float, ...]) -> np.ndarray:
    """Standard deviation that one cause by itself gives the force, signed as the force moves with it.

    u_i = [F(x_i + s_i) - F(x_i - s_i)]/2

    Parameters: leg as on paper; tolerance, with its standard deviation s_i; velocities [n, m/s].
    Returns: u_i [n, N].

    >>> from suspedu.machine import load
    >>> from suspedu.quality.tolerances import usual_tolerances
    >>> leg = load("enduro").legs[0]
    >>> seal = usual_tolerances(leg)[-1]
    >>> contribution(leg, seal, (-1.0, 1.0)).round(3).tolist()
    [-0.667, 0.667]

    Source: jcgm-100, section 5.1.4, slopes by differences of one standard uncertainty (printed, from memory)
    """
    if tolerance.half_width == 0.0:
        return np.zeros(len(velocities))
    more, less = (bench_force(tolerance.strayed(leg, by), velocities) for by in (tolerance.sigma, -tolerance.sigma))
    return (more - less) / 2.0


def linear_spread(leg: Leg, tolerances: tuple[Tolerance, ...], velocities: tuple[float, ...],
                  scratch: Scratch | None = None) -> np.ndarray:
    """Standard deviation of the force: the root of the sum of squares of what each cause gives.

    u = (sum u_i^2 + q (1 - q) D^2)^(1/2), with D what a scratch does to a share q

    Parameters: leg; tolerances; velocities [n, m/s]; scratch in a share of the legs.
    Returns: u [n, N].
    Assumes: causes that know nothing of one another, each small enough for its slope.

    >>> from suspedu.machine import load
    >>> from suspedu.quality.tolerances import usual_tolerances
    >>> leg = load("enduro").legs[0]
    >>> linear_spread(leg, usual_tolerances(leg, shims=0.0), (-1.0,)).round(2).tolist()
    [0.84]

    Source: jcgm-100, section 5.1.2, law of propagation of uncertainty (printed, from memory)
    """
    return root_sum_square([np.sqrt(each) for each in causes(leg, tolerances, velocities, scratch).values()])


def root_sum_square(parts):
    """What independent causes come to together.

    u = (sum u_i^2)^(1/2)

    Parameters: parts u_i [n, ...], one row for each cause. Returns: u, in their unit.

    >>> round(float(root_sum_square([25.0, 9.7, 2.9, 16.6])), 1)
    31.7

    Source: jcgm-100, section 5.1.2; its example H.1, end-gauge in nm (printed, from memory)
    """
    return np.sqrt(np.sum(np.square(parts), axis=0))


def causes(leg: Leg, tolerances: tuple[Tolerance, ...], velocities: tuple[float, ...],
           scratch: Scratch | None = None) -> dict[str, np.ndarray]:
    """Variance of the force by its cause [N2], each at the velocities [n, m/s]: see `linear_spread`.

    Parameters: leg; tolerances; velocities [n, m/s]; scratch.
    Returns: label -> u_i^2 [n, N2].

    >>> from suspedu.machine import load
    >>> from suspedu.quality.tolerances import usual_tolerances
    >>> leg = load("enduro").legs[0]
    >>> found = causes(leg, usual_tolerances(leg, shims=0.0, seal=3.0), (-0.1,))
    >>> max(found, key=lambda label: found[label][0])
    'seal'
    """
    found = {each.label: contribution(leg, each, velocities) ** 2 for each in tolerances}
    if scratch:
        by = bench_force(scratched(leg, scratch), velocities) - bench_force(leg, velocities)
        found["scratch"] = scratch.share * (1.0 - scratch.share) * by**2
    return found


def worst_case(leg: Leg, tolerances: tuple[Tolerance, ...], velocities: tuple[float, ...]) -> np.ndarray:
    """How far the force could be off [N] if every dimension stood at the wrong end of its tolerance at once.

    D = sum 3 |u_i|

    Parameters: leg; tolerances; velocities [n, m/s]. Returns: D [n, N].

    >>> from suspedu.machine import load
    >>> from suspedu.quality.tolerances import usual_tolerances
    >>> leg = load("enduro").legs[0]
    >>> rows = usual_tolerances(leg, shims=0.0)
    >>> (worst_case(leg, rows, (-1.0,)) / linear_spread(leg, rows, (-1.0,)) / 3).round(1).tolist()
    [1.8]
    """
    return SIGMAS * sum(np.abs(contribution(leg, each, velocities)) for each in tolerances)
