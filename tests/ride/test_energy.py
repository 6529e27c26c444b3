"""Energy is accounted for: kinetic + potential + stored + dissipated - put in stays what it was."""

import numpy as np
import pytest

from suspedu.ride.energy import energy_account, spring_energy
from suspedu.ride.simulate import simulate
from suspedu.ride.terrain import TERRAINS, flat
from suspedu.units import STANDARD_GRAVITY

STOP = np.linspace(0.25, 0.3, 11)


@pytest.fixture
def stopped_fork(school_fork):
    """With a hydraulic stop that grows over its zone."""
    fork = school_fork()
    force = np.linspace(0, 1, 11)[:, None] * np.where(fork.velocities > 0, 400 * fork.velocities**2, 0.0)[None, :]
    return school_fork(stop_strokes=STOP, stop_force=force)


@pytest.mark.parametrize("height", [0.1, 0.5, 1.0])
def test_drop_test_closes_to_a_thousandth(vehicle, stopped_fork, height):
    """From rest in the air to rest on the ground: the energy of the fall is stored or turned to heat."""
    ride = simulate(vehicle, stopped_fork, flat(30.0), drop_height=height)
    account = energy_account(ride)
    fallen = account["potential"][0] - account["potential"][-1]
    assert fallen > 95.0 * STANDARD_GRAVITY * height
    assert np.abs(account["imbalance"]).max() < 1e-3 * fallen
    heat = sum(account[f"{part}, dissipated"][-1] for part in ("damper", "end stop", "friction", "tyre"))
    gained = sum(series[-1] - series[0] for name, series in account.items() if name.endswith("stored"))
    assert heat + gained + account["kinetic"][-1] == pytest.approx(fallen, rel=1e-3)


def test_end_stop_takes_its_share_in_a_big_drop(vehicle, stopped_fork):
    account = energy_account(simulate(vehicle, stopped_fork, flat(30.0), drop_height=1.5))
    assert account["end stop, dissipated"][-1] > 20.0  # J of some 1500
    assert np.all(np.diff(account["end stop, dissipated"]) >= 0)


@pytest.mark.parametrize("name", TERRAINS)
def test_every_terrain_closes_to_a_thousandth(vehicle, stopped_fork, name):
    account = energy_account(simulate(vehicle, stopped_fork, TERRAINS[name]()))
    turned_over = max(sum(account[f"{part}, dissipated"][-1] for part in ("damper", "friction", "tyre")), 1.0)
    assert np.abs(account["imbalance"]).max() < 1e-3 * turned_over


def test_a_forgotten_element_is_seen(vehicle, school_fork):
    """Wrong on purpose: without the tyre's heat the account of a drop does not close."""
    account = energy_account(simulate(vehicle, school_fork(), flat(30.0), drop_height=0.5))
    assert np.abs(account["imbalance"] - account["tyre, dissipated"]).max() > 1e-3 * account["potential"][0]


def test_spring_energy_is_half_k_x_squared(linear_fork):
    assert spring_energy(np.array([0.0, 0.1, 0.35]), linear_fork(9000.0)) == pytest.approx(
        4500 * np.array([0.0, 0.1, 0.35]) ** 2)
