"""Eccentric clearance: factor 1 + 1.5 e^2 on the flow.

Source: piercy-1933 (printed, from memory); white-viscous, section 3-3 (printed, from memory: the exact series)
"""

import numpy as np
import pytest

from suspedu.parts import restrictions as r


def within_last_digit(value, printed: str) -> bool:
    """Whether a value rounds to the printed one."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5 * 10.0**-digits * (1 + 1e-9)


# Flow against the centred gap, over the eccentricity (printed, from memory)
PIERCY = {0.3: "1.135", 0.6: "1.540", 0.9: "2.215", 1.0: "2.500"}


def eccentric_factor(e):
    options = (0.02, 5e-5, 0.01)
    return r.clearance_resistance(*options) / r.clearance_resistance(*options, e)


@pytest.mark.parametrize("e", PIERCY)
def test_eccentric_factor(e):
    assert within_last_digit(eccentric_factor(e), PIERCY[e])
    assert not within_last_digit(1 + 1.5 * e**3, PIERCY[e]) or e == 1.0  # the wrong power is caught


@pytest.mark.parametrize("e", [0.3, 0.6, 0.9])
def test_eccentric_annulus_exact(e):
    """The exact series for any gap (printed, from memory) tends to the thin-gap law."""
    outer, gap = 10e-3, 20e-6
    inner, offset = outer - gap, e * gap
    f = (outer**2 - inner**2 + offset**2) / (2 * offset)
    m = np.sqrt(f**2 - outer**2)
    a, b = (0.5 * np.log((x + m) / (x - m)) for x in (f, f - offset))
    n = np.arange(1, 400)
    series = np.sum(n * np.exp(-n * (b + a)) / np.sinh(n * (b - a)))
    exact = np.pi / 8 * (outer**4 - inner**4 - 4 * offset**2 * m**2 / (b - a) - 8 * offset**2 * m**2 * series)
    ours = 1 / r.clearance_resistance(2 * outer - gap, gap, 1.0, e)
    assert ours / exact == pytest.approx(1, rel=2e-3)  # the thin-gap error is of the order gap / radius = 0.2 %
    centred = 1 / r.clearance_resistance(2 * outer - gap, gap, 1.0)
    assert centred / exact != pytest.approx(1, rel=0.05)
