"""Shims that stretch: a boundary-value solver agrees, small loads are linear, the coefficient is one number."""

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from suspedu.parts.shim_stacks.plate import clamped_deflection, flexural_rigidity, pressure_load, radial_mesh
from suspedu.parts.shim_stacks.stretch import ThinPlate, large_deflection, stretch_coefficient

BORE, EDGE, PORT = 4.5e-3, 9.0e-3, (5.5e-3, 8.0e-3)
YOUNG, NU, THICK = 206e9, 0.3, 0.15e-3


def shim(elements=24, bore_held=True):
    radii = radial_mesh((BORE, *PORT, EDGE), elements)
    return ThinPlate(radii, THICK, YOUNG, NU, (0, 1, 2 * len(radii)) if bore_held else (0, 1))


def linear(plate, load):
    return clamped_deflection(plate.radii, flexural_rigidity(THICK, YOUNG, NU), NU, load)


def by_boundary_values(pressure, bore_held):
    """Deflection at the edge [m] from the plate's differential equations, by scipy's collocation solver.

    States w, w', curvature sum k = (r w')'/r, in-plane u and N_r; V is the shear that the pressure outside r makes.
    """
    rigid = float(flexural_rigidity(THICK, YOUNG, NU))

    def rates(r, y):
        _, tilt, k, u, pull = y
        shear = np.where(r < PORT[1], pressure * (PORT[1] ** 2 - np.maximum(r, PORT[0]) ** 2) / (2 * r), 0.0)
        around = YOUNG * THICK * u / r + NU * pull
        return np.array([tilt, k - tilt / r, (pull * tilt - shear) / rigid,
                         pull * (1 - NU**2) / (YOUNG * THICK) - NU * u / r - tilt**2 / 2, (around - pull) / r])

    def ends(bore, edge):
        moment = edge[2] - (1 - NU) * edge[1] / EDGE
        return np.array([bore[0], bore[1], moment, bore[3] if bore_held else bore[4], edge[4]])

    r = np.unique(np.concatenate([np.linspace(BORE, EDGE, 241), PORT]))
    return solve_bvp(rates, ends, r, np.zeros((5, len(r))), tol=1e-7, max_nodes=20000).sol(EDGE)[0]


@pytest.mark.parametrize("bore_held", [True, False])
@pytest.mark.parametrize("bar", [0.5, 5.0, 20.0])
def test_a_boundary_value_solver_finds_the_same(bar, bore_held):
    """Two discretisations of one equation: 1e-4 is what the collocation's own tolerance leaves at the load's jumps."""
    plate = shim(bore_held=bore_held)
    found = large_deflection(plate, bar * 1e5 * pressure_load(plate.radii, *PORT))[-2]
    assert found == pytest.approx(by_boundary_values(bar * 1e5, bore_held), rel=1e-4)
    assert bar < 20.0 or found > THICK  # the largest load is one that stretches


def test_small_loads_are_linear():
    plate = shim()
    load = 10.0 * pressure_load(plate.radii, *PORT)
    assert large_deflection(plate, load) == pytest.approx(linear(plate, load), rel=1e-6, abs=1e-18)


def test_stretching_stiffens_and_never_softens():
    plate = shim()
    loads = [bar * 1e5 * pressure_load(plate.radii, *PORT) for bar in (1, 4, 16)]
    shares = [large_deflection(plate, load)[-2] / linear(plate, load)[-2] for load in loads]
    assert 1.0 > shares[0] > shares[1] > shares[2] > 0.0


def test_order_of_convergence():
    """Hermite cubics of a problem whose third derivative jumps only at nodes: the fourth power of the element."""
    def edge(halvings):
        radii = radial_mesh((BORE, *PORT, EDGE), 4)
        for _ in range(halvings):
            radii = np.sort(np.concatenate([radii, (radii[1:] + radii[:-1]) / 2]))
        plate = ThinPlate(radii, THICK, YOUNG, NU, (0, 1, 2 * len(radii)))
        return large_deflection(plate, 1e6 * pressure_load(radii, *PORT))[-2]

    errors = np.abs([edge(halvings) - edge(5) for halvings in (0, 1, 2)])
    assert np.all(np.log2(errors[:-1] / errors[1:]) > 3.5)


@pytest.mark.parametrize("share", [0.2, 0.6, 1.0, 1.5])
def test_one_coefficient_holds_to_one_and_a_half_thicknesses(share):
    plate = shim()
    rim, unit = 2 * int(np.argmin(np.abs(plate.radii - PORT[1]))), pressure_load(plate.radii, *PORT)
    load = unit * share * THICK / linear(plate, unit)[rim]
    bent = large_deflection(plate, load)[rim] / THICK
    assert bent * (1 + stretch_coefficient(BORE, EDGE, PORT) * bent**2) == pytest.approx(share, rel=0.02)


def test_a_coefficient_knows_only_ratios():
    larger = stretch_coefficient(2 * BORE, 2 * EDGE, (2 * PORT[0], 2 * PORT[1]))
    assert larger == pytest.approx(stretch_coefficient(BORE, EDGE, PORT), rel=1e-9)


def test_held_steel_stretches_more_than_steel_that_slides():
    assert stretch_coefficient(BORE, EDGE, PORT) > 1.3 * stretch_coefficient(BORE, EDGE, PORT, bore_held=False)


def test_no_balance_is_said():
    plate = shim(6)
    with pytest.raises(ArithmeticError, match="found no balance"):
        large_deflection(plate, np.full(2 * len(plate.radii), np.nan))
