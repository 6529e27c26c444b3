"""ASTM D341 two-point line: a worked sheet, with 273 for the zero of the Celsius scale.

Source: astm-d341, two-point fit (printed: in a worked sheet)
"""

import pytest

from suspedu.parts.oil import walther_coefficients

# The sheet works with 273 instead of 273.15, so the temperatures here are the sheet's, not ours.
SHEET = {"viscosities": (32e-6, 5.4e-6), "temperatures": (313.0, 373.0)}  # (printed)


@pytest.mark.parametrize(("which", "printed"), [
    pytest.param(0, 9.5259, id="worked sheet, A"),
    pytest.param(1, 3.7449, id="worked sheet, B"),
])
def test_worked_sheet(which, printed):
    # The sheet rounds B before it computes A: half a unit of B's last digit times log10 T is 1.3e-4 in A.
    tolerance = 2e-4
    assert walther_coefficients(**SHEET)[which] == pytest.approx(printed, abs=tolerance)


def test_wrong_on_purpose_is_caught():
    """The same sheet with 273.15 for zero: close, and yet it must not pass for the line of the sheet (printed)."""
    a, b = walther_coefficients(SHEET["viscosities"], (313.15, 373.15))
    assert abs(a - 9.5259) > 2e-4 and abs(b - 3.7449) > 2e-4
