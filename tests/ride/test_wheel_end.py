"""A linkage in place of the rake: balance by virtual work, rides that account for their energy, smooth tables."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.integrate import quad

from suspedu.parts.wheel_end import STEP, TelescopicFork, ratio_slope
from suspedu.ride.energy import energy_account
from suspedu.ride.loop_tables import way_numbers
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import TERRAINS, flat
from suspedu.ride.vehicle import settled_stroke
from suspedu.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class Linkage:
    """Three millimetres of wheel for one of stroke, falling to two: a shock that gets harder to move."""

    start: float = 3.0
    fall: float = 1.0 / 0.3
    path_slope: float = 0.2

    def wheel_travel(self, stroke):
        return self.start * stroke - self.fall * stroke**2 / 2

    def motion_ratio(self, stroke):
        return self.start - self.fall * np.asarray(stroke)


@pytest.fixture
def linked(vehicle):
    return replace(vehicle, linkage=Linkage())


@pytest.fixture
def shock(school_fork):
    """A unit stiff enough for a wheel of three times its stroke."""
    fork = school_fork()
    return replace(fork, spring_force=8.0 * fork.spring_force, damping_force=8.0 * fork.damping_force)


def test_a_telescopic_fork_is_the_rake(vehicle, fork):
    told = replace(vehicle, linkage=TelescopicFork(vehicle.rake))
    assert told.brake_jacking == vehicle.brake_jacking
    assert np.array_equal(simulate(told, fork, TERRAINS["log"]()).record,
                          simulate(vehicle, fork, TERRAINS["log"]()).record)


@pytest.mark.parametrize("end", [TelescopicFork(0.46), Linkage()])
def test_motion_ratio_is_the_slope_of_the_wheel_s_way(end):
    x = np.linspace(0.01, 0.29, 15)
    slope = (end.wheel_travel(x + STEP) - end.wheel_travel(x - STEP)) / (2 * STEP)
    assert np.broadcast_to(end.motion_ratio(x), x.shape) == pytest.approx(slope, rel=1e-9)
    assert ratio_slope(0.1, Linkage()) == pytest.approx(-1.0 / 0.3, rel=1e-9)


def test_the_table_turns_wheel_travel_back_into_stroke(linked):
    from suspedu.ride import kernel_lookup

    way, end = way_numbers(linked, 0.3), Linkage()
    for x in np.linspace(0.0, 0.3, 37):
        stroke, slope = kernel_lookup.stroke_and_slope(way, float(end.wheel_travel(x)))
        assert stroke == pytest.approx(x, abs=1e-7) and slope == pytest.approx(1 / end.motion_ratio(x), rel=1e-5)
    outside, _ = kernel_lookup.stroke_and_slope(way, -0.003)
    assert outside == pytest.approx(-0.001, rel=1e-6)


def test_slope_is_the_slope_of_the_stroke_everywhere(linked):
    """Or a ride would make or lose energy: the integral of one is the other, to rounding."""
    from suspedu.ride import kernel_lookup

    way = way_numbers(linked, 0.3, cells=20)
    for low, high in ((0.0, 0.1), (0.123, 0.4), (0.6, 0.9)):
        whole, _ = quad(lambda z: kernel_lookup.stroke_and_slope(way, z)[1], low, high, epsabs=1e-12, limit=200)
        ends = [kernel_lookup.stroke_and_slope(way, z)[0] for z in (low, high)]
        assert ends[1] - ends[0] == pytest.approx(whole, abs=1e-10)


def test_rest_is_balance_by_virtual_work(linked, shock):
    """Load times the wheel's rise is force times stroke, about the stroke at rest; and there it stays."""
    x, end = settled_stroke(linked, shock), Linkage()
    ride = simulate(linked, shock, flat())
    rise = end.wheel_travel(x + 1e-5) - end.wheel_travel(x - 1e-5)
    assert ride.fork_force[0] * 2e-5 == pytest.approx(80.0 * STANDARD_GRAVITY * rise, rel=1e-4)
    assert 0.02 < x < 0.2 and np.ptp(ride.stroke) < 1e-6


@pytest.mark.parametrize("name", TERRAINS)
def test_every_terrain_closes_to_a_thousandth(linked, shock, name):
    ride = simulate(linked, shock, TERRAINS[name]())
    account = energy_account(ride)
    turned_over = max(sum(account[f"{part}, dissipated"][-1] for part in ("damper", "friction", "tyre")), 1.0)
    assert np.abs(account["imbalance"]).max() < 1e-3 * turned_over
    wheel = Linkage().wheel_travel(ride.stroke)
    inside = (ride.stroke > 0.0) & (ride.stroke < 0.3)
    assert (ride.wheel_height - ride.sprung_height)[inside] == pytest.approx(wheel[inside], abs=1e-6)


def test_a_constant_ratio_in_place_of_a_falling_one_is_seen(vehicle, linked, shock):
    """Wrong on purpose: the ratio at rest for the whole stroke rides elsewhere."""
    flat_ratio = Linkage(start=float(Linkage().motion_ratio(settled_stroke(linked, shock))), fall=0.0)
    straight = simulate(replace(vehicle, linkage=flat_ratio), shock, TERRAINS["dip"]())
    assert np.abs(simulate(linked, shock, TERRAINS["dip"]()).stroke - straight.stroke).max() > 2e-3
