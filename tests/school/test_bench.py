"""The bench: every control changes the machine, its curves and its ride as the library says; points add up."""

import numpy as np
import pytest

from suspedu.changes import changed, value_at
from suspedu.damper import stock_damper
from suspedu.machine import change, damping_table, has, load, refitted, ride, rider_sag, riding_split, setting
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.parts.shim_stacks import Stack
from suspedu.ride.outcomes import outcomes
from suspedu.school.bench import FELT, QUICK, SLOW, curve_changes, on_bench, steps_noticed, told_first
from suspedu.school.bench_fittings import FITTINGS, raised
from suspedu.school.bench_point import (
    LOOKS,
    air_under,
    damping_point,
    look_at,
    ride_point,
    share_at,
    spring_point,
    step_at,
)
from suspedu.school.bench_settings import CHOSEN, ON_THE_BENCH, TURNED, bench_machine, bench_reading, left_aside
from suspedu.school.bench_sight import sight
from suspedu.school.legs import with_face
from suspedu.school.loop import loop_ground
from suspedu.school.noticed import noticed
from suspedu.school.oils import SHELF
from suspedu.units import InputError

ENDURO = load("enduro")
# Each thing that can be turned, to what, what of the curves it moves and which way; "" where it moves none of them.
MOVES = {
    "preload": (8.0, "springs", 1), "coil_rate": (4.4, "springs half way", 1),
    "oil_height": (90.0, "springs half way", 1), "oil_volume": (370.0, "springs half way", 1),
    "compression_low": (2, "slow in", 1), "compression_high": (2, "quick in", 1), "rebound": (20, "slow out", -1),
    "tyre_pressure": (0.8, "tyre", -1), "rider_mass": (100.0, "load", 1), "gauge_pressure": (0.3, "springs", 1),
    "oil_temperature": (5.0, "slow out", 1), "mid_float": (0.1, "quick in", 1), "fork_height": (10.0, "load", 1),
    "low_shims": (6, "slow in", 1), "high_shims": (4, "quick in", 1), "mid_shims": (14, "quick in", 1),
    "rebound_shims": (5, "slow out", 1), "rebound_thick": (0.25, "quick out", 1), "charge": (3.0, "springs", 1),
    "stop_gap": (0.12, "stop", -1), "stop_zone": (35.0, "", 0), "damper": ("damping rod", "quick in", 1),
    "oil": ("can-b", "slow out", 1)}  # fmt: skip


def by_the_library(name, value):
    """The enduro with one thing changed, without the bench."""
    if name == "damper":
        return refitted(ENDURO, value)
    if name == "oil":
        return change(ENDURO, "oil", SHELF[value])
    places = {"charge": ("pressuriser.charge", 1e5), "stop_gap": ("end_stop.valve.leak.gap", 1e-3),
              "stop_zone": ("end_stop.zone", 1e-3)}  # fmt: skip
    stacks = {"low_shims": "compression_low_stack", "high_shims": "compression_high_stack", "mid_shims": "mid_stack",
              "rebound_shims": "rebound_stack"}  # fmt: skip
    if name in places:
        place, unit = places[name]
        return changed(ENDURO, f"legs.damper.unit.{place}", value * unit)
    if name == "rebound_thick":
        return change(ENDURO, "rebound_stack", with_face(setting(ENDURO, "rebound_stack"), 2, value * 1e-3))
    if name in stacks:
        stack = setting(ENDURO, stacks[name])
        face = stack.shims[0]
        behind = tuple(shim for shim in stack.shims if shim != face)
        return change(ENDURO, stacks[name], Stack((face,) * value + behind, stack.clamp_diameter))
    if name == "fork_height":
        return raised(ENDURO, value * 1e-3)
    row = ADJUSTERS[name]
    return change(ENDURO, name, value if row.kind == "clicks" else row.si(value))


def test_every_thing_on_the_bench_is_tried():
    assert set(MOVES) == set(ON_THE_BENCH) == {*TURNED, *FITTINGS, *CHOSEN}


