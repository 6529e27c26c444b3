"""A batch read on the bench at several speeds: its spread by draw and by slopes, and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.numerics import remembered
from suspedu.quality.bench_forces import bench_force
from suspedu.quality.propagation import causes, linear_spread, worst_case
from suspedu.quality.spread import SEED, Spread, batch_forces, spread_of
from suspedu.quality.tolerances import Scratch, usual_tolerances
from suspedu.school.machines import school_machine

SPEEDS = (0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 3.0)  # m/s, pulled
MOST = 48  # dampers drawn
GROUPS = {"shims": ("shim",), "holes": ("port holes", "needle seat"), "clearance": ("clearance",), "seal": ("seal",),
          "scratch": ("scratch",)}  # fmt: skip


@dataclass(frozen=True, eq=False)
class BatchRead:
    """Forces of a batch, pulled, at `SPEEDS`; all arrays [speeds]."""

    forces: np.ndarray  # [dampers, speeds, N]
    drawn: Spread  # N
    paper: np.ndarray  # N: the damper as it stands on paper
    slopes: np.ndarray  # N: standard deviation by slopes
    worst: np.ndarray  # N: all tolerances at their wrong end at once, no bore scratched
    shares: dict[str, np.ndarray]  # of the variance by slopes, by group of causes [-]

    def largest(self, place: int) -> tuple[str, float]:
        """The group of causes that gives most of the variance at a speed, by its place in `SPEEDS`, and its share."""
        group = max(self.shares, key=lambda name: self.shares[name][place])
        return group, float(self.shares[group][place])

    def agrees(self, place: int) -> bool:
        """Whether draw and slopes agree within two standard errors at a speed."""
        return bool(abs(self.drawn.deviation - self.slopes)[place] <= 2.0 * self.drawn.deviation_error[place])


@remembered(size=64)
def batch_read(shims: float, holes: float, clearance: float, seal: float, *, one_strip: bool = True,
               scratched: float = 0.0, count: int = MOST) -> BatchRead:
    """What the bench reads of closed cartridges of the school's enduro, made to some tolerances.

    Parameters: shims, holes, clearance [m], seal [N], half-widths; one_strip, whether shims of one thickness stray
    together; scratched, share of bores with a scratch [-]; count of dampers drawn, 8 to 48; of
    fewer every second, fourth and so on is read.
    Returns: `BatchRead`.

    >>> read = batch_read(0.0, 20e-6, 4e-6, 2.0)
    >>> read.largest(0)[0], len(read.forces)
    ('seal', 48)
    """
    leg = school_machine().legs[0]
    rows = usual_tolerances(leg, shims=shims, holes=holes, clearance=clearance, seal=seal, one_strip=one_strip)
    speeds, scratch = tuple(-each for each in SPEEDS), Scratch(share=scratched) if scratched else None
    forces = -batch_forces(leg, rows, speeds, MOST, SEED, scratch)[::MOST // count][:count]
    slopes = linear_spread(leg, rows, speeds, scratch)
    parts = causes(leg, rows, speeds, scratch)
    whole = np.where(slopes > 0.0, slopes, 1.0) ** 2
    shares = {group: np.sum([part for label, part in parts.items() if label.startswith(begins)] or [0.0 * whole],
                            axis=0) / whole for group, begins in GROUPS.items()}
    paper, worst = -bench_force(leg, speeds), worst_case(leg, rows, speeds)
    return BatchRead(forces, spread_of(forces), paper, slopes, worst, shares)
