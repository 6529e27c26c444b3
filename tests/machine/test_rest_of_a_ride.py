"""A ride rests where sag says: 50 random machines, 0.3 mm."""

import numpy as np

from suspedu.machine import adjusted, front_load, load, resting_stroke
from suspedu.machine.riding import fork_law, vehicle
from suspedu.ride.vehicle import settled_stroke


def test_a_ride_rests_where_sag_says():
    dice, apart = np.random.default_rng(5), []
    for count in range(50):
        machine = adjusted(
            load(("enduro", "trail")[count % 2]), preload=dice.uniform(0, 0.02), coil_rate=dice.uniform(2.6e3, 5.6e3),
            oil_height=dice.uniform(0.09, 0.15), rider_mass=dice.uniform(55, 115), air_exponent=dice.uniform(1, 1.4),
            air_temperature=dice.uniform(273.15, 333.15), gauge_pressure=dice.uniform(0, 0.3e5))
        rest = float(resting_stroke(machine, front_load(machine)))
        apart.append(abs(settled_stroke(vehicle(machine), fork_law(machine)) - rest))
    assert max(apart) < 0.3e-3