@pytest.mark.parametrize("name", MOVES)
def test_a_control_changes_curves_and_ride_as_the_library_says(name):
    value, moved, way = MOVES[name]
    machine, ground = by_the_library(name, value), "flat landing" if name.startswith("stop") else "rock garden"
    now, before = on_bench(bench_machine(**{name: value}), ground), on_bench(ENDURO, ground)
    assert now.springs.total == pytest.approx(riding_split(machine, now.strokes).total, abs=1e-6)
    assert now.sag == pytest.approx(float(rider_sag(machine)), abs=1e-9)
    for speed in (SLOW, QUICK, -SLOW, -QUICK):  # the quick table keeps within 5e-4 of the law; twice that between
        law = float(damping_table(machine, np.array([0.15]), np.array([speed]))[0, 0])
        assert now.damping.at(speed) == pytest.approx(law, rel=1e-3)
    told = outcomes(ride(machine, loop_ground(ground)), FELT)
    assert {each: now.felt[each] for each in FELT} == pytest.approx(told, rel=1e-6, nan_ok=True)
    assert any(now.felt[each] != before.felt[each] for each in FELT)
    if moved:
        was, has_become = curve_changes(now, before)[moved]
        assert np.sign(has_become - was) == way and abs(has_become / was - 1.0) > 1e-3


def test_a_longer_stop_takes_a_hard_landing_sooner():
    short, built = (on_bench(bench_machine(stop_zone=zone), "high flat landing") for zone in (30.0, 50.0))
    assert built.felt["deepest"] < short.felt["deepest"]


def test_nothing_turned_is_the_machine_itself_and_a_slip_is_refused():
    stands = {name: bench_reading(ENDURO, name) for name in ON_THE_BENCH if name not in (*CHOSEN, "oil_volume")}
    assert bench_machine(**stands) == ENDURO
    with pytest.raises(InputError, match="did you mean 'preload'"):
        bench_machine(preloud=3)
    with pytest.raises(InputError, match="not on the shelf"):
        bench_machine(oil="can-x")


def test_two_legs_that_differ_are_moved_alike_within_their_ends():
    trail = bench_machine("trail", preload=0.0)  # from 5 and 3 mm: the right one has only 3 mm to go
    assert [leg.spring.preload for leg in trail.legs] == pytest.approx([0.0, 0.0])
    assert bench_machine("trail", preload=5.0) == load("trail")
    assert left_aside("trail", compression_high=3, charge=1.0, rebound=3) == ("compression_high", "charge")
    assert bench_machine("trail", compression_high=3, charge=1.0) == load("trail")


def test_another_damper_is_set_to_the_clicks_of_the_sheet():
    machine = bench_machine(damper="open cartridge", rebound=4, compression_high=5)
    unit = machine.legs[0].damper.unit
    assert type(unit) is type(stock_damper("open cartridge")) and value_at(unit, "rebound.needle.clicks") == 4
    assert not has(machine, "compression_high")


@pytest.mark.parametrize("height", [0.005, 0.020])
def test_tubes_pushed_up_turn_the_frame_as_a_rigid_body(height):
    """Exact rotation about the rear contact; the closed form leaves out h sin r/w, 0.6 % at 20 mm."""
    chassis = ENDURO.chassis
    lift = height * np.array([-np.sin(chassis.rake), np.cos(chassis.rake)])
    angle = np.arctan2(lift[1], chassis.wheelbase + lift[0])
    up = raised(ENDURO, height).chassis
    assert chassis.rake - up.rake == pytest.approx(angle, rel=0.008)
    mass_centre = np.array([chassis.front_share * chassis.wheelbase, chassis.centre_height])
    turned = mass_centre[0] * np.cos(angle) + mass_centre[1] * np.sin(angle)
    gained = turned / (chassis.wheelbase + lift[0]) - chassis.front_share
    assert up.front_share - chassis.front_share == pytest.approx(gained, abs=0.005 * height / 0.01)


def test_steps_are_shares_of_what_is_noticed_and_an_unasked_outcome_has_none():
    now, before = (on_bench(bench_machine(mid_float=gap), "log") for gap in (0.1, 0.35))
    steps = steps_noticed(now, before)
    assert steps["deepest"] == pytest.approx((now.felt["deepest"] - before.felt["deepest"]) / 0.005)
    assert steps["comfort"] == pytest.approx((now.felt["comfort"] - before.felt["comfort"])
                                             / noticed("comfort", before.felt["comfort"]))
    assert np.isnan(steps["dive"]) and "dive" not in told_first(steps)
    assert all(size == 0.0 for size in steps_noticed(before, before).values() if np.isfinite(size))
    braking = on_bench(bench_machine(), "hard braking")
    assert np.isfinite(steps_noticed(braking, braking)["dive"])


