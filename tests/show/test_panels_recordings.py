"""Panels on a test bench: what they say against the exact loop, and against a filter run on noise."""

import numpy as np
import pytest

from suspedu.damper import loop_work, sine_loop, stock_damper
from suspedu.recordings import Recording, reduced, smoothed_motion, spoilt
from suspedu.recordings.on_the_bench import FAULT_NAMES, fault_size
from suspedu.recordings.rig import Rig
from suspedu.show import panels


def first(text):
    return float(text.split()[0])


@pytest.mark.parametrize("fault", ["worn seal", "low oil", "entrained air"])
def test_a_spoilt_cycle_is_that_of_the_exact_loop(fault):
    """Work within 3 %, peaks within 2 % and 3 N, friction of 12 N aside: another integrator, other tables."""
    shown = panels.damper_test.shown(fault=fault, bad=40, speed=0.8)
    rig = spoilt(Rig(stock_damper("closed cartridge")), fault, fault_size(fault, 0.4))
    loop = sine_loop(0.025, 0.8 / 0.025 / (2 * np.pi), rig.damper, rig.oil, rig.temperature, cycles=3,
                     air_fraction=rig.damper.air_fraction, pocket=rig.moving.pocket)
    numbers = dict(shown.numbers)
    assert first(numbers["Work of a cycle"]) == pytest.approx(loop_work(loop) + 4 * 0.025 * 12.0, rel=0.03)
    assert first(numbers["Largest force, going in"]) == pytest.approx(loop.force.max() + 12.0, rel=0.02, abs=3.0)
    assert first(numbers["Largest force, coming out"]) == pytest.approx(-loop.force.min() + 12.0, rel=0.02, abs=3.0)


@pytest.mark.parametrize("fault", FAULT_NAMES)
def test_what_is_said_of_a_fault_is_what_is_shown(fault):
    shown = panels.damper_test.shown(fault=fault, bad=70, speed=0.5)
    numbers = dict(shown.numbers)
    found, sound = numbers["Work of a cycle"].split("; sound: ")
    assert f"takes {found} out of a cycle, against {sound} when sound" in shown.sentence
    assert fault in shown.sentence
    sizes = [fault_size(fault, bad) for bad in (0.0, 0.5, 1.0)]
    assert len(set(sizes)) == 3 and sizes in (sorted(sizes), sorted(sizes)[::-1])


def test_a_sound_cartridge_is_compared_with_nothing():
    shown = panels.damper_test.shown(fault="healthy")
    assert "against" not in shown.sentence and shown.sentence.startswith("A sound cartridge takes")
    np.testing.assert_array_equal(shown.items[0].y, shown.items[2].y)


@pytest.mark.parametrize(("window", "frequency"), [(9, 5), (21, 20), (41, 12)])
def test_window_leaves_what_it_says(window, frequency):
    """The same filter by the way a recording takes: what is left of the sine, and of noise in a stroke that rests."""
    numbers = dict(panels.velocity_window.shown(window=window, noise=20, frequency=frequency).numbers)
    time = np.arange(4000) / 1000.0
    sine = Recording(time, 0.1 - 0.01 * np.cos(2 * np.pi * frequency * time), np.zeros(4000))
    if window <= 1000 / frequency // 3:
        peak = np.max(np.abs(reduced(sine, window).motion.velocity[200:3800])) / (2 * np.pi * frequency * 0.01)
        assert first(numbers["Left of it by the window"]) == pytest.approx(100 * peak, abs=0.3)
    noise = np.random.default_rng(2).normal(0.0, 20e-6, 20_000)
    rough = np.std(smoothed_motion(np.arange(20_000) / 1000.0, noise, window).velocity[100:-100])
    assert first(numbers["Noise of the velocity"]) == pytest.approx(1e3 * rough, rel=0.05, abs=0.06)  # in tenths
