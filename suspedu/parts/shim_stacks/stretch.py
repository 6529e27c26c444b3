"""Shims that bend by about their own thickness also stretch, and push back harder than a flat plate would.

The plate of von Karman by the finite elements of `plate`: deflection and in-plane displacement are both Hermite
cubics. What comes out is one number per geometry, so that a lift curve needs no second solution.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from suspedu.numerics import remembered
from suspedu.parts.shim_stacks.plate import (
    AT,
    SHARE,
    flexural_rigidity,
    gathered,
    pressure_load,
    radial_mesh,
    shape_functions,
    stiffness,
)

ELEMENTS = 24
READ_AT = 0.8  # of the thickness: the linear deflection at which the coefficient is read; it hardly depends on it
SLENDER = 50.0  # edge radius over thickness of the plate that is solved; the equations know only ratios
REACH = 7  # from the first unknown of a node to the last of the next one
MOST_STEPS, SETTLED = 60, 1e-8  # a Newton step so small leaves an error of its square


@dataclass(frozen=True, eq=False)
class ThinPlate:
    """A round plate of one thickness; `held` are the unknowns (w, w' of every node, then u, u') that stay nothing."""

    radii: np.ndarray  # [n, m]
    thickness: float  # m
    young: float  # Pa
    poisson: float
    held: tuple[int, ...]

    @property
    def membrane(self) -> float:
        """Resistance to stretching, E t/(1 - nu^2) [N/m]."""
        return self.young * self.thickness / (1.0 - self.poisson**2)


@remembered
def stretch_coefficient(bore: float, edge: float, port: tuple[float, float], poisson: float = 0.3,
                        bore_held: bool = True) -> float:
    """How much a shim that is clamped at its bore stiffens as it stretches.

    w (1 + c (w/t)^2) = w_linear, read at the port's rim

    Parameters: bore, edge, radii of clamp and shim [m]; port, inner and outer radius under pressure [m]; poisson [-];
    bore_held, whether the clamp keeps the steel from sliding inwards, or lets it slide freely.
    Returns: coefficient c [-].
    Valid for: deflections up to one and a half thicknesses, to 2 %.

    >>> held, free = (stretch_coefficient(4.5e-3, 9e-3, (5.5e-3, 8e-3), bore_held=held) for held in (True, False))
    >>> round(held, 3), round(free, 3)
    (0.257, 0.144)

    Source: timoshenko-plates, chapter on large deflections of circular plates (printed, from memory)
    """
    radii = radial_mesh((bore, *port, edge), ELEMENTS)
    plate = ThinPlate(radii, edge / SLENDER, 1.0, poisson, (0, 1, 2 * len(radii)) if bore_held else (0, 1))
    rim, unit = 2 * int(np.argmin(np.abs(radii - port[1]))), pressure_load(radii, *port)
    linear = large_deflection(plate, 1e-9 * unit)[rim] * 1e9
    bent = large_deflection(plate, unit * (READ_AT * plate.thickness / linear))[rim] / plate.thickness
    return float((READ_AT / bent - 1.0) / bent**2)


def large_deflection(plate: ThinPlate, load):
    """Deflections and slopes of a plate that bends and stretches.

    D nabla^4 w = p + (1/r) (N_r r w')', with N_r from e_r = u' + w'^2/2 and e_t = u/r

    Parameters: plate; load [2n, as `pressure_load` gives it times a pressure, N and N m].
    Returns: unknowns (w, w') [2n; m, -].
    Raises: ArithmeticError where Newton's steps do not settle, as for loads far beyond any shim's.

    >>> radii = radial_mesh((4.5e-3, 9e-3), 12)
    >>> shim = ThinPlate(radii, 0.15e-3, 206e9, 0.3, (0, 1, 26))
    >>> w = large_deflection(shim, 3e5 * pressure_load(radii, 4.5e-3, 9e-3))[::2]
    >>> round(float(w[-1]) * 1e3, 4)  # mm; 0.2655 if it could not stretch
    0.2074

    Source: timoshenko-plates, chapter on large deflections of circular plates (printed, from memory)
    """
    size = 2 * len(plate.radii)
    by_node = np.arange(2 * size).reshape(2, -1, 2).swapaxes(0, 1).ravel()  # w, w', u, u' of each node together
    free = by_node[~np.isin(by_node, plate.held)]
    rigid = stiffness(plate.radii, flexural_rigidity(plate.thickness, plate.young, plate.poisson), plate.poisson)
    unknowns, pushed = np.zeros(2 * size), np.concatenate([load, np.zeros(size)])
    for _ in range(MOST_STEPS):
        force, tangent = _stretched(plate, unknowns)
        force[:size] += rigid @ unknowns[:size]
        tangent[:size, :size] += rigid
        step = _solved(tangent[np.ix_(free, free)], (pushed - force)[free])
        unknowns[free] += step
        if np.abs(step).max() <= SETTLED * np.abs(unknowns).max():
            return unknowns[:size]
    raise ArithmeticError("the plate that stretches found no balance; is the load that of a shim?")


def _solved(matrix, right):
    """Solution of equations in which a node meets only its neighbours: a band beside the diagonal is all there is."""
    band = np.zeros((2 * REACH + 1, len(right)))
    for above in range(-REACH, REACH + 1):
        line = np.diagonal(matrix, above)
        band[REACH - above, max(above, 0):max(above, 0) + len(line)] = line
    return scipy.linalg.solve_banded((REACH, REACH), band, right, check_finite=False)


def _stretched(plate: ThinPlate, unknowns):
    """Forces and tangent stiffness of the membrane alone, over (w, w', ...) and (u, u', ...)."""
    value, slope, _ = shape_functions(plate.radii)
    h = np.diff(plate.radii)[:, None]
    at = plate.radii[:-1, None] + h * AT
    weight = 2.0 * np.pi * at * h * SHARE * plate.membrane
    w, u = np.split(unknowns, 2)
    tilt = np.einsum("egi,ei->eg", slope, gathered(w))
    radial = np.einsum("egi,ei->eg", slope, gathered(u)) + tilt**2 / 2
    round_ = np.einsum("egi,ei->eg", value, gathered(u)) / at
    return _summed(plate, weight, (tilt, radial, round_), slope, value / at[..., None])


def _summed(plate, weight, strains, slope, hoop):
    (tilt, radial, around), nu = strains, plate.poisson
    pull_r, pull_t = radial + nu * around, around + nu * radial  # over the membrane's resistance
    tilted = tilt[..., None] * slope
    along = slope + nu * hoop  # how pull_r answers to u
    force_w = np.einsum("eg,egi->ei", weight * pull_r, tilted)
    force_u = np.einsum("eg,egi->ei", weight * pull_r, slope) + np.einsum("eg,egi->ei", weight * pull_t, hoop)
    ww = np.einsum("eg,egi,egj->eij", weight * pull_r, slope, slope) + _product(weight, tilted, tilted)
    uu = _product(weight, slope, along) + _product(weight, hoop, hoop + nu * slope)
    return _whole(force_w, force_u, ww, _product(weight, tilted, along), uu)


def _product(weight, one, other):
    return np.einsum("eg,egi,egj->eij", weight, one, other)


def _whole(force_w, force_u, ww, wu, uu):
    """Element blocks added up into one vector and one matrix."""
    elements, size = len(ww), 2 * len(ww) + 2
    place = 2 * np.arange(elements)[:, None] + np.arange(4)
    force, tangent = np.zeros(2 * size), np.zeros((2 * size, 2 * size))
    np.add.at(force, place, force_w)
    np.add.at(force, place + size, force_u)
    rows, columns = place[:, :, None], place[:, None, :]
    for across, down, block in ((0, 0, ww), (0, size, wu), (size, 0, wu.transpose(0, 2, 1)), (size, size, uu)):
        np.add.at(tangent, (rows + across, columns + down), block)
    return force, tangent
