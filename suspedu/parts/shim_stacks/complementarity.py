"""Contact without glue: at each touching place either a force or a gap, never both, never negative.

The places share one compliance matrix W (symmetric, positive definite): slack = W force + q. For such a
matrix the solution exists, is unique, and moves along straight pieces as a load grows.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import scipy

from suspedu.units import InputError


def contact_forces(compliance, slack, touching=None):
    """Forces that keep a set of places from passing through each other.

    force >= 0, W force + q >= 0, force (W force + q) = 0

    Parameters: compliance W [n, n; m/N]; slack q [n, m], the gaps as they would be without contact;
        touching [n, true or false], a guess that saves time when it is nearly right.
    Returns: force [n, N], exactly zero where a place is open.
    Raises: InputError where the solver gives up, which takes data that are no stack.
    Assumes: W = L L^T, so the forces are the non-negative least-squares solution of L^T force = -L^-1 q.

    >>> contact_forces(np.array([[2.0, 1.0], [1.0, 2.0]]), np.array([-1.0, 1.0])).round(9).tolist()
    [0.5, 0.0]

    Source: cottle, section 1.2, optimality condition of a quadratic programme (printed, from memory)
    """
    if np.all(slack >= 0):
        return np.zeros(len(slack))
    guessed = None if touching is None else _mended(compliance, slack, touching)
    if guessed is not None:
        return guessed
    unit = 1.0 / np.sqrt(np.diag(compliance))  # scaled to a unit diagonal, so one tolerance fits all places
    root = _lower_root(compliance * np.outer(unit, unit))
    pushed = -scipy.linalg.solve_triangular(root, slack * unit, lower=True)
    try:
        return scipy.optimize.nnls(root.T, pushed, maxiter=20 * len(slack))[0] * unit
    except RuntimeError as fault:
        raise InputError("shim stack: its contacts find no balance; are its gaps those of a stack?") from fault


def _lower_root(scaled):
    """L of L L^T for a matrix of unit diagonal, of which rounding may have left hardly more than nothing to one side.

    Places that lie very close together share nearly the same compliance, and only the sum of their forces counts.
    Then each gets a give of its own, 1e-12 of what it has: far below any shim's tolerance, well above rounding.
    """
    try:
        return np.linalg.cholesky(scaled)
    except np.linalg.LinAlgError:
        return np.linalg.cholesky(scaled + 1e-12 * np.eye(len(scaled)))


def _mended(compliance, slack, touching):
    """Forces from a guess of the touching places, mended a few times where they pull or overlap; None if that fails."""
    for _ in range(30):
        force = force_rates(compliance, slack, touching)
        overlaps = compliance @ force + slack < -1e-10 * np.abs(slack).max()
        wrong = np.where(touching, force < 0, overlaps)
        if not wrong.any():
            return force
        touching = touching ^ wrong
    return None


def force_rates(compliance, slack_rate, touching):
    """Growth of the contact forces with a load, as long as the same places touch.

    W_aa rate_a = -q'_a over the touching places a

    Parameters: compliance W [n, n; m/N]; slack_rate q' [n, m/Pa]; touching [n, true or false].
    Returns: rate [n, N/Pa].

    >>> force_rates(np.array([[2.0, 1.0], [1.0, 2.0]]), np.array([-1.0, 1.0]), np.array([True, False])).tolist()
    [0.5, 0.0]

    Source: cottle, section 4.5, parametric problems (printed, from memory)
    """
    rate = np.zeros(len(slack_rate))
    rate[touching] = np.linalg.solve(compliance[np.ix_(touching, touching)], -slack_rate[touching])
    return rate


def broken_line(value_and_rate: Callable, places):
    """Corners of a function made of straight pieces, found from its values and slopes.

    Two neighbouring lines are one line, or cross at a corner, or hide more corners between them: then look again there

    Parameters: value_and_rate, function of p giving (value, slope); places [n, unit of p], rising, to start looking at.
    Returns: p and value at the ends and corners, two arrays [m, unit of p] and [m, unit of the value].
    Assumes: what differs by less than 0.03 % of the value and a nanometre is no corner.

    >>> place, value = broken_line(lambda p: (min(p, 1.5), float(p < 1.5)), [0.0, 1.0, 2.0, 4.0])
    >>> place.tolist(), value.tolist()
    ([0.0, 1.5, 4.0], [0.0, 1.5, 1.5])

    Source: cottle, section 4.5, the solution is piecewise linear in the parameter (printed, from memory)
    """
    known = [(p, *value_and_rate(p)) for p in places]
    line = known[:1]
    for start, end in pairwise(known):
        line += [*_corners(value_and_rate, start, end), end]
    place, value, _ = np.array(line).T
    rates = np.diff(value) / np.diff(place)
    bend = np.abs(np.diff(rates)) > 1e-4 * np.abs(rates).max()
    return place[np.r_[True, bend, True]], value[np.r_[True, bend, True]]


def _on_line(start, place) -> bool:
    return abs(start[1] + start[2] * (place[0] - start[0]) - place[1]) <= 3e-4 * abs(place[1]) + 1e-9


def _is_line(start, end) -> bool:
    return _on_line(start, end) and abs(end[1] - end[2] * (end[0] - start[0]) - start[1]) <= 3e-4 * abs(end[1]) + 1e-9


def _corners(value_and_rate, start, end):
    if _is_line(start, end):
        return []
    (a, fa, ra), (b, fb, rb) = start, end
    cross = a + (fb - fa - rb * (b - a)) / (ra - rb) if ra != rb else a
    inside = a + 1e-6 * (b - a) < cross < b - 1e-6 * (b - a)
    at = cross if inside else 0.5 * (a + b)
    corner = (at, *value_and_rate(at))
    if b - a < 1e-6 * b:
        return [corner]
    if inside and _on_line(start, corner):
        near = at + 0.05 * (b - at)  # close behind a corner its cluster of smaller ones would hide
        check = (near, *value_and_rate(near))
        if _is_line(check, end):
            return [corner]
        corner = check
    return [*_corners(value_and_rate, start, corner), corner, *_corners(value_and_rate, corner, end)]
