"""What holds "at every speed the ride reaches", at the speeds that rides do reach: refill of the stop, whole oil.

The crash is left out where the oil shall hold together: no damper is made for it.
"""

import numpy as np
import pytest

from suspedu.damper.end_stop import refill_share
from suspedu.damper.explain import opening_speeds
from suspedu.damper.fluid import fluid_at
from suspedu.machine import adjusted, load
from suspedu.machine.damping import damped_leg
from suspedu.machine.riding import ride
from suspedu.ride.terrain import TERRAINS, flat

CLICKS = (0, 12, 24)  # of rebound: shut, as set, wide open


@pytest.fixture(scope="module")
def rides():
    """The school's enduro machine over every terrain, and dropped from 2 m onto flat ground, at each rebound click."""
    machines = {clicks: adjusted(load("enduro"), rebound=clicks) for clicks in CLICKS}
    found = {(name, clicks): ride(machine, name) for name in TERRAINS for clicks, machine in machines.items()}
    return found | {("drop", clicks): ride(machine, flat(), drop_height=2.0) for clicks, machine in machines.items()}


def fastest_rebound(found, clicks):
    return max(-r.velocity.min() for (_, own), r in found.items() if own == clicks)


def test_speeds_that_rides_reach(rides):
    """All stay below the 4 m/s of `tests/damper/test_end_stop.py`, and a drop comes back from inside the stop.

    With open rebound 2 m/s are possible (a target of the school's legs); shut, the fork returns slower.
    """
    fastest = [fastest_rebound(rides, clicks) for clicks in CLICKS]
    assert np.all(np.diff(fastest) > 0) and 2.0 < fastest[-1] < 4.0
    start = load("enduro").legs[0].damper.unit.end_stop.start
    inside = rides["drop", 12].stroke > start
    assert inside.any() and -rides["drop", 12].velocity[inside].min() > 1.0


@pytest.mark.parametrize("clicks", CLICKS)
@pytest.mark.parametrize("celsius", [-10, 40, 80])
def test_stop_lets_go_at_every_speed_of_the_ride(rides, clicks, celsius):
    """Under 5 % of the rebound valve's force (guess of the course), shut or open, cold or hot."""
    leg = adjusted(load("enduro"), rebound=clicks).legs[0].damper
    damper, fluid = leg.unit, fluid_at(273.15 + celsius, leg.oil, leg.unit.air_fraction)
    ring = damper.piston_area - damper.displaced_area
    reached = fastest_rebound(rides, clicks)
    share = refill_share(damper.end_stop, np.geomspace(1e-3, reached, 80), damper.rebound, ring, fluid)
    assert np.all((share > 0) & (share < 0.05))


def test_standard_setting_keeps_its_oil_whole_on_every_terrain(rides):
    """At the strokes and velocities of the ride itself, not on a grid: no chamber comes near the vapour pressure."""
    leg = load("enduro").legs[0]
    for name in (name for name in TERRAINS if name != "crash"):
        r = rides[name, 12]
        state = damped_leg(leg, np.clip(r.stroke, 0, leg.travel), r.velocity)
        assert not state.cavitating.any() and state.margin.min() > 0.5e5, name


def test_every_opening_is_reached_on_the_trail(rides):
    """The machine's own leg opens in the trade's order (common practice), and a ride over rocks goes past them all."""
    leg = load("enduro").legs[0].damper
    found = [item for item in opening_speeds(leg.unit, leg.oil, leg.oil_temperature)
             if item[0].rpartition(" ")[2] in ("needle", "stack", "float")]
    assert [what for what, _ in found] == ["base valve: needle", "base valve: low-speed stack", "mid-valve: mid float",
                                           "mid-valve: mid stack", "base valve: high-speed stack"]
    assert found[-1][1] < rides["rock garden", 12].velocity.max()
