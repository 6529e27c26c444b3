"""ASTM D2270 viscosity index, against the table of the standard as the library `chemicals` carries it.

Source: astm-d2270, examples of procedures A and B (computed by chemicals); chemicals
"""

import numpy as np
import pytest
from chemicals.viscosity import VI_Hs, VI_Ls, VI_nus
from chemicals.viscosity import viscosity_index as library_index

from suspedu.parts.oil import _L_AND_H, viscosity_index


# (computed by chemicals: the examples that its documentation quotes from the standard)
@pytest.mark.parametrize(("nu_40", "nu_100", "printed"), [
    pytest.param(73.30, 8.86, 92, id="example of procedure A"),
    pytest.param(53.47, 7.80, 111, id="example of procedure B"),
    pytest.param(22.83, 5.05, 156, id="example of procedure B, light oil (printed, from memory)"),
])
def test_examples_of_the_standard(nu_40, nu_100, printed):
    assert round(float(viscosity_index(nu_40 * 1e-6, nu_100 * 1e-6))) == printed


def test_wrong_on_purpose_is_caught():
    """Swapping the digits of nu_40 (37.30 for 73.30) must not give the 92 (computed by chemicals) of 73.30."""
    assert round(float(viscosity_index(37.30e-6, 8.86e-6))) != 92


def test_polynomials_follow_the_table_of_the_standard():
    """All 311 rows of L and H (computed by chemicals: its copy of the table): our polynomials stay within 0.1 %."""
    y = np.array(VI_nus)
    row = _L_AND_H[np.searchsorted(_L_AND_H[:, 0], y, side="right") - 1]
    low = row[:, 1] * y**2 + row[:, 2] * y + row[:, 3]
    high = row[:, 4] * y**2 + row[:, 5] * y + row[:, 6]
    assert low == pytest.approx(np.array(VI_Ls), rel=1e-3)
    assert high == pytest.approx(np.array(VI_Hs), rel=1e-3)


@pytest.mark.parametrize("nu_100", [2.5, 3.5, 5.0, 9.9, 33.0, 80.0])
@pytest.mark.parametrize("ratio", [2.2, 4.0, 8.0])
def test_library_over_the_range(nu_100, ratio):
    """L and H within 0.1 % leave a unit and a half of the index (computed by chemicals), more where they are close."""
    ours = float(viscosity_index(ratio * nu_100 * 1e-6, nu_100 * 1e-6))
    theirs = library_index(ratio * nu_100 * 1e-6, nu_100 * 1e-6)
    assert ours == pytest.approx(theirs, abs=1.5, rel=0.005)
