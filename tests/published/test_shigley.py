"""Coil springs of round wire, in inches and pounds.

Source: shigley, examples 10-1 and 10-6 (printed: rates, in public solutions; printed, from memory: the rest)
A row passes within half a unit of its last printed digit.
"""

from decimal import Decimal

import pytest

from suspedu.parts import springs


def agrees(value, printed: str) -> bool:
    """Within half a unit of the last printed digit."""
    last_digit = Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)
    return abs(value - float(printed)) <= float(last_digit) / 2 + 1e-12  # 0.4995 was printed as 0.500


# d [in], D [in], N_a [1], G [psi], k [lbf/in] (printed: in public solutions). The laws hold in any consistent units.
RATES = {
    "example 10-1": (0.037, 0.400, 10.5, 11.85e6, "4.13"),
    "example 10-6": (0.035, 0.213, 12.574, 11.6e6, "17.91"),
}


@pytest.mark.parametrize("row", RATES.values(), ids=RATES.keys())
def test_rate(row):
    *wire, printed = row
    assert agrees(springs.coil_rate(*wire), printed)


def test_factor_example_10_1():  # C = 10.8, K_B = 1.124 (printed, from memory)
    assert agrees(springs.spring_index(0.037, 0.400), "10.8")
    assert agrees(springs.bergstraesser_factor(10.8), "1.124")


def test_stress_example_10_1():  # 6.46 lbf brings the wire to S_sy = 146 kpsi (printed, from memory)
    factor = springs.bergstraesser_factor
    assert agrees(springs.shear_stress(6.46, 0.037, 0.400, factor) / 1000, "146")


def test_solid_height_example_10_1():  # L_s = (N_t + 1) d = 0.500 in (printed, from memory)
    assert agrees(springs.solid_height(0.037, 10.5, dead_coils=3), "0.500")


def test_a_wrong_row_is_caught():
    """4.13 lbf/in (printed) by the common slips, and 1.124 (printed, from memory) by another factor."""
    outside_taken_for_mean = springs.coil_rate(0.037, 0.4375, 10.5, 11.85e6)
    total_taken_for_active = springs.coil_rate(0.037, 0.400, 12.5, 11.85e6)
    assert not agrees(outside_taken_for_mean, "4.13")
    assert not agrees(total_taken_for_active, "4.13")
    assert not agrees(springs.coil_rate(0.037, 0.400, 10.5, 11.85e6), "4.14")
    assert not agrees(springs.wahl_factor(10.8), "1.124")
