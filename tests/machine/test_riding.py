"""A machine on the trail: its tables say what its parts say, and riders' sense holds under the conditions stated."""

import dataclasses

import numpy as np
import pytest

from suspedu.machine import ADJUSTERS, FittedDamper, adjusted, change, load, setting, turned
from suspedu.machine.adjusters import charted
from suspedu.machine.damping import damping_table
from suspedu.machine.forces import force_split
from suspedu.machine.friction import friction_levels
from suspedu.machine.riding import METAL_TOP, fork_law, ride, ride_all, sensitivity, vehicle
from suspedu.machine.statics import front_load, riding_split
from suspedu.parts.friction import SealFriction, friction_shape
from suspedu.parts.oil import Oil
from suspedu.parts.stops import METAL_RATE, Bumper, TopOutSpring, bumper_force
from suspedu.ride.energy import energy_account
from suspedu.ride.ground import ground_over_time
from suspedu.ride.loop_tables import fork_numbers, of_ride
from suspedu.ride.simulate import simulate, start_state
from suspedu.ride.terrain import log, rock_garden, square_edge, whoops
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
    assert elastic_force(x, fork_law(machine)) == pytest.approx(riding_split(machine, x).total, abs=0.1)
    gas = damping_table(machine, x, np.zeros(1), part="gas_force")[:, 0]  # as the damper's own chambers have it
    assert force_split(machine, x).gas == pytest.approx(gas, rel=1e-12)


def test_damping_tables_are_the_dampers_own(enduro):
    """To the 5e-4 that the remembered curves of the valves promise beside a kink (`damper.quick_tables`)."""
    law, at = fork_law(enduro), np.array([0.1, 0.28])
    assert law.damping_force[10] == pytest.approx(damping_table(enduro, at, law.velocities)[0], rel=5e-4)
    assert law.stop_strokes[0] < 0.27 and law.stop_force[0] == pytest.approx(np.zeros(len(law.velocities)))
    i = np.argmin(np.abs(law.stop_strokes - 0.28))
    assert law.stop_force[i] == pytest.approx(
        damping_table(enduro, law.stop_strokes[[i]], law.velocities, part="stop_force")[0], rel=5e-4)


def test_masses_add_up_to_the_load_on_the_front(enduro):
    v = vehicle(enduro)
    assert (v.carried_mass + v.unsprung_mass) * STANDARD_GRAVITY == pytest.approx(front_load(enduro))
    assert ride(enduro, "hard braking").tyre_force[0] == pytest.approx(front_load(enduro))


def test_without_damper_or_with_arrays_there_is_no_ride(enduro):
    bare = dataclasses.replace(enduro, legs=tuple(dataclasses.replace(leg, damper=None) for leg in enduro.legs))
    with pytest.raises(InputError, match="no damper"):
        ride(bare, "log")
    with pytest.raises(InputError, match="one setting"):
        ride(adjusted(enduro, preload=np.array([0.002, 0.004])), "log")


def legs_with(machine, *changes):
    """The machine with other parts in its first and its second leg."""
    legs = tuple(dataclasses.replace(leg, **change) for leg, change in zip(machine.both_legs, changes, strict=True))
    return dataclasses.replace(machine, legs=legs)


STOPS = {
    "no bumper": ({"bumper": None}, {"bumper": None}),
    "no top-out spring": ({"top_out": None}, {"top_out": None}),
    "neither, one leg only": ({"bumper": None, "top_out": None}, {}),
    "top-out as stiff as can be": ({"top_out": TopOutSpring(300e3, 0.004)},) * 2,
    "bumper as stiff as can be": ({"bumper": Bumper(0.02, 300e3, 3000e3)},) * 2,
    "stops of two lengths": ({"bumper": Bumper(0.03, 10e3, 200e3), "top_out": TopOutSpring(50e3, 0.012)}, {}),
}


