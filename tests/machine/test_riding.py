"""A machine on the trail: its tables say what its parts say, and riders' sense holds under the conditions stated."""

import dataclasses

import numpy as np
import pytest

from suspedu.machine import ADJUSTERS, FittedDamper, adjusted, load, setting, turned
from suspedu.machine.adjusters import charted
from suspedu.machine.damping import damping_table
from suspedu.machine.forces import force_split, fork_force
from suspedu.machine.riding import fork_law, ride, ride_all, sensitivity, vehicle
from suspedu.machine.statics import front_load
from suspedu.parts.oil import Oil
from suspedu.parts.stops import Bumper
from suspedu.ride.terrain import rock_garden, square_edge, whoops
from suspedu.ride.vehicle import elastic_force
from suspedu.units import STANDARD_GRAVITY, InputError

OIL = Oil(15e-6, 3.5e-6)


def fitted(machine, stock):
    """The machine with a damper from the shelf in every leg."""
    damper = FittedDamper.from_file(stock, OIL)
    return dataclasses.replace(machine, legs=tuple(dataclasses.replace(leg, damper=damper) for leg in machine.legs))


@pytest.fixture(scope="module")
def enduro():
    return fitted(load("enduro"), "closed cartridge")


@pytest.fixture(scope="module")
def trail():
    return fitted(load("trail"), "open cartridge")


@pytest.mark.parametrize("name", ["enduro", "trail"])
def test_elastic_table_is_the_machine_at_rest_with_its_gas(request, name):
    """Every stroke of the travel, bumpers and top-out of both legs included; 0.1 N of tables 1 mm apart."""
    machine = request.getfixturevalue(name)
    x = np.linspace(0, machine.travel, 301)
    assert elastic_force(x, fork_law(machine)) == pytest.approx(fork_force(machine, x, None), abs=0.1)
    gas = damping_table(machine, x, np.zeros(1), part="gas_force")[:, 0]  # as the damper's own chambers have it
    assert force_split(machine, x).gas == pytest.approx(gas, rel=1e-12)


def test_damping_tables_are_the_dampers_own(enduro):
    law, at = fork_law(enduro), np.array([0.1, 0.28])
    assert law.damping_force[10] == pytest.approx(damping_table(enduro, at, law.velocities)[0])
    assert law.stop_strokes[0] < 0.27 and law.stop_force[0] == pytest.approx(np.zeros(801))
    i = np.argmin(np.abs(law.stop_strokes - 0.28))
    assert law.stop_force[i] == pytest.approx(
        damping_table(enduro, law.stop_strokes[[i]], law.velocities, part="stop_force")[0])


def test_masses_add_up_to_the_load_on_the_front(enduro):
    v = vehicle(enduro)
    assert (v.sprung_mass + v.unsprung_mass) * STANDARD_GRAVITY == pytest.approx(front_load(enduro))
    assert ride(enduro, "hard braking").tyre_force[0] == pytest.approx(front_load(enduro))


def test_without_damper_or_with_arrays_there_is_no_ride(enduro):
    bare = dataclasses.replace(enduro, legs=tuple(dataclasses.replace(leg, damper=None) for leg in enduro.legs))
    with pytest.raises(InputError, match="no damper"):
        ride(bare, "log")
    with pytest.raises(InputError, match="one setting"):
        ride(adjusted(enduro, preload=np.array([0.002, 0.004])), "log")


def test_legs_with_bumpers_of_two_lengths_are_refused(trail):
    long = dataclasses.replace(trail.legs[0], bumper=Bumper(0.03, 10e3, 200e3))
    with pytest.raises(InputError, match="bumpers of the two legs differ in length"):
        ride(dataclasses.replace(trail, legs=(long, trail.legs[-1])), "log")


