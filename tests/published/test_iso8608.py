"""Classes of road roughness.

Source: iso-8608, table of classes (printed: in public summaries); welch-1967, the estimate of a spectrum
"""

from itertools import pairwise

import numpy as np
import pytest
from scipy import signal

from suspedu.ride.roughness import BAND, height_variance, mean_roughness, random_profile, roughness_spectrum

STEP = 0.02  # m
LENGTH = 2000.0  # m: long, so that Welch's estimate is steady
OCTAVES = 0.0442 * 2.0 ** np.arange(7)  # cycles/m, octave bands from 0.0442 to 2.83, well inside the band


def octave_ratios(profile, roughness_class):
    """Welch's spectrum over the class mean, smoothed in octave bands as the standard smooths."""
    n, spectrum = signal.welch(profile, 1 / STEP, nperseg=2**13, detrend="constant")
    mean = mean_roughness(roughness_class) * (n[1:] / 0.1) ** -2
    ratio = spectrum[1:] / mean
    return np.array([ratio[(n[1:] >= low) & (n[1:] < high)].mean() for low, high in pairwise(OCTAVES)])


# Geometric means [1e-6 m3] at 0.1 cycles/m (printed)
@pytest.mark.parametrize("roughness_class, mean", [("A", 16), ("B", 64), ("C", 256), ("D", 1024), ("E", 4096),
                                                   ("F", 16384), ("G", 65536), ("H", 262144)])
def test_geometric_means_of_the_classes(roughness_class, mean):
    assert mean_roughness(roughness_class) == pytest.approx(mean * 1e-6, rel=1e-12)
    assert mean_roughness(roughness_class.lower()) == mean_roughness(roughness_class)


@pytest.mark.parametrize("roughness_class", ["A", "C", "E", "H"])
@pytest.mark.parametrize("seed", [1, 7])
def test_profile_lies_in_its_class_by_welch(roughness_class, seed):
    """Within the class limits, mean x 2 and / 2 (printed), and near the mean: 20 % is the estimate's own scatter."""
    ratios = octave_ratios(random_profile(LENGTH, STEP, roughness_class, seed), roughness_class)
    assert np.all((ratios > 0.5) & (ratios < 2.0))
    assert ratios == pytest.approx(np.ones_like(ratios), abs=0.2)


@pytest.mark.parametrize("slip, factor", [("class limit taken for the mean", np.sqrt(2)),
                                          ("one-sided spectrum read as two-sided", 1 / np.sqrt(2))])
def test_the_two_known_slips_are_caught(slip, factor):
    """Wrong on purpose: heights off by sqrt 2 leave the class's mean (printed)."""
    ratios = octave_ratios(factor * random_profile(LENGTH, STEP, "C", 1), "C")
    assert np.abs(ratios - 1).min() > 0.2, slip


def test_variance_between_two_frequencies():
    """Gd(n0) n0^2 (1/n1 - 1/n2): the profile's own variance (computed by the sum over its lines)."""
    profile = random_profile(LENGTH, STEP, "D", 3)
    lines = np.fft.rfftfreq(len(profile), STEP)
    summed = np.sum(roughness_spectrum(lines, "D")) / LENGTH
    assert profile.var() == pytest.approx(summed, rel=1e-9)
    n = np.geomspace(*BAND, 20001)
    assert np.trapezoid(roughness_spectrum(n, "D"), n) == pytest.approx(height_variance("D", *BAND), rel=1e-6)
