"""Dry air as it really is, by the library CoolProp: how wrong the ideal gas of `air_spring` is, with sign and size.

Source: coolprop, dry air (computed by CoolProp)
Nothing is hidden in a tolerance: each row states the error of our law in per cent,
to the digits shown, and fails if the error becomes larger *or smaller*.
"""

import numpy as np
import pytest
from scipy.integrate import simpson

from suspedu.parts.air_spring import polytropic_pressure, polytropic_work

ROOM, BAR = 293.15, 1e5


def PropsSI(*asked):  # noqa: N802  (the library's own name)
    """What the library says: it takes two seconds to load, for each process that collects this file."""
    from CoolProp.CoolProp import PropsSI

    return PropsSI(*asked)


def real_pressure(ratio, start=BAR, adiabatic=True):
    """Pressure of real air (computed by CoolProp) squeezed `ratio` times, without heat loss or at one temperature."""
    density = PropsSI("D", "P", start, "T", ROOM, "Air") * ratio
    if not adiabatic:
        return PropsSI("P", "D", density, "T", ROOM, "Air")
    return PropsSI("P", "D", density, "S", PropsSI("S", "P", start, "T", ROOM, "Air"), "Air")


def real_temperature(ratio, start=BAR):
    """Temperature [K] of real air (computed by CoolProp) squeezed `ratio` times without heat loss."""
    density = PropsSI("D", "P", start, "T", ROOM, "Air") * ratio
    return PropsSI("T", "D", density, "S", PropsSI("S", "P", start, "T", ROOM, "Air"), "Air")


def error_percent(ours, real):
    return 100 * (ours / real - 1)


@pytest.mark.parametrize(("ratio", "bars"), [(2, 2.6400), (4, 6.9487)])
def test_library_still_prints_what_was_recorded(ratio, bars):
    assert real_pressure(ratio) / BAR == pytest.approx(bars, abs=0.00005)


@pytest.mark.parametrize(("ratio", "adiabatic", "exponent", "error"), [
    (2, True, 1.4, -0.04), (4, True, 1.4, 0.23), (2, False, 1.0, 0.04), (4, False, 1.0, 0.11), (6, False, 1.0, 0.18)])
def test_pressure_error(ratio, adiabatic, exponent, error):
    ours = polytropic_pressure(BAR, ratio, exponent)
    assert error_percent(ours, real_pressure(ratio, adiabatic=adiabatic)) == pytest.approx(error, abs=0.005)


@pytest.mark.parametrize(("ratio", "kelvin", "error"), [(2, 386.67, 0.04), (4, 507.88, 0.50)])
def test_heating_error(ratio, kelvin, error):  # ideal gas: T = T_0 (p/p_0) (V/V_0)
    assert real_temperature(ratio) == pytest.approx(kelvin, abs=0.005)
    ours = ROOM * polytropic_pressure(1.0, ratio, 1.4) / ratio
    assert error_percent(ours, real_temperature(ratio)) == pytest.approx(error, abs=0.005)


@pytest.mark.parametrize(("celsius", "error"), [(40, -0.016), (60, -0.029), (80, -0.041)])
def test_warming_error(celsius, error):  # closed chamber, p ~ T (computed by CoolProp)
    density = PropsSI("D", "P", BAR * 1.01325, "T", ROOM, "Air")
    real = PropsSI("P", "D", density, "T", 273.15 + celsius, "Air")
    ours = BAR * 1.01325 * (273.15 + celsius) / ROOM
    assert error_percent(ours, real) == pytest.approx(error, abs=0.0005)


@pytest.mark.parametrize(("adiabatic", "exponent", "error"), [(False, 1.0, 0.064), (True, 1.4, 0.138)])
def test_work_error_of_a_full_stroke(adiabatic, exponent, error):  # squeezed six times, as in a fork bottomed
    ratios = np.linspace(1.0, 6.0, 201)
    pressures = np.array([real_pressure(ratio, adiabatic=adiabatic) for ratio in ratios])
    real = simpson(pressures / ratios**2, x=ratios)  # dW = -p dV with V = 1/ratio
    assert error_percent(polytropic_work(BAR, 1.0, 6.0, exponent), real) == pytest.approx(error, abs=0.0005)


def test_a_wrong_row_is_caught():
    isothermal_for_adiabatic = error_percent(polytropic_pressure(BAR, 4, 1.0), real_pressure(4))
    ratio_off_by_one_percent = error_percent(polytropic_pressure(BAR, 4.04, 1.4), real_pressure(4))
    assert abs(isothermal_for_adiabatic - 0.23) > 0.005
    assert abs(ratio_off_by_one_percent - 0.23) > 0.005
