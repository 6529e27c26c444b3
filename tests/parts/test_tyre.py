"""The tyre pushes and never pulls, gives its energy back but for its damping, and carries its load at rest."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from suspedu.parts.tyre import GRIPPED, Tyre, contact_length, static_squash, tyre_energy, tyre_force
from suspedu.units import InputError

TYRE = Tyre(pressure=1e5, damping=250.0, width=0.046)
tyres = st.builds(Tyre, pressure=st.floats(0.35e5, 4e5), damping=st.floats(0, 1000), width=st.floats(0.03, 0.1),
                  rim_squash=st.floats(0.02, 0.1), rim_rate=st.floats(0, 5e8))


@given(st.floats(-0.1, 0.1), st.floats(-20.0, 20.0), tyres)
def test_it_never_pulls_and_does_nothing_in_the_air(squash, rate, tyre):
    force = tyre_force(squash, rate, tyre)
    assert force >= 0.0 and (squash > 0.0 or force == 0.0)


@given(st.floats(0.0, 0.1), st.floats(-20.0, 20.0), tyres)
def test_its_damping_only_takes_energy(squash, rate, tyre):
    assert (tyre_force(squash, rate, tyre) - tyre_force(squash, 0.0, tyre)) * rate >= 0.0


@given(st.floats(0.001, 0.1), tyres)
def test_energy_is_the_integral_of_the_force(squash, tyre):
    places = np.linspace(0.0, squash, 4001)
    work = np.trapezoid(tyre_force(places, 0.0, tyre), places)
    assert tyre_energy(squash, tyre) == pytest.approx(work, rel=1e-6)


@given(st.floats(1.0, 60e3), tyres)
def test_at_rest_it_carries_its_load_also_on_the_rim(load, tyre):
    assert tyre_force(static_squash(load, tyre), 0.0, tyre) == pytest.approx(load, rel=1e-12)


def test_nothing_jumps_at_the_first_touch():
    """However fast it comes down: the force of the first micrometre is a thousandth of that of the first millimetre."""
    soft, firm = tyre_force(np.array([1e-6, 1e-3]), 6.0, TYRE)
    assert soft == pytest.approx(firm / 1e3, rel=1e-9) and soft < 1.0


def test_the_rim_is_met_softly_and_then_hard():
    near = np.array([-1e-6, 1e-6]) + TYRE.rim_squash
    below, above = np.diff(tyre_force(np.stack([near - 1e-6, near + 1e-6]), 0.0, TYRE), axis=0)[0] / 2e-6
    assert below == pytest.approx(TYRE.rate) and above == pytest.approx(TYRE.rate, rel=0.01)
    past = TYRE.rim_squash + 0.01
    assert tyre_force(past, 0.0, TYRE) == pytest.approx(TYRE.rate * past + TYRE.rim_rate * 1e-4)


def test_rate_follows_the_pressure():
    """60 N/mm and 65 N/mm for each bar (guess of the course)."""
    rates = [Tyre(pressure=bar * 1e5, damping=0.0, width=0.046).rate for bar in (0.6, 1.0, 1.4)]
    assert rates == pytest.approx([99e3, 125e3, 151e3])


@given(st.floats(100.0, 3000.0), tyres)
def test_it_stands_longer_on_the_ground_the_softer_and_the_more_it_carries(load, tyre):
    softer = Tyre(pressure=0.9 * tyre.pressure, damping=0.0, width=tyre.width)
    assert contact_length(load, softer) > contact_length(load, tyre)
    assert contact_length(2 * load, tyre) == pytest.approx(2 * contact_length(load, tyre))
    bare = Tyre(pressure=tyre.pressure, casing_rate=0.0, damping=0.0, width=tyre.width)
    assert contact_length(load, bare) == pytest.approx(load / (tyre.pressure * tyre.width))  # air alone


def test_a_cycle_takes_energy():
    """Squeezed and let go as a sine: the loop's area is pi c w a^2."""
    time = np.linspace(0.0, 1.0, 20001)
    squash, speed = 0.01 + 0.004 * np.sin(2 * np.pi * time), 0.008 * np.pi * np.cos(2 * np.pi * time)
    assert squash.min() > GRIPPED
    lost = np.trapezoid(tyre_force(squash, speed, TYRE) * speed, time)
    assert lost == pytest.approx(np.pi * TYRE.damping * 2 * np.pi * 0.004**2, rel=1e-6)


def test_a_slip_gets_its_sentence():
    with pytest.raises(InputError, match=r"tyre pressure is 1e-05 bar; allowed: 0\.3 to 4 bar .*open air"):
        Tyre(pressure=1.0, damping=250.0, width=0.046)
