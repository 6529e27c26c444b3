"""The tyre pushes and never pulls, gives its energy back but for its damping, and carries its load at rest."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from suspedu.parts.tyre import Tyre, static_squash, tyre_energy, tyre_force
from suspedu.units import InputError

TYRE = Tyre(rate=130e3, damping=250.0, contact_length=0.11)


@given(st.floats(-0.1, 0.1), st.floats(-20.0, 20.0))
def test_it_never_pulls_and_does_nothing_in_the_air(squash, rate):
    force = tyre_force(squash, rate, TYRE)
    assert force >= 0.0 and (squash > 0.0 or force == 0.0)


def test_energy_is_the_integral_of_the_force():
    squash = np.linspace(-0.01, 0.03, 4001)
    work = np.trapezoid(tyre_force(squash, 0.0, TYRE), squash)
    assert tyre_energy(0.03, TYRE) == pytest.approx(work, rel=1e-6)


def test_at_rest_it_carries_its_load():
    assert tyre_force(static_squash(900.0, TYRE), 0.0, TYRE) == pytest.approx(900.0, rel=1e-12)


def test_a_cycle_takes_energy():
    """Squeezed and let go as a sine: the loop's area is pi c w a^2."""
    time = np.linspace(0.0, 1.0, 20001)
    squash, speed = 0.01 + 0.004 * np.sin(2 * np.pi * time), 0.008 * np.pi * np.cos(2 * np.pi * time)
    lost = np.trapezoid(tyre_force(squash, speed, TYRE) * speed, time)
    assert lost == pytest.approx(np.pi * TYRE.damping * 2 * np.pi * 0.004**2, rel=1e-6)


def test_a_slip_gets_its_sentence():
    with pytest.raises(InputError, match=r"tyre rate is 0\.13 N/mm; allowed: 50 to 400 N/mm .*times too small"):
        Tyre(rate=130.0, damping=250.0, contact_length=0.11)
