"""A planned test: what the design law says against a filter that is run, and designs that do and do not."""

import numpy as np
import pytest

from suspedu.recordings import smoothed_motion
from suspedu.school.designs import DESIGNS
from suspedu.school.designs.windows import corner_frequency

GIVEN = {"fastest_pass": 1.2, "half_stroke": 25.0, "test_length": 42.0, "most_rows": 40.0, "stroke_noise": 12.0,
         "most_noise": 1.25}
LAW = DESIGNS["reads-the-corners"].law


def reached(**design):
    return {each.what: each for each in LAW(design, GIVEN)}


def test_corners_and_noise_are_those_of_the_filter_itself():
    """A sine of the corners' frequency, and a stroke that rests, noisy, through the same window."""
    rate, window = 900.0, 19
    found = reached(rate=rate, window=window)
    time = np.arange(20_000) / rate
    fast = 2.0 * np.pi * corner_frequency(1.2, 0.025)
    sine = smoothed_motion(time, np.sin(fast * time), window).velocity[100:-100]
    assert found["what is left at the corners"].value == pytest.approx(100 * np.max(sine) / fast, abs=0.1)
    noise = np.random.default_rng(4).normal(0.0, 12e-3, len(time))
    rough = np.std(smoothed_motion(time, noise, window).velocity[100:-100])
    assert found["the noise of the velocity"].value == pytest.approx(rough, rel=0.04)


@pytest.mark.parametrize(("design", "missed"), [
    ({"rate": 950.0, "window": 19}, []),
    ({"rate": 950.0, "window": 18}, ["the window must be an odd number of rows, so that one stands in the middle"]),
    ({"rate": 950.0, "window": 5}, ["the noise of the velocity"]), ({"rate": 1000.0, "window": 21}, ["the test"]),
    ({"rate": 950.0, "window": 61}, ["what is left at the corners"])])
def test_each_limit_is_asked_for(design, missed):
    assert [what for what, each in reached(**design).items() if not each.met] == missed
