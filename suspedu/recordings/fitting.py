"""What a recording is held against a rig by: forces compared, what each may miss, and the search's own steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import scipy

from suspedu.recordings.marching import BenchMotion, predicted_force
from suspedu.recordings.reduction import Reduced, averaged, rows_kept
from suspedu.recordings.rig import Rig
from suspedu.recordings.unknowns import Unknown

MODEL_ERROR = 0.012  # of a pass's forces, root mean square: what the laws may miss (guess of the course)
MEMORY = 6.0  # kept rows, a sixteenth of a cycle, over which they miss it alike (guess of the course)
QUIET_ERROR = 0.5  # N, what they may miss besides, row by row (guess of the course)
JUMP_ERROR = 0.2  # of what the force changes from kept row to kept row, where it turns (guess of the course)
# Of the friction as listed, how far its law may be off, and the speed [m/s] by which that has mostly gone: where it
# turns by all of it, from there on by half (guess of the course)
SHAPE_ERRORS = ((1.0, 0.001), (0.5, 0.003), (0.5, 0.01), (0.4, 0.03))
AHEAD = 2e-3  # step of a coordinate for slopes: past the small corners of tables


@dataclass(frozen=True, eq=False)
class Evidence:
    """Forces that a search compares, and what each may miss, alone and together with others."""

    motion: BenchMotion  # with the rows in which the damper settles
    force: np.ndarray  # [n, N], means round each row
    compared: np.ndarray  # [n], whether each row counts
    root: np.ndarray  # [m, m, N], of the covariance of the errors of the rows that count

    def missed(self, rig: Rig) -> np.ndarray:
        """Force recorded less predicted for a `rig`, over what may be missed [m, -]: parts that hang not together."""
        off = (self.force - predicted_force(self.motion, rig))[self.compared]
        return scipy.linalg.solve_triangular(self.root, off, lower=True, check_finite=False)


def evidence_of(test: Reduced, rig: Rig) -> Evidence:
    """What a recording says, thinned to the rows that a search needs.

    Parameters: test; rig, whose friction as listed says how far its law may be off.
    """
    rows, counts, compared, turns = rows_kept(test)
    force, motion = averaged(test.force, rows, counts), BenchMotion(*(column[rows] for column in test.motion))
    own = test.noise / np.sqrt(counts[compared])
    whole = error_covariance(force[compared], motion.velocity[compared], own, rig.seals.sliding, turns[compared])
    return Evidence(motion, force, compared, np.linalg.cholesky(whole))


def error_covariance(force, velocity, noise, friction, turns):
    """How the errors of forces hang together, if the laws were true but for what they may miss.

    C_ij = d_ij (noise^2 + quiet^2 + (j dF/di)^2) + q_i q_j exp(-|i - j|/M) + sum_k (e_k f)^2 b_ik b_jk,
    b_ik = sgn v exp(-|v|/v_k); q, of rows of one pass, a share of the root mean square of its forces

    Parameters: force [n, N]; velocity [n, m/s]; noise [n, N], of each mean; friction f as listed [N];
    turns, number of the pass of each row [n, -].
    Returns: covariance [n, n, N2].
    Assumes: the same q all round a pass: a share of each force itself would pull every estimate down.

    >>> force, one_pass = np.array([0.0, 100.0, -100.0, 0.0]), np.zeros(4)
    >>> error_covariance(force, one_pass, np.ones(4), 0.0, one_pass).diagonal().round().tolist()
    [402.0, 102.0, 102.0, 402.0]

    Source: kennedy-ohagan-2001, a model's own error as a random function (printed, from memory)
    """
    level = np.array([np.std(force[turns == turn]) for turn in turns])
    apart = np.abs(np.subtract.outer(np.arange(len(force)), np.arange(len(force))))
    alike = np.equal.outer(turns, turns) * np.exp(-apart / MEMORY)
    whole = (MODEL_ERROR * level) ** 2 * alike
    for share, slow in SHAPE_ERRORS:
        shape = share * friction * np.sign(velocity) * np.exp(-np.abs(velocity) / slow)
        whole += np.outer(shape, shape)
    return whole + np.diag(noise**2 + QUIET_ERROR**2 + (JUMP_ERROR * np.gradient(force)) ** 2)


def put_all(rig: Rig, searched: Sequence[Unknown], coordinates) -> Rig:
    """The rig with every unknown at its coordinate.

    Parameters: rig; searched; coordinates [n, -].
    """
    for unknown, coordinate in zip(searched, coordinates, strict=True):
        rig = unknown.put(rig, float(unknown.value(coordinate)))
    return rig


def slopes(missed, coordinates, at, edges):
    """Slopes of what is missed over each coordinate, by a step forward, or backward at the upper edge.

    Parameters: missed, a function of coordinates; coordinates [n, -]; at, what is missed there [m, -]; edges, lower and
    upper ones [2, n, -]. Returns: [m, n, -].
    """
    columns = []
    for place in range(len(coordinates)):
        step = AHEAD if coordinates[place] + AHEAD < edges[1][place] else -AHEAD
        moved = np.array(coordinates)
        moved[place] += step
        columns.append((missed(moved) - at) / step)
    return np.array(columns).T


def as_recorded(rig: Rig, test: Reduced) -> Rig:
    """The rig at the temperature that was recorded, where one was.

    Parameters: rig; test.
    """
    found = test.recording.mean_temperature
    return rig if found is None else replace(rig, temperature=found)
