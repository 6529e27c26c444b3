"""A machine whose wheel and legs are joined by a linkage: rest by virtual work, rides and let-go that close."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from suspedu.machine import fork_load, fork_rate, front_load, load, resting_stroke, ride, rider_sag, sag_per_preload
from suspedu.machine.changing import adjusted
from suspedu.machine.coming_back import carried_mass, let_go, rest_load, rest_stroke, spring_of
from suspedu.machine.forces import fork_force
from suspedu.machine.friction import fork_friction
from suspedu.ride.energy import energy_account


@dataclass(frozen=True)
class Rising:
    """A wheel that rises less and less for each millimetre of stroke, so the wheel meets an ever stiffer spring."""

    start: float = 1.1
    fall: float = 1.2
    path_slope: float = 0.3

    def wheel_travel(self, stroke):
        return self.start * stroke - self.fall * stroke**2 / 2

    def motion_ratio(self, stroke):
        return self.start - self.fall * np.asarray(stroke)


@pytest.fixture(scope="module")
def linked():
    return replace(load("enduro"), linkage=Rising())


def test_rest_is_the_least_energy(linked):
    """Virtual work: about the stroke at rest a small movement costs the springs what the load gives."""
    ground = front_load(linked)
    x, step = float(resting_stroke(linked, ground)), 1e-5
    hanging = linked.chassis.unsprung_mass * 9.80665
    rise = Rising().wheel_travel(x + step) - Rising().wheel_travel(x - step)
    assert float(fork_force(linked, x)) * 2 * step == pytest.approx((ground - hanging) * rise, rel=1e-8)
    assert rider_sag(linked) > 1.1 * rider_sag(load("enduro"))  # more wheel per stroke: the load has more leverage


def test_sag_per_preload_is_the_slope_of_the_sag(linked):
    step = 1e-6
    sags = rider_sag(adjusted(linked, preload=0.008 + np.array([-step, step])))
    assert np.diff(sags)[0] / (2 * step) == pytest.approx(sag_per_preload(adjusted(linked, preload=0.008)), rel=1e-6)
    x = resting_stroke(linked, front_load(linked))
    assert float(fork_rate(linked, x)) > 0.0 and fork_load(linked, 900.0, 0.2) < fork_load(linked, 900.0, 0.0)


def test_a_ride_accounts_for_its_energy(linked):
    ridden = ride(linked, "braking bumps")
    account = energy_account(ridden)
    turned_over = sum(account[f"{part}, dissipated"][-1] for part in ("damper", "friction", "tyre"))
    assert np.abs(account["imbalance"]).max() < 1e-3 * turned_over
    assert ridden.fork_force[0] == pytest.approx(rest_load(linked), rel=1e-3)


def test_let_go_loses_what_damping_and_friction_take(linked):
    """m r^2 x'^2 / 2 + springs - load: its loss is the work of damper and friction, the changing ratio included."""
    from suspedu.machine.coming_back import SPEEDS, damping_of

    motion = let_go(0.2, linked, True)
    x, v = motion.stroke, motion.velocity
    force = np.interp(v, SPEEDS, damping_of(linked)) + fork_friction(linked, v, x, front_load(linked))
    heat = np.trapezoid(force * v, motion.time)
    grid, spring = spring_of(linked)
    below = np.linspace(x[-1], x[0], 4001)
    given = np.trapezoid(np.interp(below, grid, spring) - fork_load(linked, front_load(linked), below), below)
    mass = carried_mass(linked, True) / Rising().motion_ratio(rest_stroke(linked)) ** 2
    left = 0.5 * mass * (Rising().motion_ratio(x[-1]) * v[-1]) ** 2
    assert heat == pytest.approx(given - left, rel=0.01)  # 151 points by the trapezoid rule


def test_a_constant_ratio_is_the_rake():
    """cos(rake) written as a linkage: the same machine, but for bushings, whose side load links would take."""
    bike = load("enduro")
    bike = replace(bike, legs=tuple(replace(leg, bushings=None) for leg in bike.legs))
    same = replace(bike, linkage=Rising(float(np.cos(bike.chassis.rake)), 0.0, float(np.tan(bike.chassis.rake))))
    assert rider_sag(same) == pytest.approx(rider_sag(bike), rel=1e-12)
    assert let_go(0.2, same, False).stroke == pytest.approx(let_go(0.2, bike, False).stroke, abs=1e-7)
