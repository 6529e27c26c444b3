"""Terrain: what is stated is so, the seed rules, and the tyre smooths as geometry says."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.ride.flights import crash, flat_landing, slope_landing, told, touchdown
from suspedu.ride.ground import ground_over_time, tyre_envelope
from suspedu.ride.profile import STEP
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import (
    TERRAINS,
    brake_dab,
    braking_bumps,
    dip,
    flat,
    log,
    rock_garden,
    rough_ground,
    square_edge,
    terrain,
    whoops,
)
from suspedu.units import STANDARD_GRAVITY, InputError


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


def test_the_crash_meets_the_face_before_the_crest(vehicle, fork):
    """Across the gap the wheel comes down on the up-face, 1.5 m long, and is struck faster than any landing here."""
    made = crash()
    ride = simulate(vehicle, fork, made)
    flying = (ride.tyre_force == 0) & (ride.distance > 11.0)
    met = ride.distance[np.flatnonzero(flying)[0]:][np.argmax(ride.tyre_force[np.flatnonzero(flying)[0]:] > 0)]
    crest = made.quiet_from - 1.2 / 0.25
    assert crest - 1.5 - 0.345 < met < crest
    assert ride.velocity.max() > 2 * max(simulate(vehicle, fork, flat_landing(h)).velocity.max() for h in (0.9, 1.6))


@pytest.mark.parametrize("fall", [0.9, 1.2, 1.6])
def test_flat_landing_closes_as_galileo_says(vehicle, fork, fall):
    """sqrt(2 g h); the step at which the tyre touches is half a millisecond wide."""
    ride = simulate(vehicle, fork, flat_landing(fall))
    first = np.argmax(ride.tyre_force > 0)
    assert -ride.wheel_velocity[first] == pytest.approx(np.sqrt(2 * STANDARD_GRAVITY * fall), abs=0.01)
    assert touchdown(flat_landing(fall)).fall == pytest.approx(fall, rel=1e-5)  # straight between steps of 5 mm
    assert ride.sprung_acceleration[: first - 1] == pytest.approx(-STANDARD_GRAVITY, abs=1e-6)  # weightless till then


@pytest.mark.parametrize("speed", [8.6, 9.0, 9.4])
def test_slope_landing_is_the_flight_that_is_ridden(vehicle, fork, speed):
    """The parabola by hand, and the ride: the round wheel meets it some centimetres earlier."""
    v, b, table = speed, 0.25, 3.8
    time = (0.3 * v + b * v + np.sqrt(((0.3 + b) * v) ** 2 - 2 * STANDARD_GRAVITY * b * table)) / STANDARD_GRAVITY
    landing = touchdown(slope_landing(), speed)
    assert landing.place == pytest.approx(v * time, abs=2e-3)
    assert landing.closing * np.hypot(1, b) == pytest.approx(STANDARD_GRAVITY * time - 0.55 * v, abs=2e-3)
    ride = simulate(vehicle, fork, slope_landing(), speed)
    first = np.flatnonzero(ride.tyre_force[20:] > 0)[0] + 20
    assert ride.distance[first] == pytest.approx(landing.place, abs=0.15)
    closing = (ride.ground.climb[::2] - ride.wheel_velocity)[first] / np.hypot(1, b)
    assert closing == pytest.approx(landing.closing, abs=0.12)


def test_a_landing_is_told_from_its_numbers():
    found = touchdown(slope_landing(), 7.0)
    assert found.behind < 0.0  # too slow: it meets the even ground, not a face
    assert told(slope_landing(), 7.0) == (
        f"lands {-found.behind:.1f} m before the crest, closing at {found.closing:.1f} m/s, as a fall of "
        f"{found.fall:.2f} m onto the flat would")
    with pytest.raises(InputError, match="no landing"):
        touchdown(flat())


def test_a_dab_comes_on_top_of_half_its_load_shift():
    made = brake_dab(5.0, 0.4)
    ground = ground_over_time(made, made.speed, 0.345, 0.09, 5e-4)
    hard = ground.slowing > 2.5 + 1e-6
    assert ground.slowing.max() == pytest.approx(5.0) and ground.slowing[np.argmax(hard) - 1] == pytest.approx(2.5)
    assert hard.sum() * ground.step / 2 == pytest.approx(0.4 + 0.15, abs=0.01)  # with the time it takes to let go


def test_a_dip_is_half_a_cosine_and_the_ground_goes_on_level():
    h = dip(0.3, 5.0).height
    assert h.min() == pytest.approx(-0.3, abs=1e-6) and np.sum(h < 0) * STEP == pytest.approx(5.0, abs=0.02)
    assert h[0] == h[-1] == 0.0


@given(st.integers(0, 10**6), st.floats(0.15, 0.4), st.floats(0, 0.2))
@settings(max_examples=30)
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
    (lambda: whoops(height=-0.3), "height of the whoops is −300 mm.*minus sign"),
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
