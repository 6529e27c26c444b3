"""Shims whose edges lie next to each other: one edge to a caliper, and a lift however close they are."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.parts.shim_stacks import Port, Shim, Stack, lift_curve
from suspedu.parts.shim_stacks.shims import merged


@settings(max_examples=60)
@given(st.floats(-8, -4.7), st.sampled_from([12e-3, 14e-3, 16e-3, 18e-3]),
       st.lists(st.integers(-3, 3), min_size=1, max_size=4), st.sampled_from([1e-4, 1.5e-4, 2e-4]), st.booleans())
def test_edges_however_close_have_a_lift(power, across, places, thickness, by_the_rim):
    """From hundredths of a micrometre to 20 um apart: the lift is that of one edge, but for what the offsets are worth.

    A plate's bending goes with no more than the fourth power of its free length, so an offset of d on a free length of
    l changes the lift by no more than 4 d / l, and a little of the second order.
    """
    apart = 10.0**power
    port = Port(11e-3, across + apart / 2 if by_the_rim and across > 12e-3 else 18e-3)
    backing = tuple(Shim(across + place * apart, thickness) for place in places)
    near, one = (Stack((Shim(20e-3, 2e-4), *behind), 10e-3)
                 for behind in (backing, (Shim(across, thickness),) * len(places)))
    found, plain = lift_curve(near, port), lift_curve(one, port)
    pressures = np.linspace(0.0, 2e6, 21)
    assert np.all(np.isfinite(found.lift)) and np.all(np.diff(found(pressures)) >= 0.0)
    free = (across - 10e-3) / 2
    worth = 4 * max(abs(place) for place in places) * apart / 2 / free
    np.testing.assert_allclose(found(pressures), plain(pressures), rtol=1.5 * worth + 1e-3)  # 3e-4 is no kink: see lift


def test_edges_that_a_caliper_cannot_tell_apart_are_one():
    port = Port(12e-3, 18e-3)
    stacks = [Stack((Shim(20e-3, 2e-4), Shim(16e-3, 1e-4), Shim(16e-3 + more, 1e-4)), 10e-3)
              for more in (0.0, 2e-6, 9e-6, 2e-5)]
    lifts = [float(lift_curve(stack, port)(5e5)) for stack in stacks]
    assert lifts[0] == lifts[1] == lifts[2] > lifts[3]
    assert merged(stacks[0], port) == (stacks[0], port) and merged(stacks[2], port)[0] == stacks[0]
