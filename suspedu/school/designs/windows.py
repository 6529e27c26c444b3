"""A test of a damper, planned: rows in a second and a window that keep the corners and quieten the noise."""

from __future__ import annotations

import numpy as np

from suspedu.school.designs.design import Design, Must, Number, Reached, Values
from suspedu.school.smoothing import velocity_left, velocity_noise

CORNERS = 5.0  # times as fast as the fastest cycle: what its corners are made of (guess of the course)
LEAST_LEFT = 90.0  # % of their velocity (guess of the course)
ENTRIES = (Number("rate", 200, 3000, "1/s"), Number("window", 5, 201, "rows", whole=True))


def corner_frequency(fastest_pass, half_stroke) -> float:
    """Frequency of what makes the corners of the fastest cycle.

    f = 5 v/(2 pi A)

    Parameters: fastest_pass v, greatest velocity [m/s]; half_stroke A, amplitude [m]. Returns: frequency [Hz].

    >>> round(corner_frequency(1.0, 0.025), 1)
    31.8
    """
    return float(CORNERS * fastest_pass / (2.0 * np.pi * half_stroke))


def _reads_corners(design: Values, given: Values) -> tuple[Reached | Must, ...]:
    """Whether the window has a middle row, what it leaves of the corners, its noise, and the rows of the test."""
    rate, window = float(design["rate"]), int(design["window"])
    odd = window + (window % 2 == 0)
    corner = corner_frequency(float(given["fastest_pass"]), float(given["half_stroke"]) / 1e3)
    left = 100.0 * float(velocity_left(corner, 1.0 / rate, odd))
    rough = float(velocity_noise(float(given["stroke_noise"]) / 1e3, 1.0 / rate, odd))  # mm/s
    return (Must("the window must be an odd number of rows, so that one stands in the middle", window % 2 == 1),
            Reached("what is left at the corners", left, low=LEAST_LEFT, unit="%"),
            Reached("the noise of the velocity", rough, high=float(given["most_noise"]), unit="mm/s", digits=3),
            Reached("the test", rate * float(given["test_length"]) / 1e3, high=float(given["most_rows"]),
                    unit="thousand rows", digits=2))


DESIGNS = {"reads-the-corners": Design(ENTRIES, _reads_corners)}
