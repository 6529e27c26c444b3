"""What a rider feels of vertical vibration: the frequency weighting Wk of ISO 2631-1."""

from __future__ import annotations

import numpy as np

from suspedu.numerics import remembered
from suspedu.units import InputError

BAND_LIMITS = (0.4, 100.0)  # Hz, second-order Butterworth on either side
TRANSITION = (12.5, 0.63)  # f3 = f4 [Hz], Q4: from acceleration to velocity
UPWARD_STEP = ((2.37, 0.91), (3.35, 0.91))  # (f5 [Hz], Q5), (f6 [Hz], Q6)


def weighting_filter() -> tuple[np.ndarray, np.ndarray, float]:
    """Zeros, poles and gain of the analogue weighting Wk: band limits x transition x upward step.

    Returns: zeros, poles [rad/s], gain, for scipy.signal.

    >>> zeros, poles, gain = weighting_filter()
    >>> len(zeros), len(poles)
    (5, 8)

    Source: iso-2631-1, table A.1; iso-8041-1 (printed: the constants)
    """
    low, high, third = (2 * np.pi * f for f in (*BAND_LIMITS, TRANSITION[0]))
    step_up, step_down = ((2 * np.pi * f, q) for f, q in UPWARD_STEP)
    zeros = np.concatenate([[0.0, 0.0, -third], _pair(*step_up)])
    butterworth = np.sqrt(0.5)
    poles = np.concatenate([_pair(low, butterworth), _pair(high, butterworth), _pair(third, TRANSITION[1]),
                            _pair(*step_down)])
    return zeros, poles, high**2 * third


def _pair(omega, quality):
    """Roots of s^2 + omega/Q s + omega^2."""
    return np.roots([1.0, omega / quality, omega**2])


def weighting_gain(frequency):
    """Factor |Wk| at a frequency.

    Parameters: frequency [any shape, Hz].
    Returns: factor [-], the same shape.

    >>> round(float(weighting_gain(8.0)), 3)
    1.036

    Source: iso-2631-1, table 3 (printed: times 1000)
    """
    from scipy import signal  # loads statistics and more, a quarter of a second

    f = np.asarray(frequency, dtype=float)
    return np.abs(signal.freqs_zpk(*weighting_filter(), worN=2 * np.pi * f.ravel())[1]).reshape(f.shape)


@remembered(size=8)
def _digital(rate: float) -> np.ndarray:
    if rate < 1000:
        raise InputError(f"sampling rate is {rate:.4g} Hz; weighting to 100 Hz asks for 1000 Hz or more")
    from scipy import signal

    return signal.zpk2sos(*signal.bilinear_zpk(*weighting_filter(), fs=rate))


def weighted(acceleration, rate: float):
    """Acceleration after the weighting Wk, by its bilinear transform.

    Parameters: acceleration [..., n, m/s2]; rate, samples per second [Hz].
    Returns: weighted acceleration [..., n, m/s2].
    Raises: InputError for a rate too low to hold 100 Hz.
    Source: iso-2631-1, section 6.4 (printed, from memory)
    """
    from scipy import signal

    return signal.sosfilt(_digital(rate).copy(), acceleration)  # the library takes no read-only array


def comfort_acceleration(acceleration, rate: float):
    """Root mean square of the weighted acceleration: less is more comfortable.

    a_w = sqrt(mean(a_w(t)^2))

    Parameters: acceleration [..., n, m/s2]; rate [Hz].
    Returns: a_w [..., m/s2].

    >>> time = np.arange(40000) / 2000
    >>> round(float(comfort_acceleration(np.sqrt(2) * np.sin(2 * np.pi * 8 * time), 2000.0)), 2)
    1.04

    Source: iso-2631-1, equation 1 (printed, from memory)
    """
    return np.sqrt(np.mean(weighted(acceleration, rate) ** 2, axis=-1))
