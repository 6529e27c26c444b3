"""Velocity, cycles, gas and friction, and force over velocity: against tests whose answer is known."""

import numpy as np
import pytest

from suspedu.damper import leg_force, sine_loop, stock_damper
from suspedu.recordings import (
    BenchMotion,
    ForceVelocity,
    Recording,
    Rig,
    Schedule,
    cycle_starts,
    damping_left,
    loop_opening,
    middle_curve,
    peak_curve,
    predicted_force,
    reduced,
    sample_recording,
    sine_recording,
    spoilt,
    standing_forces,
    velocity_left,
    whole_loop,
)
from suspedu.recordings.reduction import row_noise
from suspedu.units import InputError


def test_velocity_is_that_of_the_bench(rig, recording, test_read):
    """To a hundredth of the greatest of the pass, or to what the noise of the stroke leaves of it."""
    plan = Schedule()
    true = np.array([plan.velocity(time) for time in recording.time.tolist()])
    for each in test_read.passes:
        inside = slice(each.start, each.end)
        assert np.std(test_read.motion.velocity[inside] - true[inside]) < 0.01 * each.peak_speed
    assert [each.cycles for each in test_read.passes] == list(plan.cycles)
    np.testing.assert_allclose([each.peak_speed for each in test_read.passes], plan.speeds, rtol=0.01)
    assert test_read.noise == pytest.approx(2.0, rel=0.06)  # the sensor's own steps add a little


@pytest.mark.parametrize("window", [7, 21, 51])
def test_what_a_window_leaves_is_what_it_leaves(window):
    """The filter on a pure sine of 8 Hz."""
    time = np.arange(2000) / 1000.0
    test = Recording(time, 0.1 - 0.01 * np.cos(2 * np.pi * 8 * time), np.zeros(2000))
    left = reduced(test, window if window <= 41 else 41).motion.velocity[500:1500].max() / (0.01 * 2 * np.pi * 8)
    assert left == pytest.approx(float(velocity_left(8.0, 1e-3, min(window, 41))), abs=2e-3)
    assert velocity_left(8.0, 1e-3, 51) < velocity_left(8.0, 1e-3, 21) < velocity_left(8.0, 1e-3, 7) <= 1.0


@pytest.mark.parametrize("window", [6, 3, 4.5, 101])
def test_a_window_that_will_not_do_is_refused(window):
    with pytest.raises(InputError, match="window is"):
        reduced(sine_recording(0.025, 4.0), window)


def test_a_test_without_a_cycle_is_refused():
    time = np.linspace(0.0, 1.0, 100)
    with pytest.raises(InputError, match="no whole cycle"):
        reduced(Recording(time, 0.1 + 0.05 * time, 100.0 + 0.0 * time))


def test_cycles_begin_at_the_least_stroke_whatever_the_noise():
    turn = np.linspace(0.0, 10 * np.pi, 1001)
    stroke = 0.1 - 0.02 * np.cos(turn) + np.random.default_rng(3).normal(0.0, 1e-4, 1001)
    found = np.array(cycle_starts(stroke))
    assert np.max(np.abs(found - np.arange(0, 1001, 200))) < 25 and len(found) == 6


def test_noise_is_told_from_what_moves():
    turn = np.linspace(0.0, 20 * np.pi, 20_000)
    noisy = 300.0 * np.sin(turn) + np.random.default_rng(5).normal(0.0, 3.0, 20_000)
    assert row_noise(noisy) == pytest.approx(3.0, rel=0.03)


