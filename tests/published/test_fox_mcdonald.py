"""Leakage past a piston: D 25 mm, a 5 um, L 15 mm, 19 MPa, 0.018 Pa s give 57.6 mm3/s.

Source: fox-mcdonald, example 8.1 (printed, from memory: the answer; the data stand in a public solution)
"""

import numpy as np

from suspedu.parts import restrictions as r


def within_last_digit(value, printed: str) -> bool:
    """Whether a value rounds to the printed one."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5 * 10.0**-digits * (1 + 1e-9)


def test_leakage_past_a_piston():
    """57.6 mm3/s, with the gap on the radius (printed, from memory)."""
    ours = 19e6 / (r.clearance_resistance(25e-3, 5e-6, 15e-3) * 0.018) * 1e9
    assert within_last_digit(ours, "57.6")
    diametral = 19e6 / (r.clearance_resistance(25e-3, 10e-6, 15e-3) * 0.018) * 1e9
    assert not within_last_digit(diametral, "57.6")
    assert within_last_digit(r.reynolds_number(ours * 1e-9, 2 * np.pi * 25e-3, 0.018 / 920.0), "0.07")  # laminar