@pytest.mark.parametrize("changes", STOPS.values(), ids=STOPS.keys())
def test_legs_of_any_stops_are_ridden_and_push_as_their_laws_sum(trail, changes):
    """A drop that goes from the top-out spring to the end of the travel; its energy is accounted for."""
    machine = legs_with(trail, *changes)
    dropped = ride(machine, square_edge(), drop_height=3.2)
    account = energy_account(dropped)
    assert np.abs(account["imbalance"]).max() < 1e-3 * account["potential"].max()
    assert dropped.stroke.min() < max((leg.top_out or METAL_TOP).length for leg in machine.both_legs)
    assert dropped.stroke.max() > machine.travel - min((leg.bumper.length for leg in machine.both_legs if leg.bumper),
                                                       default=0.0)
    law, x = fork_law(machine), machine.travel - 0.002
    both = [leg.bumper for leg in machine.both_legs if leg.bumper]
    pushed = elastic_force(x, law) - elastic_force(x, dataclasses.replace(law, bumpers=()))
    assert pushed == pytest.approx(sum(bumper_force(x, machine.travel, each) for each in both), abs=1e-6)
    assert elastic_force(machine.travel + 1e-3, dataclasses.replace(law, bumpers=())) > 2 * METAL_RATE * 1e-3
    kernel_force = dropped.fork_force - law_of_velocity(dropped, law)
    assert kernel_force == pytest.approx(elastic_force(dropped.stroke, law), rel=1e-9, abs=1e-6)


def law_of_velocity(dropped, law):
    """What of a ride's fork force is not elastic: damper, end stop, friction and bumper loss along the ride."""
    from suspedu.ride import kernel_forces

    tables = fork_numbers(law, dropped.vehicle)
    return np.array([sum(kernel_forces.fork_forces(x, v, load, 0.0, tables)[1:5])
                     for x, v, load in zip(dropped.stroke, dropped.velocity, dropped.tyre_force, strict=True)])


def rubbing(machine, **values):
    """The machine with other seals."""
    return change(machine, "seals", dataclasses.replace(machine.legs[0].friction, **values))


@pytest.mark.parametrize("values", [{"slow": 0.05}, {"stiction": 4.0}, {"sliding": 20.0}])
def test_every_fact_of_the_seals_changes_a_ride(enduro, values):
    """The law one reads is the law that rides; by more than 0.1 mm of stroke."""
    usual, other = (ride(machine, "braking bumps").stroke for machine in (enduro, rubbing(enduro, **values)))
    assert np.abs(usual - other).max() > 1e-4


def test_the_loop_rides_the_law_of_the_parts(enduro):
    """Friction at every velocity, load, brake and stroke, between and past the table's columns: 1 % of its level."""
    machine = legs_with(enduro, {"friction": SealFriction(sliding=14.0, stiction=3.0, slow=0.002)},
                        {"friction": SealFriction(sliding=20.0, stiction=1.2, slow=0.01, pressure_rise=5e-5)})
    from suspedu.ride import kernel_forces

    rubs = fork_numbers(fork_law(machine), vehicle(machine)).rubs
    velocities = np.concatenate([-np.geomspace(8.0, 1e-5, 301), [0.0], np.geomspace(1e-5, 8.0, 301)])
    for stroke, push, braking in ((0.0, 0.0, 0.0), (0.06, 880.0, 0.0), (0.15, 1500.0, 900.0), (0.28, 6000.0, 0.0)):
        ridden = np.array([kernel_forces.rubbed(stroke, v, push, braking, rubs)[0] for v in velocities])
        levels = friction_levels(machine, stroke, push, braking, exponent=None)
        wanted = sum(level * friction_shape(velocities, leg.friction)
                     for level, leg in zip(levels, machine.both_legs, strict=True))
        assert ridden == pytest.approx(wanted, abs=0.01 * sum(levels))


def test_each_leg_bears_its_own_load(enduro):
    """The brake's couple bends the caliper's leg only; a load of the ground bends both alike."""
    from suspedu.ride import kernel_forces

    first, second = fork_numbers(fork_law(enduro), vehicle(enduro)).rubs
    assert kernel_forces.level(0.06, 900.0, 0.0, first) == pytest.approx(kernel_forces.level(0.06, 900.0, 0.0, second))
    assert kernel_forces.level(0.06, 900.0, 900.0, first) > 1.2 * kernel_forces.level(0.06, 900.0, 900.0, second)