@pytest.mark.parametrize("name", ["closed cartridge", "open cartridge"])
@pytest.mark.parametrize(("frequency", "air"), [(0.2, 5e-4), (1.0, 0.02), (6.0, 5e-4), (6.0, 0.08)])
def test_the_quick_law_is_that_of_the_loops(name, frequency, air):
    """To 2 % of the greatest force everywhere, 0.4 % on the whole: two integrators, two tables, 128 steps a cycle."""
    rig = spoilt(Rig(stock_damper(name)), "entrained air", air) if air > 0.015 else Rig(stock_damper(name))
    air = rig.damper.air_fraction
    exact = sine_loop(0.025, frequency, rig.damper, rig.oil, rig.temperature, cycles=3, points=1025, air_fraction=air)
    time = np.arange(3 * 128 + 1) / (128 * frequency)
    turn, fast = 2 * np.pi * frequency * time, 2 * np.pi * frequency
    motion = BenchMotion(time, 0.15 - 0.025 * np.cos(turn), 0.025 * fast * np.sin(turn), 0.025 * fast**2 * np.cos(turn))
    rubbing = predicted_force(motion, rig) - predicted_force(motion, without_friction(rig))
    off = (predicted_force(motion, rig) - rubbing)[256:] - exact.force[::8]
    assert np.max(np.abs(off)) < 0.02 * np.ptp(exact.force) / 2
    assert np.std(off) < 0.004 * np.ptp(exact.force) / 2
    assert 10.0 < np.max(np.abs(rubbing)) < 16.0  # 12 N, and more as it breaks loose


def without_friction(rig):
    return Rig(rig.damper, rig.oil, rig.temperature, type(rig.seals)(sliding=0.0), rig.moving)


def test_a_stroke_into_the_stop_is_refused(rig):
    time = np.linspace(0.0, 1.0, 65)
    motion = BenchMotion(time, 0.26 - 0.02 * np.cos(2 * np.pi * time), np.sin(time), np.cos(time))
    with pytest.raises(InputError, match=r"greatest stroke of the test is 280 mm.*hydraulic stop"):
        predicted_force(motion, rig)


def test_gas_and_friction_come_out_as_they_went_in(rig, test_read):
    """Gas by the law of the charge, friction by the seals; what the bleed adds is told by the second slow pass."""
    still, middle = standing_forces(test_read), 0.15
    at_rest = leg_force(middle, 0.0, rig.damper, rig.oil, rig.temperature).force
    assert 11.5 < still.friction < 14.5  # 12 N sliding, and what is left of breaking loose
    assert float(still.gas(middle)) == pytest.approx(float(at_rest), abs=0.5)
    assert still.slow_damping > 100.0
    with pytest.raises(InputError, match=r"slowest pass reaches 0.31 m/s"):
        standing_forces(reduced(sine_recording()))


def test_peaks_are_the_damping_law(rig, test_read):
    """Within 3 % or 4 N of the algebraic law at the same velocity: oil that gives way is late by a little."""
    peaks = peak_curve(test_read, damping_left(test_read))
    law = leg_force(0.15, peaks.velocity, rig.damper, rig.oil, rig.temperature).damping_force
    assert np.all(np.abs(peaks.force - law) < np.maximum(0.03 * np.abs(law), 4.0))
    assert np.all(np.diff(peaks.velocity) > 0)


def test_mass_is_taken_off(rig):
    """A kilogram that moves with the load cell: left in, it opens the loop; taken off, it is as without."""
    plan = Schedule(speeds=(0.01, 0.03, 1.0), cycles=(1, 1, 3))
    heavy = Rig(rig.damper, moving=type(rig.moving)(mass=1.0))
    bare, loaded = (reduced(sample_recording(each, 1, plan)) for each in (rig, heavy))
    still = standing_forces(bare)
    openings = [loop_opening(whole_loop(test, damping_left(test, still, mass)))
                for test, mass in ((bare, 0.0), (loaded, 0.0), (loaded, 1.0))]
    assert openings[2] == pytest.approx(openings[0], rel=0.15)
    assert abs(openings[1] - openings[0]) > 3 * abs(openings[2] - openings[0])


def test_a_loop_with_air_stands_open_and_its_middle_stays(rig):
    plan = Schedule(speeds=(1.0,), cycles=(3,))
    bled, foamed = (reduced(sample_recording(each, 1, plan)) for each in (rig, spoilt(rig, "entrained air", 0.06)))
    loops = [whole_loop(test, test.force) for test in (bled, foamed)]
    assert loop_opening(loops[1]) > 2 * loop_opening(loops[0])
    line = middle_curve(ForceVelocity(loops[0].velocity, 100.0 * loops[0].velocity))
    np.testing.assert_allclose(line.force, 100.0 * line.velocity, atol=1e-9)
    with pytest.raises(InputError, match="pass 5 is asked for; the test has 1"):
        whole_loop(bled, bled.force, 5)
