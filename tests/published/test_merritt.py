"""Restrictions: sharp orifice, laminar bore, conical needle.

Source: merritt, sections 3-1 and 3-2, table 5-1 (printed, from memory); fluids
"""

import fluids
import numpy as np
import pytest
from fluids.friction import friction_laminar
from scipy.integrate import quad

from suspedu.parts import restrictions as r


def within_last_digit(value, printed: str) -> bool:
    """Whether a value rounds to the printed one."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5 * 10.0**-digits * (1 + 1e-9)


def test_free_streamline_contraction():
    """Along the free surface behind a sharp slit the stream turns from pi/2 to 0 and ds = (2/pi) cot(t) dt per
    half-width of the jet; dy = sin(t) ds adds up to what the slit is wider: pi/(pi+2), 0.611 (printed, from memory)."""
    closing, _ = quad(lambda turn: 2 / np.pi / np.tan(turn) * np.sin(turn), 0, np.pi / 2)
    assert 1 / (1 + closing) == pytest.approx(r.FREE_STREAMLINE, rel=1e-12)
    assert within_last_digit(r.FREE_STREAMLINE, "0.611")
    assert not within_last_digit(np.pi / (np.pi + 1), "0.611")


@pytest.mark.parametrize("flow", [1e-8, 1e-6, 5e-6])
def test_laminar_bore(flow):
    """Friction factor 64/Re (computed by fluids)."""
    diameter, length, nu, rho = 2e-3, 8e-3, 14e-6, 850.0
    speed = flow / r.bore_area(diameter)
    reynolds = r.reynolds_number(flow, np.pi * diameter, nu)
    assert reynolds == pytest.approx(fluids.Reynolds(V=speed, D=diameter, nu=nu), rel=1e-12)
    library = friction_laminar(reynolds) * length / diameter * rho * speed**2 / 2
    assert r.bore_resistance(diameter, length) * nu * rho * flow == pytest.approx(library, rel=1e-12)
    fanning = friction_laminar(reynolds) / 4 * length / diameter * rho * speed**2 / 2  # the other friction factor
    assert r.bore_resistance(diameter, length) * nu * rho * flow != pytest.approx(fanning, rel=0.5)


def test_needle_is_a_cone_frustum():
    """0.5 mm of lift, 3 mm seat, 30 deg: 1.16884 mm2 (computed by the frustum's exact geometry)."""
    lift, seat, half = 0.5e-3, 3e-3, np.radians(15)
    ours = r.needle_area(lift, seat, 2 * half)
    assert within_last_digit(ours * 1e6, "1.16884")
    slant = lift * np.sin(half)
    small, large = seat / 2 - slant * np.cos(half), seat / 2
    assert ours / (np.pi * (small + large) * slant) == pytest.approx(1, rel=1e-14)
    assert not within_last_digit(np.pi * seat * lift * np.sin(half) * 1e6, "1.16884")  # a cylinder instead
    assert not within_last_digit(r.needle_area(lift, seat, half) * 1e6, "1.16884")  # half angle for whole angle
