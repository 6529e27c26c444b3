"""The end stop: nothing outside its zone, work inside it, an easy way back, and how small the refill may get."""

import dataclasses

import numpy as np
import pytest
from scipy.integrate import quad

from suspedu.damper import leg_force
from suspedu.damper.end_stop import engagement, refill_limit, refill_share, stop_drops, stop_force, stop_work
from suspedu.parts.oil import vapour_pressure
from suspedu.units import InputError

SPEEDS = np.linspace(0.05, 4.0, 80)  # rebound speeds that a ride reaches


@pytest.fixture(scope="module")
def stop(closed):
    return closed.end_stop


@pytest.fixture(scope="module")
def ring(closed):
    return closed.piston_area - closed.displaced_area


def test_nothing_before_the_zone_and_all_of_it_behind_the_taper(stop):
    strokes = np.array([0.0, stop.start, stop.start + stop.entry / 2, stop.start + stop.entry, stop.full_stroke])
    np.testing.assert_allclose(engagement(strokes, stop), [0, 0, 0.5, 1, 1], atol=1e-12)
    fine = engagement(np.linspace(stop.start, stop.start + stop.entry, 1001), stop)
    assert np.all(np.diff(fine) > 0) and np.max(np.diff(fine)) < 2e-3  # blended: no step


def test_force_is_pressure_times_ring_area(stop, fluid):
    pressing, sucking = stop_drops(np.array([1.0, -1.0]), stop, fluid)
    force, cup = stop_force(stop.full_stroke, np.array([1.0, -1.0]), 5e5, stop, fluid)
    assert pressing[1] == sucking[0] == 0
    np.testing.assert_allclose(force, [pressing[0] * stop.area, -sucking[1] * stop.area], rtol=1e-9)
    np.testing.assert_allclose(cup, [5e5 + pressing[0], 5e5 - sucking[1]])


def test_flow_balance_of_the_cup(stop, fluid):
    from suspedu.damper.valves import flow
    pressing, _ = stop_drops(2.0, stop, fluid)
    assert flow(pressing, stop.valve, fluid) / (stop.area * 2.0) == pytest.approx(1, rel=1e-9)


def test_work_is_the_force_over_the_zone(stop, fluid):
    whole, _ = quad(lambda x: float(stop_force(x, 1.5, 5e5, stop, fluid)[0]), stop.start, stop.full_stroke,
                    points=[stop.start + stop.entry])
    assert float(stop_work(1.5, stop, fluid)) == pytest.approx(whole, rel=1e-6)
    assert 10 < whole < 100  # J: of the order of a falling rider's centimetres, not of nothing


def test_small_bumps_feel_nothing(closed, oil):
    """A stop costs nothing before its zone; with and without it the leg is the same there (common practice)."""
    bare = dataclasses.replace(closed, end_stop=None)
    strokes = np.linspace(0, closed.end_stop.start, 20)[:, None]
    speeds = np.linspace(-2, 2, 21)
    assert np.array_equal(leg_force(strokes, speeds, closed, oil).force, leg_force(strokes, speeds, bare, oil).force)


def test_rebound_share_stays_under_five_per_cent(closed, stop, ring, fluid):
    """Under 5 % of the rebound valve's force (guess of the course), at every speed that a ride reaches."""
    share = refill_share(stop, SPEEDS, closed.rebound, ring, fluid)
    assert np.all(share < 0.05) and np.all(share > 0)


def test_refill_limit_is_where_it_binds(closed, stop, ring, oil, fluid):
    outside = leg_force(stop.full_stroke, -SPEEDS, dataclasses.replace(closed, end_stop=None), oil).compression_chamber
    limit, reason = refill_limit(stop, SPEEDS, closed.rebound, ring, fluid, base_pressure=outside)
    assert reason == "cavitation" and 1e-3 < limit < stop.refill.diameter
    for diameter, torn in ((0.99 * limit, True), (1.01 * limit, False)):
        tried = dataclasses.replace(stop, refill=dataclasses.replace(stop.refill, diameter=diameter))
        cup = outside - stop_drops(-SPEEDS, tried, fluid)[1]
        assert bool(np.any(cup < fluid.vapour_pressure)) is torn
    slow = SPEEDS[SPEEDS < 1.0]  # with enough pressure behind the cup the force binds instead
    limit, reason = refill_limit(stop, slow, closed.rebound, ring, fluid, base_pressure=50e5)
    tried = dataclasses.replace(stop, refill=dataclasses.replace(stop.refill, diameter=limit))
    assert reason == "force"
    assert np.max(refill_share(tried, slow, closed.rebound, ring, fluid)) == pytest.approx(0.05, rel=1e-4)


def test_a_starved_cup_is_flagged_and_capped(closed, oil):
    tiny = dataclasses.replace(closed.end_stop, refill=dataclasses.replace(closed.end_stop.refill, diameter=0.5e-3))
    leg = leg_force(0.3, -np.array([0.1, 1.0, 4.0]), dataclasses.replace(closed, end_stop=tiny), oil)
    assert leg.cavitating[-1] and leg.cup[-1] == pytest.approx(vapour_pressure(313.15))
    assert np.all(-leg.stop_force <= leg.compression_chamber * tiny.area)


def test_slips_get_a_sentence(stop):
    for changes, words in (({"pin": 20e-3}, "pin in the cup is 20 mm; it must be smaller than 20 mm"),
                           ({"entry": 55e-3}, "entry taper is 55 mm"), ({"zone": 0.2}, "end of the stroke|end stop"),
                           ({"refill_in": "wall"}, "sit in one of: ring, floor")):
        with pytest.raises(InputError, match=words):
            dataclasses.replace(stop, **changes)


def test_no_hole_is_large_enough_for_a_huge_cup(stop, closed, ring, fluid):
    with pytest.raises(InputError, match="even seven holes of 6 mm"):
        refill_limit(dataclasses.replace(stop, cup_bore=45e-3), np.array([4.0]), closed.rebound, ring, fluid,
                     base_pressure=1e5)
