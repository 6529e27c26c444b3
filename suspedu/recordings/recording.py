"""What a test bench wrote down, in SI, and how it came to be that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class Recording:
    """A test of a damper: arrays of one length, SI; stroke from full extension, pushed in is more, force against it.

    >>> test = Recording(np.array([0.0, 1e-3]), np.array([0.10, 0.11]), np.array([40.0, 42.0]))
    >>> len(test.time), test.temperature
    (2, None)
    """

    time: np.ndarray  # s
    stroke: np.ndarray  # m
    force: np.ndarray  # N
    temperature: np.ndarray | None = None  # K
    notes: tuple[str, ...] = ()  # what was taken for what, sentence by sentence

    @property
    def mean_temperature(self) -> float | None:
        """Mean temperature of the oil in the test [K], where it was recorded."""
        return None if self.temperature is None else float(np.mean(self.temperature))