def test_turned_steps_each_leg_from_where_it_stands(trail):
    before = [setting(leg, "preload") for leg in trail.legs]
    after = [setting(leg, "preload") for leg in turned(trail, "preload", 2).legs]
    assert np.subtract(after, before) == pytest.approx([2e-3] * len(before))
    assert setting(turned(trail, "rebound", 3).legs[0], "rebound") == setting(trail.legs[0], "rebound") - 3
    with pytest.raises(InputError, match=r"not an adjuster .did you mean 'rebound'"):
        setting(trail.legs[0], "rebond")


def test_chart_is_the_slope_of_the_rides(enduro):
    """Ridden by hand, the entry of the chart comes out; a damping rod has fewer adjusters."""
    told = []
    chart = sensitivity(enduro, ["square edge", rock_garden(length=20.0)], names=("harshness", "deepest", "settling"),
                        progress=lambda *at: told.append(at))
    reach = ADJUSTERS["compression_low"].reach
    low, high = ride_all([turned(enduro, "compression_low", n) for n in (-reach, reach)], "square edge")
    by_hand = (high["harshness"] - low["harshness"]) / (2 * reach)
    assert chart.of("square edge", "compression_low", "harshness") == pytest.approx(by_hand, rel=1e-9)
    assert told == [(13, 26), (26, 26)] and chart.adjusters == charted()
    assert np.nanmax(np.abs(chart.gain())) == pytest.approx(1.0)
    rod = sensitivity(fitted(load("trail"), "damping rod"), ["square edge"], names=("deepest",))
    assert rod.adjusters == ("preload", "coil_rate", "oil_height")


def test_at_the_end_of_an_adjuster_the_slope_is_one_sided(enduro):
    shut = adjusted(enduro, rebound=0)
    change = sensitivity(shut, ["square edge"], adjusters=["rebound"], names=("settling",)).change
    out, here = ride_all([turned(shut, "rebound", -3), shut], "square edge", names=("settling",))
    assert change[0, 0, 0] == pytest.approx((here["settling"] - out["settling"]) / 3)


def test_oil_height_moves_the_bottoming_margin_and_hardly_the_sag(enduro):
    """15 mm less air, in a drop of 0.9 m: the deepest point moves four times as much as the ride height at rest."""
    less = turned(enduro, "oil_height", 3)
    rides = [ride(machine, square_edge(), drop_height=0.9) for machine in (enduro, less)]
    sag = rides[0].static_stroke - rides[1].static_stroke
    deepest = rides[0].stroke.max() - rides[1].stroke.max()
    assert 0 < sag < 0.003 and deepest > 4 * sag


def test_preload_moves_the_sag_and_hardly_the_bottoming(enduro):
    """5 mm more, in a drop that reaches the bumper."""
    rides = [ride(machine, square_edge(), drop_height=2.0) for machine in (enduro, turned(enduro, "preload", 5))]
    sag = rides[0].static_stroke - rides[1].static_stroke
    assert rides[1].stroke.max() > enduro.travel - 0.012
    assert sag > 0.003 and rides[0].stroke.max() - rides[1].stroke.max() < sag / 4


def test_rebound_closed_packs_and_open_kicks(enduro):
    """Close, quick humps for packing, a sharp edge for the kick."""
    humps = whoops(height=0.12, spacing=2.0, count=20, speed=9.0)
    heights = [o["ride_height"] for o in ride_all([adjusted(enduro, rebound=n) for n in (20, 12, 4)], humps)]
    kicks = [o["kick"] for o in ride_all([adjusted(enduro, rebound=n) for n in (20, 12, 4)], square_edge(0.12))]
    assert np.all(np.diff(heights) > 0) and np.all(np.diff(kicks) < 0)


def test_more_compression_damping_uses_less_travel_and_hits_harder_on_an_edge(enduro):
    settings = [adjusted(enduro, compression_low=n, compression_high=h) for n, h in ((20, 18), (12, 10), (3, 2))]
    found = ride_all(settings, square_edge(0.1))
    assert np.all(np.diff([o["deepest"] for o in found]) < 0)
    assert np.all(np.diff([o["harshness"] for o in found]) > 0)
