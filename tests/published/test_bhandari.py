"""Wahl's factor over the spring index; the values stand in public code that works the book's examples.

Source: bhandari, example 10.3 (printed: in fossee-scilab, 764/CH10/EX10.3.a)
A row passes within half a unit of its last printed digit.
"""

import pytest

from suspedu.parts.springs import wahl_factor

# (printed)
WAHL = {5.0: "1.311", 6.0: "1.253", 7.0: "1.213", 8.0: "1.184", 7.5: "1.197", 7.1: "1.210", 7.2: "1.206", 7.3: "1.203"}
HALF_A_DIGIT = 0.0005 + 1e-12  # 1.3105 at C = 5 is printed as 1.311: a half rounded up


def agrees(value, printed):
    return abs(value - float(printed)) <= HALF_A_DIGIT


@pytest.mark.parametrize(("index", "printed"), WAHL.items())
def test_wahl_factor(index, printed):
    assert agrees(wahl_factor(index), printed)


def test_a_wrong_row_is_caught():
    """1.311 (printed) without the direct shear's part, and a row with its last digit off by one."""
    assert not agrees((4 * 5.0 - 1) / (4 * 5.0 - 4), "1.311")  # direct shear forgotten
    assert not agrees(wahl_factor(8.0), "1.183")
