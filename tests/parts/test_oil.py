"""Oil laws: their limits, their scaling, and what they refuse."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.machine import load, names
from suspedu.parts import oil as laws
from suspedu.parts.oil import Oil
from suspedu.units import InputError, to_si

FORK_OIL = Oil(15e-6, 3.5e-6)


def test_sheet_values_come_back():
    assert laws.kinematic_viscosity(313.15, FORK_OIL) == pytest.approx(15e-6, rel=1e-12)
    assert laws.kinematic_viscosity(373.15, FORK_OIL) == pytest.approx(3.5e-6, rel=1e-12)


@given(st.floats(2.5, 400), st.floats(0.05, 0.45))
@settings(max_examples=50)
def test_oil_thins_as_it_warms(viscosity_40, share):
    oil = Oil(viscosity_40 * 1e-6, max(0.8, share * viscosity_40) * 1e-6)
    viscosity = laws.kinematic_viscosity(np.linspace(240.0, 420.0, 30), oil)
    assert np.all(np.diff(viscosity) < 0) and np.all(viscosity > 0)


def test_the_same_label_hides_different_oils():
    """Two oils of one viscosity at 40 degC part by more than a factor of 1.5 in the cold: a label is no viscosity."""
    thin_index, high_index = Oil(15e-6, 3.2e-6), Oil(15e-6, 5.0e-6)
    cold = to_si(-10.0, "degC")
    ratio = laws.kinematic_viscosity(cold, thin_index) / laws.kinematic_viscosity(cold, high_index)
    assert ratio > 1.5


def test_density_falls_linearly_and_meets_the_sheet():
    assert laws.density(288.15, FORK_OIL) == pytest.approx(870.0, rel=1e-12)
    steps = np.diff(laws.density(np.array([280.0, 300.0, 320.0, 340.0]), FORK_OIL))
    assert steps == pytest.approx(np.full(3, -870.0 * 8e-4 * 20.0), rel=1e-9)


def test_dynamic_is_kinematic_times_density():
    at = np.array([[290.0, 310.0], [330.0, 350.0]])
    product = laws.kinematic_viscosity(at, FORK_OIL) * laws.density(at, FORK_OIL)
    assert laws.dynamic_viscosity(at, FORK_OIL) == pytest.approx(product, rel=1e-14)


def test_bulk_modulus_is_the_slope_of_the_volume():
    """`B = -V dp/dV` of the volumes in the docstring, differentiated numerically and independently."""
    air, n, p = 0.03, 1.4, 3e5

    def volume(pressure):
        return ((1 - air) * np.exp(-(pressure - p) / FORK_OIL.bulk_modulus)
                + air * (laws.STANDARD_ATMOSPHERE / pressure) ** (1 / n))

    step = 10.0
    slope = (volume(p + step) - volume(p - step)) / (2 * step)
    assert laws.effective_bulk_modulus(p, FORK_OIL, air) == pytest.approx(-volume(p) / slope, rel=1e-6)


def test_bulk_modulus_limits():
    assert laws.effective_bulk_modulus(2e5, FORK_OIL, 0.0) == pytest.approx(FORK_OIL.bulk_modulus, rel=1e-12)
    rising = laws.effective_bulk_modulus(np.geomspace(1e5, 1e8, 40), FORK_OIL, 0.02)
    assert np.all(np.diff(rising) > 0) and rising[-1] > 0.95 * FORK_OIL.bulk_modulus
    softer = laws.effective_bulk_modulus(5e5, FORK_OIL, np.linspace(0.0, 0.2, 20))
    assert np.all(np.diff(softer) < 0)
    slow = laws.effective_bulk_modulus(2e5, FORK_OIL, 0.02, polytropic=1.0)
    assert slow < laws.effective_bulk_modulus(2e5, FORK_OIL, 0.02)


def test_default_oil_lies_within_the_handbooks_ranges():
    """Mineral hydraulic oil: 1.5 to 2.0 GPa and 8 to 10e-4 per kelvin (printed: handbooks); the school's too."""
    for oil in (FORK_OIL, *(leg.damper.oil for name in names() for leg in load(name).legs)):
        assert 1.5e9 <= oil.bulk_modulus <= 2.0e9 and 8e-4 <= oil.expansion <= 10e-4


def test_expansion_is_that_of_a_paraffin():
    """n-dodecane, lighter than any fork oil, by the library CoolProp: an oil's molecules are longer and swell less."""
    from CoolProp.CoolProp import PropsSI  # two seconds to load, for each process that collects this file

    light = PropsSI("isobaric_expansion_coefficient", "P", laws.STANDARD_ATMOSPHERE, "T", 313.15, "n-Dodecane")
    ours = -np.diff(laws.density(np.array([312.65, 313.65]), FORK_OIL))[0] / laws.density(313.15, FORK_OIL)
    assert 0.75 * light < ours < light


def test_vapour_pressure_is_next_to_nothing_and_rises():
    at = np.linspace(250.0, 400.0, 50)
    assert np.all(np.diff(laws.vapour_pressure(at)) > 0)
    assert laws.vapour_pressure(353.15) < 1e-3 * laws.STANDARD_ATMOSPHERE


def test_viscosity_index_on_arrays_and_at_its_two_fixed_points():
    """By definition the reference oils L and H have 0 and 100, whatever nu_100: the procedures must meet there."""
    at = np.array([2.5, 5.0, 8.86, 20.0, 60.0])
    rows = laws._L_AND_H[np.searchsorted(laws._L_AND_H[:, 0], at, side="right") - 1]
    low, high = (np.polynomial.polynomial.polyval(at, rows[:, [c, b, a]].T, tensor=False)
                 for a, b, c in ((1, 2, 3), (4, 5, 6)))
    assert laws.viscosity_index(low * 1e-6, at * 1e-6) == pytest.approx(np.zeros(5), abs=1e-6)
    assert laws.viscosity_index(high * 1e-6, at * 1e-6) == pytest.approx(np.full(5, 100.0), abs=1e-6)
    assert laws.viscosity_index(0.999999 * high * 1e-6, at * 1e-6) == pytest.approx(np.full(5, 100.0), abs=1e-3)


@pytest.mark.parametrize(("call", "words"), [
    (lambda: Oil(3.5e-6, 15e-6), "swapped"),
    (lambda: Oil(15.0, 3.5), "oil viscosity at 40 degC"),
    (lambda: laws.kinematic_viscosity(to_si(-45.0, "degC"), FORK_OIL), "below its pour range"),
    (lambda: laws.density(np.array([300.0, 20.0]), FORK_OIL), "below its pour range"),
    (lambda: laws.kinematic_viscosity(to_si(300.0, "degC"), FORK_OIL), "allowed"),
    (lambda: laws.effective_bulk_modulus(-2e5, FORK_OIL, 0.01), "gauge"),
    (lambda: laws.effective_bulk_modulus(2e5, FORK_OIL, 1.0), "air fraction"),
    (lambda: laws.viscosity_index(15e-6, 1.5e-6), "100 degC"),
    (lambda: laws.iso_grade(-1.0), "oil viscosity"),
])
def test_bad_input_gets_its_sentence(call, words):
    with pytest.raises(InputError, match=words) as told:
        call()
    assert "\n" not in str(told.value)
