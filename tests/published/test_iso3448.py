"""Viscosity grades: mid-points and limits of +-10 %.

Source: iso-3448, table 1 (printed, from memory)
"""

from itertools import pairwise

import pytest

from suspedu.parts.oil import ISO_GRADES, iso_grade

# Mid-points [mm2/s] by the grade's number (printed, from memory)
MIDDLES = {2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8, 10: 10, 15: 15, 22: 22, 32: 32, 46: 46, 68: 68, 100: 100, 150: 150}


@pytest.mark.parametrize(("name", "middle"), MIDDLES.items())
def test_mid_point_and_both_limits(name, middle):
    for factor in (0.9, 1.0, 1.1):
        assert iso_grade(factor * middle * 1e-6) == f"ISO VG {name}"
    for factor in (0.899, 1.101):
        assert iso_grade(factor * middle * 1e-6) == ""


def test_grades_never_overlap():
    """Gaps are left between the grades (printed, from memory)."""
    grades = list(ISO_GRADES.values())
    assert all(1.1 * low < 0.9 * high for low, high in pairwise(grades))


def test_wrong_on_purpose_is_caught():
    """A grade's name is not its mid-point below VG 10: 5 mm2/s is no ISO VG 7, 7.5 no VG 5 (printed, from memory)."""
    assert iso_grade(5e-6) == "ISO VG 5" and iso_grade(7.5e-6) != "ISO VG 5"
    assert iso_grade(6.9e-6) != "ISO VG 5"
