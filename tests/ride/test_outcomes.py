"""Outcomes: each measured on a record made up so that its value is known, and riders' sense on real rides."""

import dataclasses

import numpy as np
import pytest

from suspedu.ride.ground import Ground
from suspedu.ride.kernel import CHANNELS
from suspedu.ride.outcomes import OUTCOMES, outcomes
from suspedu.ride.shares import speed_shares, stroke_shares
from suspedu.ride.simulate import Ride, simulate
from suspedu.ride.terrain import TERRAINS, flat, square_edge, whoops
from suspedu.ride.vehicle import elastic_force, settled_stroke
from suspedu.units import InputError

STEP = 1e-3


@pytest.fixture
def made_up(vehicle, fork):
    """A ride of given stroke, tyre force, sprung velocity and acceleration over time."""
    def make(stroke, tyre=500.0, upward=0.0, acceleration=0.0, slowing=0.0, terrain=None, velocity=0.0, body=0.0):
        n = len(stroke)
        half = np.zeros(2 * n - 1)
        record = np.zeros((n, CHANNELS))
        cosine = np.cos(vehicle.rake)
        record[:, 0], record[:, 1] = -stroke * cosine, upward
        record[:, 3] = upward + np.asarray(velocity) * cosine
        record[:, 14], record[:, 15], record[:, 16], record[:, 17] = acceleration, body, tyre, 7.0
        record[:, 18], record[:, 19] = stroke, velocity
        record[:, 6] = np.linspace(0, 30, n)
        ground = Ground(STEP, half, half, half + slowing, np.linspace(0, 10, 2 * n - 1))
        return Ride(vehicle, fork, terrain or flat(), ground, record)

    return make


def test_share_in_the_air_and_load_variation(made_up):
    tyre = np.where(np.arange(1000) < 250, 0.0, 800.0)
    found = outcomes(made_up(np.full(1000, 0.1), tyre))
    assert found["airborne"] == pytest.approx(0.25)
    assert found["load_variation"] == pytest.approx(np.sqrt(0.25 * 0.75) / 0.75)  # of a two-valued force


def test_travel_bottoming_and_margin(made_up, fork):
    touch = fork.travel - fork.bumpers[0].length
    stroke = np.full(1000, 0.1)
    stroke[200:220], stroke[500:510], stroke[700:705] = touch + 0.005, touch + 0.01, touch - 0.001
    found = outcomes(made_up(stroke))
    assert found["bottomings"] == 2
    assert found["margin"] == pytest.approx(fork.travel - touch - 0.01)
    assert found["deepest"] == pytest.approx(touch + 0.01)
    assert found["peak_force"] == 7.0


def test_packing_is_positive_when_the_ride_sinks(made_up):
    n = 3000
    found = outcomes(made_up(np.linspace(0.1, 0.16, n)))
    assert found["drift"] == pytest.approx(0.04, rel=1e-3)  # thirds of a ramp are 2/3 of it apart
    assert found["ride_height"] == pytest.approx(0.13)


def test_overshoots_and_settling_of_a_dying_swing(made_up, vehicle, fork):
    """x = x0 + 40 mm e^-3t cos 2 pi t: half-swings above 5 mm at t = 0, 0.5 only; below 5 mm for good at 0.60 s."""
    time = np.arange(3000) * STEP
    swing = 0.04 * np.exp(-3 * time) * np.cos(2 * np.pi * time)
    found = outcomes(made_up(settled_stroke(vehicle, fork) + swing))
    outside = np.flatnonzero(np.abs(swing - swing[-1]) > 0.005)
    assert found["overshoots"] == 1
    assert found["settling"] == pytest.approx(time[outside[-1]] + STEP)


def test_dive_is_asked_on_the_brakes_only(made_up, vehicle, fork):
    stroke = np.full(2000, settled_stroke(vehicle, fork) + 0.05)
    assert outcomes(made_up(stroke, slowing=5.0))["dive"] == pytest.approx(0.05, rel=1e-6)
    assert np.isnan(outcomes(made_up(stroke))["dive"])


def test_early_dive_is_that_of_the_first_three_tenths(made_up):
    """A ramp of 0.2 m/s from the bite on: 0.06 m in 0.3 s; the dab on a held brake counts from its own bite."""
    time = np.arange(2000) * STEP
    half = np.arange(3999) * STEP / 2
    stroke = 0.08 + 0.2 * np.maximum(time - 0.8, 0.0)
    slowing = 2.5 * (half > 0.2) + 2.5 * np.clip((half - 0.8) / 0.15, 0, 1)
    assert outcomes(made_up(stroke, slowing=slowing))["early_dive"] == pytest.approx(0.06, rel=0.02)
    assert np.isnan(outcomes(made_up(stroke))["early_dive"])


