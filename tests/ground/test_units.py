"""The border: conversions against exact definitions, refusals that say the likely slip, parts that check themselves."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from suspedu.units import KINDS, InputError, from_si, nearest, parse, part, quantity, require, shown, to_si

# One of each unit in SI (printed: exact by definition in the SI brochure and in NIST SP 811)
EXACT = {"mm": 1e-3, "bar": 1e5, "N/mm": 1e3, "cm**3": 1e-6, "mm**2/s": 1e-6, "km/h": 1 / 3.6, "kgf": 9.80665,
         "inch": 0.0254, "lbf": 4.4482216152605, "deg": np.pi / 180}


@pytest.mark.parametrize("unit", EXACT)
def test_one_of_each_unit(unit):
    assert to_si(1.0, unit) == pytest.approx(EXACT[unit], rel=1e-14)
    assert from_si(np.array([EXACT[unit]]), unit) == pytest.approx([1.0], rel=1e-14)


@pytest.fixture(scope="module")
def registry():
    pint = pytest.importorskip("pint")
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize("unit", [unit for units in KINDS.values() for unit in units])
def test_the_course_s_own_units_are_those_of_the_library(registry, unit):
    """Factor and zero bit for bit (computed by pint)."""
    zero, one = (registry.Quantity(value, unit).to_base_units().magnitude for value in (0.0, 1.0))
    assert (to_si(0.0, unit), to_si(1.0, unit) - to_si(0.0, unit)) == (zero, one - zero)


def test_each_kind_is_of_one_dimension_and_no_two_are_of_the_same(registry):
    kinds = {kind: {registry.Unit(unit).dimensionality for unit in units} for kind, units in KINDS.items()}
    assert all(len(found) == 1 for found in kinds.values())
    assert len(set.union(*kinds.values())) == len(kinds)


@pytest.mark.parametrize("text", ["1 inch", "0.0254 m", "25.4 mm"])
def test_a_unit_that_is_not_the_course_s_own_is_looked_up(text):
    assert parse(text, "mm", "travel") == pytest.approx(0.0254, rel=1e-14)


def test_degrees_have_a_zero_of_their_own():
    assert to_si(np.array([-273.15, 0.0, 100.0]), "degC") == pytest.approx([0.0, 273.15, 373.15], rel=1e-14)


@given(st.floats(-1e6, 1e6), st.sampled_from([*EXACT, "degC"]))
def test_there_and_back(value, unit):
    """Within rounding: a double carries sixteen digits, and the zero of degC takes three of them."""
    assert from_si(to_si(value, unit), unit) == pytest.approx(value, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(("text", "words"), [
    ("4.6", "the unit is missing"), ("stiff", "expected a number and a unit"),
    ("4.6 kg", "not a unit of this quantity"), ("4.6 lbf", "not a unit of this quantity"),
    ("4.6 N/mmm", "is not known")])
def test_text_that_is_no_quantity_gets_its_sentence(text, words):
    with pytest.raises(InputError, match=words):
        parse(text, "N/mm", "spring rate")


@pytest.mark.parametrize(("value", "slip"), [
    (-0.1, "minus sign"), (100.0, "thousand times too large"), (1e-4, "thousand times too small"),
    (1.0, "decimal point"), (9.0, "two zeros"), (0.3, "both legs"), (np.nan, r"nan mm; allowed: 80 to 200 mm$")])
def test_a_likely_slip_is_said(value, slip):
    with pytest.raises(InputError, match=slip):
        require("oil height", np.array([0.1, value]), 0.08, 0.2, "mm")


@part
class Spacer:
    length: float = quantity("mm", 5, 80, "length of the spacer")
    count: int


@part(kw_only=True)
class Seat:
    width: float = quantity("mm", 1, 9, default=0.002)
    spacer: Spacer

    def __post_init__(self):
        require("spacer", self.spacer.count, 1, 3)


def test_a_part_is_frozen_and_checks_its_quantities():
    spacer = Spacer(0.02, 1)
    with pytest.raises(dataclasses.FrozenInstanceError):
        spacer.length = 0.03
    with pytest.raises(InputError, match="length of the spacer is 2 mm; allowed: 5 to 80 mm"):
        dataclasses.replace(spacer, length=0.002)


def test_a_part_may_check_more_and_then_does_it_itself():
    assert shown(Seat(spacer=Spacer(0.02, 2)).width, "mm") == "2 mm"
    with pytest.raises(InputError, match="spacer is 4"):
        Seat(spacer=Spacer(0.02, 4))


def test_a_misspelt_word_gets_its_neighbour():
    assert nearest("rebuond", ["rebound", "preload"]) == " (did you mean 'rebound'?)"
    assert nearest("xyz", ["rebound"]) == ""
