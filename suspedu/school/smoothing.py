"""What a window of rows does to a velocity that is read from a stroke: how much it leaves, and how much noise.

The window lays a cubic through an odd number of rows round each one; its slope there is the velocity.
"""

from __future__ import annotations

import numpy as np
import scipy

ORDER = 3  # of the polynomial


def velocity_left(frequency, step, window: int):
    """Share of a sine's velocity that the smoothing leaves: what a window costs.

    sum c_k sin(2 pi f k dt) / (2 pi f dt), c the filter's coefficients

    Parameters: frequency f [any shape, Hz], above zero; step dt [s]; window, odd, in rows.
    Returns: share [same shape, -].

    >>> velocity_left(np.array([1.0, 30.0]), 1e-3, 21).round(3).tolist()
    [1.0, 0.974]
    """
    half = window // 2
    weights = scipy.signal.savgol_coeffs(window, ORDER, deriv=1, use="dot")
    angle = 2.0 * np.pi * np.asarray(frequency, dtype=float) * step
    return np.sin(np.multiply.outer(angle, np.arange(-half, half + 1))) @ weights / angle


def velocity_noise(stroke_noise, step, window: int):
    """Standard deviation of a smoothed velocity that the noise of the stroke leaves.

    sigma_v = sigma_x sqrt(sum c_k^2)/dt, c the filter's coefficients

    Parameters: stroke_noise sigma_x [any shape, m], from row to row; step dt [s]; window, odd, in rows.
    Returns: noise [same shape, m/s].

    >>> [round(float(velocity_noise(10e-6, 1e-3, window)) * 1e3, 2) for window in (5, 21)]  # mm/s
    [9.5, 0.91]

    Source: savitzky-golay-1964 (printed, from memory)
    """
    weights = scipy.signal.savgol_coeffs(window, ORDER, deriv=1)
    return np.multiply(stroke_noise, np.sqrt(np.sum(weights**2)))[()] / step