def test_how_fast_it_bottoms_and_what_the_travel_could_still_take(made_up, fork):
    touch = fork.travel - fork.bumpers[0].length
    stroke, velocity = np.full(1000, 0.1), np.zeros(1000)
    stroke[200:220], velocity[200] = touch + 0.005, 1.7
    stroke[500:510], velocity[500] = fork.travel + 0.001, 0.9
    found = outcomes(made_up(stroke, velocity=velocity))
    assert found["bumper_speed"] == 1.7 and found["past_travel"] == pytest.approx(0.001)
    assert found["reserve"] == pytest.approx(float(-np.trapezoid(elastic_force(
        np.linspace(fork.travel, fork.travel + 0.001, 1001), fork), dx=1e-6)), rel=1e-3)
    calm = outcomes(made_up(np.full(1000, 0.1)))
    assert calm["bumper_speed"] == calm["past_travel"] == 0.0
    x = np.linspace(0.1, fork.travel, 20001)
    assert calm["reserve"] == pytest.approx(np.trapezoid(elastic_force(x, fork), x), rel=1e-5)


def test_hands_and_body_are_told_apart(made_up):
    found = outcomes(made_up(np.full(1000, 0.1), acceleration=np.full(1000, 3.0), body=np.full(1000, 2.0)))
    assert (found["harshness"], found["body_hit"]) == (3.0, 2.0)
    assert found["body_comfort"] == pytest.approx(found["comfort"] * 2 / 3)


def test_pressure_is_that_of_the_tube_pressed_hardest(made_up, fork):
    air = 101325.0 + 1e6 * fork.strokes
    ride = made_up(np.array([0.1, 0.2, 0.1]))
    law = dataclasses.replace(fork, seals=fork.seals * 2, air_pressures=(air, 101325.0 + 5e5 * fork.strokes))
    assert outcomes(dataclasses.replace(ride, fork=law), ["pressure"])["pressure"] == pytest.approx(2e5)


def test_kick_heat_and_harshness(made_up):
    found = outcomes(made_up(np.full(1000, 0.1), upward=np.linspace(-2, 1.5, 1000), acceleration=np.full(1000, 3.0)))
    assert found["kick"] == pytest.approx(1.5) and found["harshness"] == 3.0
    assert found["heating"] == pytest.approx(30 / 0.999)


def test_speed_shares_count_every_instant(made_up):
    velocity = np.concatenate([np.full(500, 0.1), np.full(300, 1.0), np.full(100, -5.0), np.full(100, -0.2)])
    shares = speed_shares(made_up(np.full(1000, 0.1), velocity=velocity))
    assert shares["compression"] == pytest.approx([0.5, 0.3, 0.0])
    assert shares["rebound"] == pytest.approx([0.1, 0.0, 0.1])


def test_shares_sum_to_one_on_a_real_ride(vehicle, fork):
    ride = simulate(vehicle, fork, whoops())
    assert sum(s.sum() for s in speed_shares(ride).values()) == pytest.approx(1.0)
    assert stroke_shares(ride)[1].sum() == pytest.approx(1.0)


def test_every_outcome_says_which_way_is_better_and_is_a_number(vehicle, fork):
    ride = simulate(vehicle, fork, TERRAINS["braking bumps"]())
    found = outcomes(ride)
    assert np.isnan(found.pop("pressure"))  # this fork's laws hold no air
    for name, value in found.items():
        assert OUTCOMES[name].better in ("less", "more", "target") and OUTCOMES[name].label
        assert np.isfinite(value), name


def test_unknown_outcome_is_a_sentence(vehicle, fork):
    with pytest.raises(InputError, match=r"outcome 'comfrt' is not known .did you mean 'comfort'"):
        outcomes(simulate(vehicle, fork, flat()), ["comfrt"])


def test_slow_rebound_packs_down_through_whoops(vehicle, school_fork):
    """Close, quick whoops: the fork has no time to come back out, so the mean stroke grows with rebound damping."""
    terrain = whoops(height=0.12, spacing=2.0, count=20, speed=9.0)
    mean = [outcomes(simulate(vehicle, school_fork(rebound=r), terrain))["ride_height"] for r in (0.5, 1.0, 2.0, 4.0)]
    assert np.all(np.diff(mean) > 0.002)


def test_fast_rebound_kicks(vehicle, school_fork):
    """After a square edge the chassis is thrown up faster the less rebound damping there is."""
    kicks = [outcomes(simulate(vehicle, school_fork(rebound=r), square_edge(0.12)))["kick"] for r in (0.2, 0.5, 1.0)]
    assert np.all(np.diff(kicks) < 0)


def test_more_compression_damping_uses_less_travel_and_hits_harder_on_an_edge(vehicle, school_fork):
    found = [outcomes(simulate(vehicle, school_fork(compression=c), square_edge(0.1))) for c in (0.5, 1.0, 2.0)]
    assert np.all(np.diff([o["deepest"] for o in found]) < 0)
    assert np.all(np.diff([o["harshness"] for o in found]) > 0)


def test_preload_moves_the_ride_height_and_hardly_the_bottoming(vehicle, school_fork):
    """5 mm more preload on both springs, in a drop that reaches the bumper: sag moves three times as much as that."""
    fork = school_fork()
    more = dataclasses.replace(fork, spring_force=fork.spring_force + 2 * 4400 * 0.005)
    drops = [simulate(vehicle, f, flat(30.0), drop_height=1.3).stroke.max() for f in (fork, more)]
    sag = settled_stroke(vehicle, fork) - settled_stroke(vehicle, more)
    assert min(drops) > fork.travel - fork.bumpers[0].length
    assert sag > 0.003 and drops[0] - drops[1] < sag / 3
