"""Explain this point: whatever is shown sums to what was asked about; and the walk through one stroke."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.changes import changed
from suspedu.damper import breakdown_table, explained, leg_force, opening_speeds, stock_damper
from suspedu.damper.explain import breakdown_rows
from suspedu.damper.stroke_walk import stroke_history, stroke_walk
from suspedu.parts.oil import Oil
from suspedu.units import InputError

OIL = Oil(15e-6, 3.5e-6)
DAMPERS = {name: stock_damper(name) for name in ("closed cartridge", "open cartridge", "damping rod")}


@settings(max_examples=50)
@given(name=st.sampled_from(sorted(DAMPERS)), stroke=st.floats(0, 0.3), velocity=st.floats(-6, 6))
def test_parts_sum_to_the_whole(name, stroke, velocity):
    damper = DAMPERS[name]
    point = explained(stroke, velocity, damper, OIL)
    assert sum(point.parts.values()) == pytest.approx(point.leg.force, rel=1e-12, abs=1e-9)
    assert point.leg.force == leg_force(stroke, velocity, damper, OIL).force
    for key in ("base", "mid") if velocity > 0 else ("rebound", "refill"):
        valve = point.valves[key]
        assert sum(path.flow for path in valve.paths.values()) == pytest.approx(valve.flow, rel=1e-12)
    carried = point.valves["base"].flow - point.valves["refill"].flow
    assert carried == pytest.approx(point.leg.base_flow, rel=1e-7, abs=1e-12)  # pressures, taken apart again
    through = point.valves["mid"].flow - point.valves["rebound"].flow
    assert through == pytest.approx(point.leg.piston_flow, rel=1e-7, abs=1e-12)


def test_only_the_valves_of_that_way_are_in_the_table():
    rows = breakdown_rows(explained(0.1, 0.5, DAMPERS["closed cartridge"], OIL))
    assert {row["valve"] for row in rows} == {"base valve", "mid-valve"}
    rows = breakdown_rows(explained(0.29, -0.5, DAMPERS["closed cartridge"], OIL))
    assert {row["valve"] for row in rows} == {"rebound valve", "base refill", "end-stop refill"}
    assert all(0 <= row["share"] <= 1 and row["reynolds"] >= 0 for row in rows)


def test_table_says_open_and_shut_and_the_sum():
    slow = breakdown_table(explained(0.1, 0.03, DAMPERS["closed cartridge"], OIL))
    assert "| base valve | low-speed | shut | 0.00 |" in slow and "| base valve | needle | open |" in slow
    fast = breakdown_table(explained(0.28, 1.5, DAMPERS["closed cartridge"], OIL))
    assert "shut" not in fast and "end stop" in fast and "Margin to cavitation" in fast
    force = float(explained(0.28, 1.5, DAMPERS["closed cartridge"], OIL).leg.force)
    assert f"Force {force:.1f} N = gas" in fast


def test_opening_speed_is_where_the_path_opens():
    """The account of openings against the states of the paths just below and above each speed."""
    closed = DAMPERS["closed cartridge"]
    speeds = dict(opening_speeds(closed, OIL))
    opened = (("base valve: low-speed stack", "base", "low-speed"), ("mid-valve: mid float", "mid", "mid"),
              ("base valve: high-speed stack", "base", "high-speed"))
    for what, valve, path in opened:
        near = explained(0.15, speeds[what] * np.array([0.999, 1.001]), closed, OIL).valves[valve].paths[path]
        assert near.open.tolist() == [False, True]
    rebound = dict(opening_speeds(closed, OIL, way="rebound"))
    near = explained(0.15, -rebound["rebound valve: rebound stack"] * np.array([0.999, 1.001]), closed, OIL)
    assert near.valves["rebound"].paths["rebound"].open.tolist() == [False, True]


def test_adjusters_move_the_openings():
    closed = DAMPERS["closed cartridge"]
    turned = [changed(closed, "base.ports.adjuster.clicks", c) for c in (0, 10, 20)]
    speed = [dict(opening_speeds(each, OIL))["base valve: high-speed stack"] for each in turned]
    assert speed[0] > speed[1] > speed[2]


@pytest.mark.parametrize("name", sorted(DAMPERS))
def test_walk_closes_and_counts_its_energy(name):
    time, stroke, velocity = stroke_history(0.28, 3.0, 1.5, points=801)
    walk = stroke_walk(time, stroke, velocity, DAMPERS[name], OIL)
    assert stroke[0] == 0 and stroke[-1] == pytest.approx(0, abs=1e-12) and stroke.max() == pytest.approx(0.28)
    np.testing.assert_allclose(np.gradient(stroke, time)[1:-1], velocity[1:-1], atol=0.02)  # one history, not two
    assert np.all(np.diff(walk.energy) >= 0)
    leg = walk.explanation.leg
    force = leg.force - leg.gas_force
    assert walk.energy[-1] == pytest.approx(np.trapezoid(force, stroke), rel=2e-3)  # work over time = work over stroke
    assert walk.explanation.valves["base"].paths["leak"].flow.shape == time.shape


def test_walk_shows_the_order_of_opening():
    walk = stroke_walk(*stroke_history(0.2, 2.0, 1.0, points=2001), DAMPERS["closed cartridge"], OIL)
    way_in = walk.velocity[:1001]
    first = [way_in[np.argmax(walk.explanation.valves[valve].paths[path].open[:1001])]
             for valve, path in (("base", "low-speed"), ("mid", "mid"), ("base", "high-speed"))]
    assert first[0] < first[1] < first[2]


def test_slips_get_a_sentence():
    with pytest.raises(InputError, match="peak rebound speed is 0 m/s"):
        stroke_history(0.2, 1.0, 0.0)
    with pytest.raises(InputError, match="time must rise"):
        stroke_walk([0, 0], [0, 0], [0, 0], DAMPERS["damping rod"], OIL)