BENCH = on_bench(ENDURO, "rock garden")


@pytest.mark.parametrize("stroke", [0.0, 0.062, 0.2, 0.3])
def test_a_point_of_the_springs_adds_up_and_its_rate_is_the_slope(stroke):
    point = spring_point(BENCH, stroke)
    assert sum(point.parts.values()) == pytest.approx(point.force)
    assert point.force == pytest.approx(float(riding_split(ENDURO, stroke).total))
    assert point.holds > 0.0
    if 0.01 < stroke < 0.28:
        low, high = (spring_point(BENCH, stroke + side).force for side in (-1e-4, 1e-4))
        assert point.rate == pytest.approx((high - low) / 2e-4, rel=0.05)  # a ride's air works about its rest


@pytest.mark.parametrize("velocity", [-2.0, -0.1, 0.1, 2.0])
def test_a_point_of_the_damping_shares_out_its_oil_and_carries_the_curve(velocity):
    point = damping_point(BENCH, velocity)
    assert 2 * float(point.leg.damping_force) == pytest.approx(BENCH.damping.at(velocity), rel=1e-3)
    for valve, paths in point.paths.items():
        assert 0.9 < sum(path.share for path in paths) <= 1.0 + 1e-9 and point.drops[valve] > 0.0
        assert [path.share for path in paths] == sorted((path.share for path in paths), reverse=True)
    assert set(point.paths) == ({"base valve", "mid-valve"} if velocity > 0 else {"rebound valve", "base refill"})


def test_at_rest_no_oil_moves():
    assert not any(damping_point(BENCH, 0.0).paths.values())


@pytest.mark.parametrize("what", LOOKS)
def test_a_point_of_the_ride_is_that_step(what):
    step = look_at(BENCH, what)
    point, done = ride_point(BENCH, step), BENCH.ride
    assert point.springs + point.moving == pytest.approx(float(done.fork_force[step]))
    extreme = {"deepest": (point.stroke, done.stroke.max()), "in": (point.velocity, done.velocity.max()),
               "out": (point.velocity, done.velocity.min()), "hardest": (point.bars, done.sprung_acceleration.max())}
    assert extreme[what][0] == extreme[what][1]
    assert step_at(BENCH, share_at(BENCH, point.distance)) == pytest.approx(step, abs=1)


def test_the_sight_is_true_to_scale():
    """Between chassis and axle lies what the ride's heights say; the tyre is round in the air, flat on the ground."""
    done, rake = BENCH.ride, ENDURO.chassis.rake
    first, deep = sight(BENCH, 0), sight(BENCH, BENCH.deepest_at)
    for seen, step in ((first, 0), (deep, BENCH.deepest_at)):
        assert seen.outer[0, 1] - seen.axle[1] == pytest.approx(
            (ENDURO.legs[0].bushings.reach - done.stroke[step]) * np.cos(rake))
        assert np.arctan2(seen.axle[0] - seen.outer[0, 0], seen.outer[0, 1] - seen.axle[1]) == pytest.approx(rake)
        assert np.hypot(*(seen.inner[1] - seen.inner[0])) == pytest.approx(0.670)
    moved = (deep.chassis[0, 1] - deep.axle[1]) - (first.chassis[0, 1] - first.axle[1])
    heights = done.sprung_height - done.wheel_height
    assert moved == pytest.approx(heights[BENCH.deepest_at] - heights[0], abs=1e-9)
    squash = done.road[0] - done.wheel_height[0]
    assert first.wheel[:, 1].min() == pytest.approx(0.0, abs=1e-6) and first.axle[1] == pytest.approx(0.345 - squash)


def test_air_under_the_tyre_is_seen():
    flying = on_bench(ENDURO, "flat landing")
    seen = sight(flying, 0)
    assert seen.air == air_under(flying, 0) == pytest.approx(1.2, abs=1e-3)
    assert seen.wheel[:, 1].min() - np.interp(0.0, *seen.ground.T) == pytest.approx(1.2, abs=2e-3)
    assert np.ptp(seen.wheel[:, 0]) == pytest.approx(0.69, abs=0.002)


def test_a_machine_without_a_damper_is_refused_in_one_sentence():
    bare = changed(ENDURO, "legs.damper", None)
    with pytest.raises(InputError, match="has no damper"):
        _ = on_bench(bare, "log").damping
    with pytest.raises(InputError, match="has no damper"):
        _ = on_bench(bare, "log").opens
