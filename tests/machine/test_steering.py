"""Trail: two ways to draw the same triangle, and what moves it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from suspedu.machine import steering_trail


@given(rake=st.floats(0.3, 0.6), radius=st.floats(0.28, 0.36), offset=st.floats(0.0, 0.09))
def test_trail_is_what_the_axis_and_the_contact_leave_between_them(rake, radius, offset):
    """By coordinates: the axle square off the axis, the axis followed down to the ground."""
    along, across = np.array([np.sin(rake), -np.cos(rake)]), np.array([np.cos(rake), np.sin(rake)])
    axle = np.array([0.0, radius])
    foot = axle - offset * across  # of the axle on the axis
    ground = foot + along * (foot[1] / np.cos(rake))
    assert ground[1] == pytest.approx(0.0, abs=1e-12)
    assert steering_trail(rake, radius, offset) == pytest.approx(ground[0] - axle[0], abs=1e-12)


def test_a_steeper_fork_and_a_larger_offset_shorten_it():
    usual = steering_trail(np.radians(26.5), 0.345, 0.055)
    assert steering_trail(np.radians(25.5), 0.345, 0.055) < usual > steering_trail(np.radians(26.5), 0.345, 0.060)
