"""The curve of settings that no other beats, and the chart of adjusters."""

from itertools import pairwise

import numpy as np
import pytest

from suspedu.machine.adjusters import charted
from suspedu.school import COMPLAINTS, LOOP, calmest, chart, first_choice, gains, loop_ground, shares, unbeaten
from suspedu.school.trade_off import shake_and_throw


def test_no_setting_of_the_curve_beats_another_and_a_tighter_limit_costs_calm():
    rows = [(found["comfort"], found["kick"]) for _, found in unbeaten()]
    assert len(rows) > 5 and all(a[0] < b[0] and a[1] > b[1] for a, b in pairwise(rows))
    (_, easy), (setting, strict) = calmest(4.4), calmest(3.3)
    assert strict["kick"] <= 3.3 < easy["kick"] <= 4.4 and strict["comfort"] > easy["comfort"]
    assert shake_and_throw([setting])[0] == pytest.approx(strict)


def test_shares_are_against_the_strongest_and_missing_adjusters_count_nothing():
    found = shares({"rebound": -2.0, "preload": 0.5})
    assert set(found) == set(charted())
    assert (found["rebound"], found["preload"], found["coil_rate"]) == (-100.0, 25.0, 0.0)
    assert not any(shares({"rebound": np.nan}).values())


@pytest.mark.parametrize("name", COMPLAINTS)
def test_the_first_choice_is_the_strongest_and_its_price_is_told_of_another_outcome(name):
    found = first_choice("enduro", name)
    assert found.asked and found.ground == COMPLAINTS[name].ground
    assert abs(found.shares[found.first]) == pytest.approx(100.0) == max(map(abs, found.shares.values()))
    assert found.way * found.gains[found.first] > 0  # the step that is advised is one for the better
    if found.price:
        worst, much = found.price
        others = {each: size for each, size in found.elsewhere.items()
                  if COMPLAINTS[each].outcome != COMPLAINTS[name].outcome}
        assert worst in others and much == pytest.approx(-min(others.values()))


def test_a_ground_that_does_not_ask_gives_no_answer():
    assert not first_choice("enduro", "dives", "log").asked
    table = chart("enduro")
    assert gains(table, COMPLAINTS["dives"]) == gains(table, COMPLAINTS["dives"], "hard braking")
    assert table.terrains == tuple(loop_ground(name).name for name in LOOP)
