"""What rides must hold: they rest where the sag says, stay on their travel, hang little on the pace, follow the law."""

import dataclasses
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from suspedu.machine import adjusted, front_load, load, resting_stroke
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.damping import damped_leg
from suspedu.machine.friction import friction_levels
from suspedu.machine.riding import fork_law, ride, ride_all, vehicle
from suspedu.machine.statics import riding_split
from suspedu.parts.friction import friction_shape
from suspedu.parts.stops import bumper_force, top_out_force
from suspedu.parts.tyre import contact_length, tyre_force
from suspedu.ride.energy import energy_account
from suspedu.ride.flights import flat_landing
from suspedu.ride.ground import ground_path
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import TERRAINS, flat, square_edge
from suspedu.units import STANDARD_GRAVITY

RIDDEN = [name for name in TERRAINS if name != "crash"]
PAST = 3e-3  # m that metal may be pressed into metal anywhere but in the crash
COUNTS = ("compression_low", "compression_high", "rebound")


def own_range(name):
    """Lowest and highest value of an adjuster that a panel offers [SI]."""
    return ADJUSTERS[name].low, ADJUSTERS[name].high


def between(name):
    low, high = own_range(name)
    return st.integers(int(low), int(high)) if name in COUNTS else st.floats(float(low), float(high))


settings_of = st.fixed_dictionaries({name: between(name) for name in (
    "preload", "coil_rate", "oil_height", "tyre_pressure", "rider_mass", *COUNTS)})


@given(settings_of)
@settings(max_examples=50, deadline=None, derandomize=True)
def test_rest_of_a_ride_is_the_sag(values):
    """0.3 mm, for 50 random machines of those whose springs carry them off the top-out spring."""
    machine = adjusted(load("enduro"), **values)
    rest = float(resting_stroke(machine, front_load(machine)))
    if 0.0 < rest < 0.9 * machine.travel:
        assert ride(machine, flat(5.0)).stroke[-1] == pytest.approx(rest, abs=3e-4)


@pytest.mark.parametrize("name", RIDDEN)
@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_pace_moves_the_deepest_stroke_little(machine, name):
    """95 to 105 % of the usual speed: less than 12 mm for each per cent."""
    bike, ground = load(machine), TERRAINS[name]()
    found = [simulate(vehicle(bike), fork_law(bike), ground, ground.speed * pace).stroke.max()
             for pace in np.arange(0.95, 1.0501, 0.01)]
    assert np.abs(np.diff(found)).max() < 0.012


def softest(machine):
    """The corners of the adjusters towards the deepest stroke, for the heaviest rider, at either end of the tyre."""
    low = {"preload": own_range("preload")[0], "coil_rate": own_range("coil_rate")[0],
           "oil_height": own_range("oil_height")[1], "rider_mass": own_range("rider_mass")[1],
           "compression_low": own_range("compression_low")[1], "compression_high": own_range("compression_high")[1]}
    ends = itertools.product(own_range("rebound"), own_range("tyre_pressure"))
    return [adjusted(machine, **low, rebound=int(rebound), tyre_pressure=tyre) for rebound, tyre in ends]


@pytest.mark.parametrize("ground", [*RIDDEN, "flat landing from 1.6 m"])
def test_no_ride_but_the_crash_goes_past_the_travel(ground):
    """At every corner that lets the fork in deepest: metal is pressed into metal by 3 mm at most."""
    terrain = flat_landing(1.6) if ground.endswith("m") else TERRAINS[ground]()
    told = ride_all(softest(load("enduro")), terrain, names=("past_travel",))
    assert all(one is not None and one["past_travel"] < PAST for one in told)


@pytest.mark.parametrize("name", [*RIDDEN, "crash"])
def test_every_ride_accounts_for_its_energy(name):
    """1e-4 of what is turned over, with tyre and rim, limbs, bumper loss and friction by its loads."""
    account = energy_account(ride(load("enduro"), name))
    turned = sum(account[f"{part}, dissipated"][-1] for part in ("damper", "friction", "tyre", "limbs", "bumper"))
    assert np.abs(account["imbalance"]).max() < 1e-4 * turned
    for part in ("damper", "friction", "limbs", "bumper"):  # none of them gives energy back
        assert np.diff(account[f"{part}, dissipated"]).min() > -1e-6 * turned


