"""Rows of whoops: a slow rebound packs."""

import pytest

from suspedu.ride.outcomes import outcomes
from suspedu.school import ROWS, TALL, left_over, over_whoops, set_machine
from suspedu.school.loop import ridden, usual_speed
from suspedu.school.noticed import noticed
from suspedu.school.packing import CLICKS, comes_back_to, over_clicks, whoop_row


@pytest.mark.parametrize("row", ROWS)
def test_slow_rebound_packs_on_every_row_of_whoops(row):
    """The fork comes back less between blows and works deeper: by twice what is noticed of a height, and more.

    Tall whoops are 5 m apart and met hump by hump, so even a slow fork has 0.7 s to come back.
    """
    slow, quick = (over_whoops(row, clicks, 4.0) for clicks in (1, 20))
    assert left_over(slow)[1:].mean() > left_over(quick)[1:].mean() + 2 * noticed("ride_height", 0.07)
    assert outcomes(slow, ["ride_height"])["ride_height"] > outcomes(quick, ["ride_height"])["ride_height"] + 0.01


def test_the_average_leaves_the_first_hump_out_and_the_table_is_read_from_rides():
    done = over_whoops("short", 10, 4.0)
    assert comes_back_to(done) == pytest.approx(left_over(done)[1:].mean())
    hits = over_clicks("short", "harshness")
    assert list(hits.x) == list(CLICKS)
    assert hits.at(10) == pytest.approx(outcomes(done, ["harshness"])["harshness"], rel=1e-12)


@pytest.mark.parametrize(("row", "ground"), [("tall", TALL), ("round", "whoops")])
def test_a_row_that_the_loop_has_too_is_the_same_ride_with_the_same_time_in_the_air(row, ground):
    one, other = over_whoops(row, 24, 4.0), ridden(set_machine("enduro", rebound=24), ground, usual_speed(ground))
    assert outcomes(one) == pytest.approx(outcomes(other), nan_ok=True)


@pytest.mark.parametrize("row", ROWS)
def test_a_row_is_as_high_as_it_says(row):
    assert whoop_row(row).statistics["highest"] == pytest.approx(ROWS[row].height, rel=1e-3)
