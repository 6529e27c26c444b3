"""Where the shaft spends its time, and where the damper makes its heat."""

import pytest

from suspedu.ride.shares import heat_shares, speed_shares
from suspedu.school import ridden, set_machine


def test_heat_shares_are_the_whole_heat_and_sit_where_the_shaft_is_fast():
    done = ridden(set_machine(), "rock garden", 6.0)
    heat, time = heat_shares(done), speed_shares(done)
    assert sum(side.sum() for side in heat.values()) == pytest.approx(1.0)
    assert heat["compression"][2] > 3 * time["compression"][2]
