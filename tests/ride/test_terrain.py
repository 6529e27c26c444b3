"""Terrain: what is stated is so, the seed rules, and the tyre smooths as geometry says."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.ride.ground import ground_over_time, tyre_envelope
from suspedu.ride.terrain import (
    STEP,
    TERRAINS,
    braking_bumps,
    jump,
    log,
    rock_garden,
    rough_ground,
    square_edge,
    terrain,
    whoops,
)
from suspedu.units import InputError


@pytest.mark.parametrize("name", TERRAINS)
def test_every_terrain_can_be_ridden_and_states_itself(name):
    made = terrain(name)
    ground = ground_over_time(made, made.speed, 0.345, 0.09, 5e-4)
    assert made.statement.startswith(made.name)
    assert np.isfinite(ground.climb).all() and len(ground.height) == len(ground.climb) == 2 * len(ground.time) - 1
    assert made.length - ground.distance[-1] < 1.0 + made.speed * 0.5


@pytest.mark.parametrize("make", [rough_ground, rock_garden])
def test_same_seed_same_ground(make):
    assert np.array_equal(make.__wrapped__(seed=5).height, make.__wrapped__(seed=5).height)
    assert not np.array_equal(make(seed=5).height, make(seed=6).height)


def test_stated_statistics_are_those_of_the_heights():
    made = whoops(height=0.3, spacing=4.0, count=10)
    assert made.statistics["highest"] == pytest.approx(0.3, rel=1e-6)
    assert made.statistics["steepest"] == pytest.approx(np.pi * 0.3 / 4.0, rel=1e-3)  # of h/2 (1 - cos)
    assert np.sum(np.diff(np.sign(np.diff(made.height))) < 0) == 10


def test_rocks_are_as_many_and_as_high_as_asked():
    tops = rock_garden(largest=0.12, per_metre=1.0, length=400.0).height
    peaks = np.sum((tops[1:-1] > tops[:-2]) & (tops[1:-1] >= tops[2:]))
    assert 0.5 * 384 < peaks < 384 and 0.11 < tops.max() <= 0.12  # some hide behind others


def test_braking_bumps_grow_and_close_up():
    h = braking_bumps().height
    at = np.flatnonzero((h[1:-1] > h[:-2]) & (h[1:-1] >= h[2:])) + 1
    assert len(at) == 14 and np.all(np.diff(h[at]) > 0) and np.all(np.diff(np.diff(at)) <= 1)


def test_jump_flies_onto_its_slope(vehicle, fork):
    from suspedu.ride.simulate import simulate

    made = jump()
    ride = simulate(vehicle, fork, made)
    flying = (ride.tyre_force == 0) & (ride.distance > 11.0)
    landing = ride.distance[np.flatnonzero(flying & (ride.distance < made.quiet_from))[-1]]
    assert 18.4 < landing < made.quiet_from  # past the crest, before the foot


@given(st.integers(0, 10**6), st.floats(0.15, 0.4), st.floats(0, 0.2))
@settings(max_examples=30, deadline=None)
def test_envelope_bounds(seed, radius, contact):
    """The disc never sinks below a point on average, never rises above the highest ground, and loves a constant."""
    h = np.random.default_rng(seed).uniform(0, 0.2, 300)
    path = tyre_envelope(h, radius, contact)
    assert path.max() <= h.max() + 1e-12 and path.mean() >= h.mean()
    assert tyre_envelope(h + 1.0, radius, contact) == pytest.approx(path + 1.0)
    assert np.all(tyre_envelope(h, radius, 0.0) >= h - 1e-12)


def test_disc_climbs_an_edge_along_a_circle():
    """Before a step of height h the centre follows sqrt(R^2 - u^2) from u = sqrt(2 R h - h^2) on."""
    h = np.repeat([0.0, 0.08], 200)
    path, u = tyre_envelope(h, 0.345, 0.0), (200 - np.arange(400)) * STEP
    before = (u > 0) & (u < np.sqrt(2 * 0.345 * 0.08 - 0.08**2) - STEP)
    assert path[before] == pytest.approx(0.08 + np.sqrt(0.345**2 - u[before] ** 2) - 0.345, abs=1e-12)
    assert np.all(path[u > 0.25] == 0)


def test_no_envelope_is_no_change():
    assert np.array_equal(tyre_envelope(square_edge().height, 0.0, 0.0), square_edge().height)


def test_rate_is_the_slope_of_the_height():
    ground = ground_over_time(log(), 7.0, 0.345, 0.09, 1e-4)
    assert np.gradient(ground.height, ground.step / 2)[1:-1] == pytest.approx(ground.climb[1:-1], abs=2e-3)


@pytest.mark.parametrize("ask, sentence", [
    (lambda: terrain("woops"), "terrain 'woops' is not known .did you mean 'whoops'"),
    (lambda: rough_ground("K"), "roughness class is 'K'; ISO 8608 knows A"),
    (lambda: whoops(height=-0.3), "height of the whoops is -300 mm.*minus sign"),
    (lambda: square_edge(length=3.0), "longer than the run of 3 m"),
    (lambda: terrain("hard braking", exit_speed=20.0), "must be below the speed before braking"),
    (lambda: ground_over_time(braking_bumps(), 40.0, 0.345, 0.09, 5e-4), "braking from 40 m/s.* has left"),
])
def test_impossible_terrain_gets_a_sentence(ask, sentence):
    with pytest.raises(InputError, match=sentence):
        ask()


def test_a_rock_garden_too_short_for_its_rocks_gets_a_sentence():
    """Run-in, run-out and eight metres of quiet ground leave no place for a rock below 16 m."""
    assert rock_garden(length=17.0).statistics["highest"] > 0.0
    with pytest.raises(InputError, match="length of the rock garden is 14 m"):
        rock_garden(length=14.0)
