"""A quantity over another, worked out at some points and read between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.numerics import frozen


@dataclass(frozen=True, eq=False)
class Tabulated:
    """Values y over x [n each, SI], x rising; nobody can write into them.

    >>> Tabulated(np.array([0.0, 1.0, 2.0]), np.array([0.0, 10.0, 40.0])).at(1.5)
    25.0
    """

    x: np.ndarray
    y: np.ndarray

    def __post_init__(self):
        frozen(self)

    def at(self, x: float) -> float:
        """The value at one x, on the straight line between two points: x and value in the units [any] of the table."""
        return float(np.interp(x, self.x, self.y))

    def against(self, other: Tabulated) -> Tabulated:
        """Change against another table over the same x [share, -]; where the other is nought it is left out."""
        there = other.y != 0.0
        return Tabulated(self.x[there], self.y[there] / other.y[there] - 1.0)
