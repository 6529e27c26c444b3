"""What rides must hold: they rest where the sag says, stay on their travel, hang little on the pace, follow the law."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.machine import adjusted, front_load, load, resting_stroke
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import has, range_of
from suspedu.machine.riding import fork_law, ride, vehicle
from suspedu.ride.energy import energy_account
from suspedu.ride.flights import flat_landing
from suspedu.ride.outcomes import outcomes
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import TERRAINS, flat, whoops
from suspedu.school.loop import end_of_travel, loop_ground

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
@settings(max_examples=50, derandomize=True)
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


SETTINGS = ("preload", "coil_rate", "oil_height", "tyre_pressure", "rider_mass", *COUNTS)
DEEPEST = {"preload": 0, "coil_rate": 0, "oil_height": 1, "rider_mass": 1, "compression_low": 1, "compression_high": 1}


def corner(machine, ends):
    """A machine with every adjuster that it has at one end of what a panel offers: 0 the low one, 1 the high one."""
    return adjusted(machine, **{name: range_of(machine, name)[end] for name, end in ends.items() if has(machine, name)})


def corners(machine, count=24):
    """The corners towards the deepest stroke at either end of rebound and tyre, and as many more drawn at random."""
    soft = [DEEPEST | {"rebound": back, "tyre_pressure": tyre} for back in (0, 1) for tyre in (0, 1)]
    dice = np.random.default_rng(3)
    return [corner(machine, ends) for ends in
            [*soft, *(dict(zip(SETTINGS, dice.integers(0, 2, len(SETTINGS)), strict=True)) for _ in range(count))]]


@pytest.mark.parametrize("ground", [*RIDDEN, "tall whoops", "flat landing from 1.6 m"])
@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_no_ride_but_the_crash_goes_past_the_travel(machine, ground):
    """At corners of all that a panel offers: metal is pressed into metal by 3 mm at most, and told where it is."""
    terrain = flat_landing(1.6) if ground.endswith("m") else loop_ground(ground)
    for bike in corners(load(machine)):
        done = ride(bike, terrain)
        past = outcomes(done, ("past_travel",))["past_travel"]
        assert past < PAST and (end_of_travel(done) == "metal") == (past > 0.0)


@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_metal_meets_metal_in_a_fall_that_no_ground_here_asks_for_and_it_is_said(machine):
    """5 m onto the flat without bumpers and with the heaviest rider there is: past what the check above bears."""
    bike = adjusted(corner(load(machine), DEEPEST), bumper=None, rider_mass=160.0)
    done = ride(bike, flat(60.0), drop_height=5.0)
    assert done.stroke.max() > done.fork.travel + PAST and end_of_travel(done) == "metal"


@pytest.mark.parametrize("name", [*RIDDEN, "crash"])
@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_every_ride_accounts_for_its_energy(machine, name):
    """1e-4 of what is turned over, with tyre and rim, limbs, bumper loss and friction by its loads."""
    account = energy_account(ride(load(machine), name))
    turned = sum(account[f"{part}, dissipated"][-1] for part in ("damper", "friction", "tyre", "limbs", "bumper"))
    assert np.abs(account["imbalance"]).max() < 1e-4 * turned
    for part in ("damper", "friction", "limbs", "bumper"):  # none of them gives energy back
        assert np.diff(account[f"{part}, dissipated"]).min() > -1e-6 * turned


@pytest.mark.parametrize("name", [*RIDDEN, "flat landing from 1.6 m"])
def test_halving_the_step_hardly_moves_a_ride(name):
    """A tenth of a millimetre of stroke at worst."""
    bike, ground = load("enduro"), flat_landing(1.6) if name.endswith("m") else TERRAINS[name]()
    coarse, fine = (simulate(vehicle(bike), fork_law(bike), ground, step=step) for step in (5e-4, 2.5e-4))
    assert np.abs(coarse.stroke - fine.stroke[::2][: len(coarse.stroke)]).max() < 1e-4


def test_two_legs_are_twice_one():
    """One leg that stands for two, and the same leg written twice."""
    bike = load("enduro")
    twice = dataclasses.replace(bike, legs=bike.both_legs)
    assert np.array_equal(ride(bike, "log").record, ride(twice, "log").record)


@pytest.mark.parametrize("height, spacing, speed", [(0.2, 4.5, 8.0), (0.3, 5.0, 7.0)], ids=["whoops", "tall whoops"])
def test_no_line_at_half_the_hump_s_frequency(height, spacing, speed):
    """The whoops are met hump by hump: of the settled stroke less than 1 % of the main line lies at half of it."""
    done = ride(load("enduro"), whoops(height, spacing, 40, speed, length=10 + 40 * spacing))
    step, period = done.ground.step, spacing / speed
    first, steps = int(10 * period / step), round(28 * period / step)
    settled = done.stroke[first:first + steps] * np.hanning(steps)
    time = np.arange(steps) * step

    def line(frequency):
        return abs(np.sum((settled - np.mean(settled)) * np.exp(-2j * np.pi * frequency * time)))

    assert line(0.5 / period) < 0.01 * line(1 / period)