CORNERS = [{"sliding": sliding, "stiction": stiction, "slow": slow} for slow in (1e-4, 0.05)
           for sliding, stiction in ((0.0, 1.0), (60.0, 5.0), (200.0, 1.0), (200.0, 1.5))]


@pytest.mark.parametrize("corner", CORNERS, ids=str)
def test_rides_are_stable_and_account_for_their_energy_at_the_corners_of_the_seals(enduro, corner):
    """Steepest and softest friction there is: the steps fall in parts where it sticks, and nothing is lost."""
    machine = rubbing(enduro, **corner)
    ridden = ride(machine, square_edge(length=16.0))
    account = energy_account(ridden)
    turned_over = sum(account[f"{part}, dissipated"][-1] for part in ("damper", "friction", "tyre"))
    assert np.abs(account["imbalance"]).max() < 2e-3 * turned_over
    still = np.abs(ridden.velocity) < 0.1 * corner["slow"]
    assert np.abs(np.diff(ridden.velocity)).max() < 1.5 and (corner["sliding"] < 1.0 or still.any())


@pytest.mark.parametrize("values, parts", [({}, 1), ({"sliding": 90.0, "stiction": 1.4}, 2), ({"slow": 1e-4}, 10)])
def test_steps_fall_in_no_more_parts_than_the_friction_asks_for(enduro, values, parts):
    """Level times stiction / slow over the masses, times step, in parts of 2.5: by hand from the slope at rest."""
    from suspedu.ride import kernel

    machine = rubbing(enduro, **values)
    front, seals, law = vehicle(machine), machine.legs[0].friction, fork_law(machine)
    _, pace, bike, numbers = of_ride(ground_over_time(square_edge(), 10.0, 0.345, 0.11, 5e-4), front, law)
    still = start_state(front, law)[:6]
    rate = kernel.rates(tuple(still), (0.0, 0.0, 0.0), bike, numbers)
    level = sum(friction_levels(machine, rate[18], front_load(machine), 0.0, exponent=None))
    asked = level * seals.stiction / seals.slow / np.cos(front.rake) ** 2 * 5e-4 / 2.5
    asked *= 1 / front.sprung_mass + 1 / front.unsprung_mass
    found = kernel.parts_of(tuple(still), rate, pace)
    assert found == pytest.approx(np.ceil(asked), abs=1) and found >= parts and (parts > 1 or found == 1)


def test_halving_the_step_hardly_moves_a_ride_with_sticking_seals(enduro):
    """Chatter would not shrink with the step: a tenth of a millimetre of stroke."""
    machine = rubbing(enduro, sliding=90.0, stiction=1.4, slow=0.0005)
    coarse, fine = (simulate(vehicle(machine), fork_law(machine), square_edge(), step=step) for step in (5e-4, 2.5e-4))
    assert np.abs(coarse.stroke - fine.stroke[::2][:len(coarse.stroke)]).max() < 1e-4


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
    rides = [ride(machine, square_edge(), drop_height=3.5) for machine in (enduro, turned(enduro, "preload", 5))]
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


def test_cold_oil_makes_the_steps_fall_in_parts_and_they_agree_with_far_smaller_ones(enduro):
    """At -20 degC, one click out, the damper's slope at standstill is past what one step can bear: 0.05 mm."""
    cold = adjusted(enduro, compression_low=1, compression_high=1, rebound=1, oil_temperature=253.15)
    coarse, fine = (simulate(vehicle(cold), fork_law(cold), log(length=10.0), step=step) for step in (5e-4, 1.25e-4))
    assert np.abs(coarse.stroke - fine.stroke[::4][:len(coarse.stroke)]).max() < 5e-5
    paces = [of_ride(coarse.ground, vehicle(each), fork_law(each))[1] for each in (enduro, cold)]
    assert paces[0].thick < 0.5 and paces[1].thick > 1.0
