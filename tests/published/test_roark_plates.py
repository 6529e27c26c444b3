"""Bore fixed, outer edge free, uniform pressure: `y_a = K_y q a^4 / D`, `M_rb = K_M q a^2`, nu = 0.3, columns b/a.

Source: roark, table 11.2, case 2l (printed, from memory)
A row passes within half a unit of its last printed digit.
"""

import pytest

from suspedu.parts.shim_stacks.plate import clamped_deflection, curvatures, pressure_load, radial_mesh

# K_y and K_M over b/a (printed, from memory)
TABLE = {0.1: (-0.0757, -0.9646), 0.3: (-0.0318, -0.4103), 0.5: (-0.0086, -0.1736), 0.7: (-0.0011, -0.0541)}
HALF_UNIT = 0.5e-4


def coefficients(bore: float) -> tuple[float, float]:
    """Deflection of the edge and moment at the bore for a = q = D = 1; Roark counts both downwards."""
    radii = radial_mesh((bore, 1.0), 400)  # the moment is second-order accurate: 400 elements leave 1e-5
    unknowns = clamped_deflection(radii, 1.0, 0.3, pressure_load(radii, bore, 1.0))
    around, across = curvatures(radii, unknowns)
    return -float(unknowns[-2]), -float(around[0, 0] + 0.3 * across[0, 0])


@pytest.mark.parametrize("which", [0, 1], ids=["K_y", "K_Mrb"])
@pytest.mark.parametrize("bore", TABLE, ids=lambda bore: f"case 2l, b/a {bore}")
def test_printed_entry(bore, which):
    assert coefficients(bore)[which] == pytest.approx(TABLE[bore][which], abs=HALF_UNIT)


def test_wrong_on_purpose_is_caught():
    """Row b/a = 0.3 (printed, from memory) with the deflection of 0.5, and with a moment's last digit off by two."""
    deflection, moment = coefficients(0.3)
    assert deflection != pytest.approx(-0.0086, abs=HALF_UNIT)
    assert moment != pytest.approx(-0.4105, abs=HALF_UNIT)
