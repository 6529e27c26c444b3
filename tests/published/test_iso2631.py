"""The weighting Wk by third octaves, at nominal centre frequencies.

Source: iso-2631-1, table 3 (printed); iso-8041-1, constants of the filter (printed)
"""

import numpy as np
import pytest
from scipy import signal

from suspedu.ride.weighting import _digital, comfort_acceleration, weighting_filter, weighting_gain

# Wk x 1000 over the centre frequency [Hz] (printed)
PRINTED = {0.5: 418, 0.63: 459, 0.8: 477, 1.0: 482, 1.25: 484, 1.6: 494, 2.0: 531, 2.5: 631, 3.15: 804, 4.0: 967,
           5.0: 1039, 6.3: 1054, 8.0: 1036, 10.0: 988, 63.0: 186, 80.0: 132}


@pytest.mark.parametrize("frequency", PRINTED)
def test_band(frequency):
    """1 %: the filter's constants and the table are rounded, and frequencies are nominal."""
    assert 1000 * weighting_gain(frequency) == pytest.approx(PRINTED[frequency], rel=0.01)


@pytest.mark.parametrize("frequency", PRINTED)
def test_band_of_the_sampled_filter(frequency):
    """The bilinear transform at the engine's 2000 Hz, by which rides are weighted: 1 % too, though it bends 80 Hz."""
    gain = np.abs(signal.sosfreqz(_digital(2000.0), worN=[frequency], fs=2000.0)[1][0])
    assert 1000 * gain == pytest.approx(PRINTED[frequency], rel=0.01)


@pytest.mark.parametrize("frequency", [1.0, 4.0, 8.0, 31.5])
def test_sine_in_time(frequency):
    """A sine of 1 m/s2 r.m.s. is felt as the gain says (computed by weighting_gain, which the table has checked)."""
    time = np.arange(0, 40, 1 / 2000)
    felt = comfort_acceleration(np.sqrt(2) * np.sin(2 * np.pi * frequency * time), 2000.0)
    assert felt == pytest.approx(weighting_gain(frequency), rel=0.01)


def test_a_wrong_transition_is_caught():
    """Wrong on purpose: the transition's quality of Wd (0.63 -> 0.5, as a slip) leaves a printed band."""
    zeros, poles, gain = weighting_filter()
    omega = 2 * np.pi * 12.5
    poles[4:6] = np.roots([1.0, omega / 0.5, omega**2])
    f = np.array(list(PRINTED))
    wrong = np.abs(signal.freqs_zpk(zeros, poles, gain, worN=2 * np.pi * f)[1])
    assert np.max(np.abs(1000 * wrong / np.array(list(PRINTED.values())) - 1)) > 0.01
