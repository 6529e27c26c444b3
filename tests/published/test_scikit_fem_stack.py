"""An independent check by a general-purpose finite-element library: one tapered stack, all its own way.

Source: scikit-fem, Hermite elements (computed by scikit-fem)
Its own mesh, its own elements, its own quadrature and solver; rigidity as a function of the radius.
"""

import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementLineHermite, LinearForm, MeshLine, enforce, solve
from skfem.helpers import dd

from suspedu.parts.shim_stacks import Port, Shim, Stack, conforming_deflection

TAPER = Stack(tuple(Shim(d * 1e-3, t * 1e-3) for d, t in [(20, 0.15), (20, 0.15), (18, 0.1), (16, 0.2), (13, 0.1)]),
              clamp_diameter=0.010)
PORT = Port(0.012, 0.018)


def rigidity(radius, shims=TAPER.shims):
    cubes = sum(shim.thickness**3 * (radius < shim.diameter / 2) for shim in shims)
    return 206e9 * cubes / (12 * (1 - 0.3**2))


def library_lift(pressure: float, shims=TAPER.shims) -> float:
    """Lift at the port's rim (computed by scikit-fem), in centimetres and N m: the matrix holds numbers near one."""
    mesh = MeshLine(np.linspace(0.5, 1.0, 501))  # every edge, a multiple of half a millimetre, is a node
    basis = Basis(mesh, ElementLineHermite(), intorder=8)

    @BilinearForm
    def energy(u, v, w):
        r = w.x[0]
        bu, bv, su, sv = dd(u)[0, 0], dd(v)[0, 0], u.grad[0] / r, v.grad[0] / r
        return rigidity(r * 1e-2, shims) * (bu * bv + su * sv + 0.3 * (bu * sv + su * bv)) * r

    @LinearForm
    def push(v, w):
        return v * w.x[0] * ((w.x[0] > 0.6) & (w.x[0] < 0.9))

    at_bore = basis.get_dofs(lambda x: np.isclose(x[0], 0.5))
    found = solve(*enforce(energy.assemble(basis), push.assemble(basis) * pressure * (1e-2) ** 4, D=at_bore))
    return (basis.probes(np.array([[0.9]])) @ found).item()


def our_lift(pressure: float) -> float:
    radii, unknowns = conforming_deflection(TAPER, PORT, pressure)
    return float(np.interp(0.009, radii, unknowns[::2]))


def test_tapered_stack_agrees():
    """500 of their elements against 24 of ours: our own mesh error of 1e-5 is all that may remain."""
    assert our_lift(5e5) == pytest.approx(library_lift(5e5), rel=1e-4)


def test_wrong_on_purpose_is_caught():
    """A stack with its smallest shim left out differs by little, and must not pass."""
    assert our_lift(5e5) != pytest.approx(library_lift(5e5, TAPER.shims[:-1]), rel=1e-4)
