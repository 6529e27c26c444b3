"""A body that warms and cools: its limits, its slope at the start, and the balance of heat along the way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from suspedu.parts.heating import warmed_temperature
from suspedu.units import InputError

HONEST = {"power": st.floats(10, 1000), "capacity": st.floats(500, 2e4), "loss": st.floats(0.5, 50),
          "surrounding": st.floats(260, 320)}  # fmt: skip


@given(**HONEST)
def test_it_starts_at_the_air_and_ends_where_loss_meets_power(power, capacity, loss, surrounding):
    start, end = warmed_temperature(np.array([0.0, 60 * capacity / loss]), power, capacity, loss, surrounding)
    assert start == surrounding
    assert end == pytest.approx(surrounding + power / loss, rel=1e-9)


@given(**HONEST)
def test_heat_in_less_heat_lost_is_heat_kept(power, capacity, loss, surrounding):
    time = np.linspace(0.0, 2 * capacity / loss, 2001)
    temperature = warmed_temperature(time, power, capacity, loss, surrounding)
    lost = np.trapezoid(loss * (temperature - surrounding), time)
    kept = capacity * (temperature[-1] - surrounding)
    assert kept + lost == pytest.approx(power * time[-1], rel=1e-6)  # the trapezium's error over 2000 steps


def test_a_slip_gets_a_sentence():
    with pytest.raises(InputError, match="heat loss is 0"):
        warmed_temperature(1.0, 100.0, 1000.0, 0.0, 293.15)
