"""EN 13906: a worked sheet after part 2, and the correction factor and shear moduli of part 1.

Source: en-13906-1, correction factor (printed, from memory); en-13906-2 (printed: in a worked sheet)
A row passes within half a unit of its last printed digit.
"""

from decimal import Decimal

import pytest

from suspedu.parts import springs


def agrees(value, printed: str) -> bool:
    """Within half a unit of the last printed digit."""
    last_digit = Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)
    return abs(value - float(printed)) <= float(last_digit) / 2


def test_rate_of_worked_sheet():  # d 1.600, D 11.10 mm, n 21, G 70 000 N/mm2: R = 1.997 N/mm (printed)
    assert agrees(springs.coil_rate(1.6e-3, 11.10e-3, 21, 70e9) / 1000, "1.997")


# Shear moduli of wire to en-10270-1, FDSiCr and 1.4310 (printed); rates go with G.
@pytest.mark.parametrize(("modulus", "of_drawn_wire"), [(81.5e9, "1.000"), (79.5e9, "0.975"), (70.0e9, "0.859")])
def test_rate_goes_with_the_shear_modulus(modulus, of_drawn_wire):
    wire = (4.8e-3, 36e-3, 28)
    assert agrees(springs.coil_rate(*wire, modulus) / springs.coil_rate(*wire, 81.5e9), of_drawn_wire)


@pytest.mark.parametrize("index", [4.0, 6.9375, 12.0, 20.0])
def test_the_two_ways_to_write_the_factor_are_one(index):
    """The standard writes k = (w + 0.5)/(w - 0.75) (printed, from memory)."""
    assert springs.bergstraesser_factor(index) == pytest.approx((4 * index + 2) / (4 * index - 3), rel=1e-14)


def test_a_wrong_row_is_caught():
    """1.997 N/mm (printed) with the modulus of another steel, and with its last digit off by one."""
    modulus_of_carbon_steel = springs.coil_rate(1.6e-3, 11.10e-3, 21, 81.5e9)
    assert not agrees(modulus_of_carbon_steel / 1000, "1.997")
    assert not agrees(springs.coil_rate(1.6e-3, 11.10e-3, 21, 70e9) / 1000, "1.998")