def test_halving_the_step_hardly_moves_a_landing():
    bike = load("enduro")
    coarse, fine = (simulate(vehicle(bike), fork_law(bike), flat_landing(1.6), step=step) for step in (5e-4, 2.5e-4))
    assert np.abs(coarse.stroke - fine.stroke[::2][: len(coarse.stroke)]).max() < 1e-4


def test_two_legs_are_twice_one():
    """One leg that stands for two, and the same leg written twice."""
    bike = load("enduro")
    twice = dataclasses.replace(bike, legs=bike.both_legs)
    assert np.array_equal(ride(bike, "log").record, ride(twice, "log").record)


def test_no_line_at_half_the_hump_s_frequency():
    """The whoops are met hump by hump: of the settled stroke less than 1 % of the main line lies at half of it."""
    from suspedu.ride.terrain import whoops

    count, spacing, speed = 40, 4.5, 8.0
    done = ride(load("enduro"), whoops(count=count, length=10 + count * spacing))
    step, period = done.ground.step, spacing / speed
    first, steps = int(10 * period / step), round(28 * period / step)
    settled = done.stroke[first:first + steps] * np.hanning(steps)
    time = np.arange(steps) * step

    def line(frequency):
        return abs(np.sum((settled - np.mean(settled)) * np.exp(-2j * np.pi * frequency * time)))

    assert line(0.5 / period) < 0.01 * line(1 / period)


def law_of(machine, path, speed, length):
    """Right-hand side of the ride, straight from the laws of the parts: no table, no loop."""
    bike, leg, end = vehicle(machine), machine.legs[0], machine.wheel_end
    slope, body, braking = 1 / float(end.motion_ratio(0.0)), bike.rider, 0.0
    climb = path.derivative()

    def motion(time, state):
        chassis, upward, wheel, wheel_upward, rider, rider_upward = state
        s = min(speed * time, length)
        x, v = (wheel - chassis) * slope, (wheel_upward - upward) * slope
        load = float(tyre_force(path(s) - wheel, climb(s) * speed - wheel_upward, bike.tyre))
        inside = np.clip(x, 0.0, machine.travel)
        split = riding_split(machine, inside)
        elastic = float(split.coil + split.air + split.gas) + 2 * float(
            bumper_force(x, machine.travel, leg.bumper, v) + top_out_force(x, leg.top_out))
        oil = damped_leg(leg, inside, v)
        rubbing = sum(friction_levels(machine, inside, load, braking, None)) * float(friction_shape(v, leg.friction))
        force = elastic + 2 * float(oil.damping_force + oil.stop_force) + rubbing
        limbs = body.rate * (chassis - rider) + body.damping * (upward - rider_upward)
        between = force * slope
        return (upward, (between - limbs) / bike.sprung_mass - STANDARD_GRAVITY, wheel_upward,
                (load - between) / bike.unsprung_mass - STANDARD_GRAVITY, rider_upward,
                limbs / body.mass - STANDARD_GRAVITY)

    return motion


def test_the_ride_is_the_law_integrated_without_tables():
    """Coldest oil, every clicker one click out, over a square edge: 1.5 mm at worst, 0.3 mm r.m.s.; LSODA of scipy."""
    cold = adjusted(load("enduro"), compression_low=1, compression_high=1, rebound=1)
    legs = tuple(dataclasses.replace(leg, damper=dataclasses.replace(leg.damper, oil_temperature=253.15))
                 for leg in cold.legs)
    cold, ground = dataclasses.replace(cold, legs=legs), square_edge(length=10.0)
    done = ride(cold, ground)
    bike = done.vehicle
    path = ground_path(ground, bike.tyre.radius, float(contact_length(bike.weight, bike.tyre)))
    direct = solve_ivp(law_of(cold, path, ground.speed, ground.length), (0, done.time[-1]), done.record[0, :6],
                       method="LSODA", rtol=1e-5, atol=1e-6, t_eval=done.time, max_step=5e-3)
    off = (direct.y[2] - direct.y[0]) / float(cold.wheel_end.motion_ratio(0.0)) - done.stroke
    assert np.abs(off).max() < 1.5e-3 and off.std() < 0.3e-3
