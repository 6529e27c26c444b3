"""The curve of settings that no other beats, and the chart of adjusters."""

from itertools import pairwise

import pytest

from suspedu.machine import ride
from suspedu.ride import outcomes
from suspedu.school import (
    COMPLAINTS,
    LOOP,
    calmest,
    chart,
    felt,
    first_choice,
    gains,
    loop_ground,
    minutes,
    school_machine,
    unbeaten,
)
from suspedu.school.jobs import HALVES, at_half
from suspedu.school.trade_off import shake_and_throw


def test_no_setting_of_the_curve_beats_another_and_a_tighter_limit_costs_calm():
    rows = [(found["comfort"], found["kick"]) for _, found in unbeaten()]
    assert len(rows) > 5 and all(a[0] < b[0] and a[1] > b[1] for a, b in pairwise(rows))
    loose, tight = rows[0][1], rows[len(rows) // 2][1]  # limits that the ends of the curve allow
    (_, easy), (setting, strict) = calmest(loose), calmest(tight)
    assert strict["kick"] <= tight < easy["kick"] <= loose and strict["comfort"] > easy["comfort"]
    assert shake_and_throw([setting])[0] == pytest.approx(strict)


def test_gains_are_counted_in_times_of_what_is_noticed_and_missing_adjusters_count_nothing():
    table, wrong = chart("trail"), COMPLAINTS["bottoms"]
    found, times = gains(table, wrong), felt(table, wrong)
    assert set(times) == set(HALVES) and times["compression_high"] == 0.0 and "compression_high" not in found
    assert times["coil_rate"] == pytest.approx(found["coil_rate"] / 0.005)  # 5 mm of travel left are noticed


def test_the_chart_is_what_rides_at_both_ends_of_a_half_say():
    table, wrong = chart("enduro"), COMPLAINTS["blows-through"]
    ends = [outcomes(ride(machine, loop_ground("dip")), ["deepest"])["deepest"]
            for machine in at_half(school_machine(), "preload")]
    assert gains(table, wrong)["preload"] == pytest.approx(ends[0] - ends[1], abs=1e-12)


def test_work_is_counted_in_minutes_of_whoever_does_it():
    assert minutes("rebound") < minutes("oil_height") < minutes("coil_rate")


@pytest.mark.parametrize("name", COMPLAINTS)
def test_the_first_choice_is_the_strongest_and_its_price_is_told_of_another_outcome(name):
    found = first_choice("enduro", name)
    assert found.asked and found.ground == COMPLAINTS[name].ground
    assert abs(found.felt[found.first]) == max(map(abs, found.felt.values()))
    assert found.way * found.gains[found.first] > 0  # the way that is advised is one for the better
    rates = {each: abs(times) / minutes(each) for each, times in found.felt.items()}
    assert rates[found.quickest] == max(rates.values())
    if found.price:
        worst, much = found.price
        others = {each: size for each, size in found.elsewhere.items()
                  if COMPLAINTS[each].outcome != COMPLAINTS[name].outcome}
        assert worst in others and much == pytest.approx(-min(others.values())) and much >= 1.0


def test_a_ground_that_does_not_ask_gives_no_answer():
    assert not first_choice("enduro", "dives", "log").asked
    table = chart("enduro")
    assert gains(table, COMPLAINTS["dives"]) == gains(table, COMPLAINTS["dives"], "hard braking")
    assert tuple(table.rides) == LOOP


@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_blowing_through_is_judged_where_both_compressions_tell(machine):
    """A dip taken fast presses the fork through its middle; a log is one hit, which low-speed damping hardly meets."""
    table, wrong = chart(machine), COMPLAINTS["blows-through"]
    assert felt(table, wrong)["compression_low"] >= 1.0 > felt(table, wrong, "log")["compression_low"]
    deepest = ride(school_machine(machine), loop_ground(wrong.ground)).stroke.max()
    assert 0.5 < deepest / school_machine(machine).travel < 0.85  # through the middle, not into the end
