"""Vapour pressure of n-hexadecane against two correlations that a library carries, and n-dodecane by another.

Source: poling, appendix A (computed by chemicals); perry, table 2-8 (computed by chemicals); coolprop
"""

import numpy as np
import pytest
from chemicals.vapor_pressure import Psat_data_Perrys2_8, Psat_data_WagnerPoling

from suspedu.parts.oil import vapour_pressure

HEXADECANE = "544-76-3"  # CAS number
PLACES = np.array([293.15, 323.15, 353.15, 393.15])


def perry(temperature):
    """`ln p = C1 + C2/T + C3 ln T + C4 T^C5`, perry, table 2-8 (computed by chemicals: the coefficients)."""
    c = Psat_data_Perrys2_8.loc[HEXADECANE]
    return np.exp(c["C1"] + c["C2"] / temperature + c["C3"] * np.log(temperature) + c["C4"] * temperature ** c["C5"])


def test_coefficients_are_the_librarys():
    """The same law with the library's own copy of the coefficients (computed by chemicals)."""
    c = Psat_data_WagnerPoling.loc[HEXADECANE]
    reduced = PLACES / c["Tc"]
    t = 1 - reduced
    poling = c["Pc"] * np.exp((c["A"] * t + c["B"] * t**1.5 + c["C"] * t**2.5 + c["D"] * t**5) / reduced)
    assert vapour_pressure(PLACES) == pytest.approx(poling, rel=1e-9)


def test_a_second_correlation_agrees():
    """Perry's fit of other data: 15 % apart at most, plenty for a pressure that only must be next to nothing."""
    assert vapour_pressure(PLACES) == pytest.approx(perry(PLACES), rel=0.15)


def test_wrong_on_purpose_is_caught():
    """n-dodecane, four carbons shorter, boils off far more easily (computed by CoolProp): it must not pass."""
    from CoolProp.CoolProp import PropsSI  # two seconds to load, for each process that collects this file

    lighter = np.array([PropsSI("P", "T", t, "Q", 0, "n-Dodecane") for t in PLACES])
    assert np.all(lighter > 5 * vapour_pressure(PLACES))
