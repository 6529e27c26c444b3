"""Random roughness of ground after ISO 8608, by class."""

from __future__ import annotations

import numpy as np

from suspedu.units import InputError, nearest, require

REFERENCE = 0.1  # n0, cycles/m
CLASSES = "ABCDEFGH"
BAND = (0.01, 10.0)  # cycles/m over which the standard states the spectrum


def mean_roughness(roughness_class: str) -> float:
    """Geometric mean of the displacement spectrum of a class at 0.1 cycles/m.

    Gd(n0) = 16e-6 m3 x 4^k, k = 0 for class A, 1 for B ...

    Parameters: roughness_class, a letter from A (smooth) to H.
    Returns: one-sided Gd(n0) [m3].
    Raises: InputError for another letter.

    >>> round(mean_roughness("C") * 1e6, 9)
    256.0

    Source: iso-8608, table of classes A to H (printed: in public summaries)
    """
    if not isinstance(roughness_class, str) or len(roughness_class) != 1 or roughness_class.upper() not in CLASSES:
        raise InputError(f"roughness class is {roughness_class!r}; ISO 8608 knows A (smooth) to H"
                         f"{nearest(str(roughness_class).upper()[:1], CLASSES)}")
    return 16e-6 * 4.0 ** CLASSES.index(roughness_class.upper())


def roughness_spectrum(frequency, roughness_class: str):
    """One-sided displacement spectrum, Gd(n) = Gd(n0) (n/n0)^-2, inside its band and zero outside.

    Parameters: frequency [any shape, cycles/m]; roughness_class, A to H.
    Returns: Gd [m3], the same shape.

    >>> round(float(roughness_spectrum(0.2, "A")) * 1e6, 9)
    4.0

    Source: iso-8608, equation of the straight-line fit, exponent 2 (printed, from memory)
    """
    n = np.asarray(frequency, dtype=float)
    inside = (n >= BAND[0]) & (n <= BAND[1])
    return np.where(inside, mean_roughness(roughness_class) * (np.where(inside, n, REFERENCE) / REFERENCE) ** -2, 0.0)


def height_variance(roughness_class: str, low: float, high: float) -> float:
    """Variance of height between two spatial frequencies: Gd(n0) n0^2 (1/n1 - 1/n2).

    Parameters: roughness_class, A to H; low, high [cycles/m].
    Returns: variance [m2].

    >>> round(height_variance("A", 0.01, 10.0) ** 0.5 * 1e3, 3)
    3.998

    Source: iso-8608, integral of the spectrum (printed, from memory)
    """
    return mean_roughness(roughness_class) * REFERENCE**2 * (1 / low - 1 / high)


def random_profile(length: float, step: float, roughness_class: str, seed: int) -> np.ndarray:
    """A profile of a class: sines of the spectrum's own size, at random phases; it repeats after its length.

    Parameters: length [m]; step [m]; roughness_class, A to H; seed, any whole number.
    Returns: heights [n, m] with zero mean, the same for the same seed.
    Raises: InputError for a length out of range.
    Assumes: a Gaussian, stationary ground: many sines at random phases.
    Source: iso-8608, one-sided spectrum: a line of width dn has the amplitude sqrt(2 Gd dn) (printed, from memory)
    """
    require("length of the rough ground", length, 10, 5000, "m")
    count = round(length / step)
    lines = np.fft.rfftfreq(count, step)
    amplitude = np.sqrt(2 * roughness_spectrum(lines, roughness_class) / (count * step))
    phase = np.random.default_rng(seed).uniform(0, 2 * np.pi, len(lines))
    return np.fft.irfft(amplitude * np.exp(1j * phase) * count / 2, count)
