"""Polytropic work: an example of an expanding gas, and a textbook's expansion of hot gas.

Source: moran-shapiro, example 2.1 (printed, from memory: its answers; its data stand in fossee-scilab, 572/CH2/EX2.1)
Source: thermodynamics-1, p. 96 (printed)
The gas does the work, so ours is its negative.
"""

from decimal import Decimal

import pytest

from suspedu.parts.air_spring import polytropic_pressure, polytropic_work


def agrees(value, printed: str) -> bool:
    """Within half a unit of the last printed digit."""
    last_digit = Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)
    return abs(value - float(printed)) <= float(last_digit) / 2


@pytest.mark.parametrize(("exponent", "kilojoules"), [(1.5, "17.6"), (1.0, "20.79"), (0.0, "30")])
def test_work_of_example_2_1(exponent, kilojoules):
    """3 bar, 0.1 m3 to 0.2 m3 (printed, from memory)."""
    assert agrees(-polytropic_work(3e5, 0.1, 0.1 / 0.2, exponent) / 1000, kilojoules)


def test_pressure_of_example_2_1():  # 1.06 bar, n = 1.5 (printed, from memory)
    assert agrees(polytropic_pressure(3.0, 0.1 / 0.2, 1.5), "1.06")


def test_expansion_of_thermodynamics_1_page_96():  # 30 bar, 60 to 510 cm3, n = 1.15: 2.56 bar, 330 J (printed)
    assert agrees(polytropic_pressure(30.0, 60 / 510, 1.15), "2.56")
    assert agrees(-polytropic_work(30e5, 60e-6, 60 / 510, 1.15) / 1000, "0.33")


def test_a_wrong_row_is_caught():
    """17.6 and 20.79 kJ (printed, from memory), 2.56 bar (printed): each by a common slip."""
    assert not agrees(-polytropic_work(3e5, 0.1, 0.1 / 0.2, 1.4) / 1000, "17.6")
    assert not agrees(-polytropic_work(2e5, 0.1, 0.1 / 0.2, 1.0) / 1000, "20.79")  # gauge taken for absolute
    assert not agrees(polytropic_pressure(30.0, 510 / 60, 1.15), "2.56")  # ratio upside down
