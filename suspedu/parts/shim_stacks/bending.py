"""A stack drawn as it bends: shape and stress of every shim, and where the shims press on each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.numerics import remembered
from suspedu.parts.shim_stacks.contact import ContactStack, balance, contact_stack, deflections
from suspedu.parts.shim_stacks.layers import SEAT
from suspedu.parts.shim_stacks.lift import lift_curve
from suspedu.parts.shim_stacks.plate import curvatures
from suspedu.parts.shim_stacks.shims import Port, Stack
from suspedu.units import require

FATIGUE_LIMIT = 650e6  # Pa, bending, hardened carbon strip: about 0.4 of 1.6 to 1.7 GPa strength (printed, from memory)


@dataclass(frozen=True, eq=False)
class BentStack:
    """A stack under pressure; rows are shims in the order of the list, nan where a shim does not reach or bend."""

    radii: np.ndarray  # [n, m]
    heights: np.ndarray  # [shims, m] of each shim's face side at rest, above the piston face
    deflection: np.ndarray  # [shims, n; m], away from the piston
    stress_radii: np.ndarray  # [2 (n-1), m]: both ends of every element, since stress may jump between two
    radial_stress: np.ndarray  # [shims, 2 (n-1); Pa] on the side that faces the piston: tension is positive
    tangential_stress: np.ndarray  # likewise
    contacts: tuple[tuple[int, int, float, float], ...]  # (front shim or -1 for the seat, back shim, radius, newton)
    thickness: np.ndarray  # [shims, m]
    bending_share: float  # of the pressure [-]: bending holds so much, stretching the rest

    @property
    def peak_stress(self) -> float:
        """Largest bending stress [Pa] of any shim, either sign (the other side bears the same, reversed)."""
        return float(np.nanmax(np.abs([self.radial_stress, self.tangential_stress])))

    @property
    def fatigue_share(self) -> float:
        """Peak stress over the fatigue limit of spring steel [-]: above 1 the stack will crack some day."""
        return self.peak_stress / FATIGUE_LIMIT

    @property
    def deflection_ratio(self) -> float:
        """Largest deflection of a shim in shares of its own thickness [-]."""
        return float(np.nanmax(np.abs(self.deflection) / self.thickness[:, None]))

    @property
    def large_deflection(self) -> bool:
        """Whether a shim bends by more than its thickness: stretching, which is counted, then holds a good share."""
        return self.deflection_ratio > 1.0


@remembered
def bent_stack(stack: Stack, port: Port, pressure: float, ring_force: float = 0.0) -> BentStack:
    """Shape, bending stress and contacts of a stack under a pressure.

    sigma_r = E t / (2 (1 - nu^2)) (w'' + nu w'/r), sigma_t with the two curvatures swapped

    Parameters: stack; port; pressure [Pa]; ring_force [N] along the port's rim, away from the piston.
    Returns: BentStack, cached.
    Raises: InputError for a negative pressure or a stack that does not fit its port.
    Assumes: as `lift_curve`. Deflections and contacts are those of the pressure that bending holds; the rest hangs in
    the stretched shims. Stresses are those of plates that would hold the whole pressure by bending: more than bending
    and stretching make together (a twelfth more at a deflection of one thickness, clamped circle, by `roark`'s K1 to
    K4), so on the safe side. Stress at the clamp's sharp edge is the plate's own, without any notch.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> bent = bent_stack(Stack((Shim(0.02, 2e-4),) * 3, 0.01), Port(0.012, 0.018), 5e5)
    >>> round(bent.peak_stress / 1e6), bent.large_deflection  # MPa
    (249, False)

    Source: timoshenko-plates, section on symmetrical bending of circular plates (printed, from memory)
    """
    require("pressure under the stack", pressure, 0.0, 1e8, "bar")
    problem = contact_stack(stack, port)
    bending = float(lift_curve(stack, port).bending_pressure(pressure))
    force = balance(problem, bending, ring_force)
    shape, _, _ = _of_shims(problem, stack, _shapes(problem, bending, ring_force))
    _, radial, tangential = _of_shims(problem, stack, _shapes(problem, pressure, ring_force))
    thickness = np.array([shim.thickness for shim in stack.shims])
    held = np.array([0.0 if shim.inner_diameter else shim.thickness for shim in stack.shims])
    ends = np.stack([problem.radii[:-1], problem.radii[1:]], axis=1).ravel()
    return BentStack(problem.radii, np.cumsum(held) - held, shape, ends, radial, tangential,
                     _contacts(problem, force), thickness, bending / pressure if pressure else 1.0)


def _shapes(problem: ContactStack, pressure: float, ring_force: float) -> dict:
    force = balance(problem, pressure, ring_force)
    return dict(zip(problem.plates, deflections(problem, force, pressure, ring_force), strict=True))


def _of_shims(problem: ContactStack, stack: Stack, bent: dict):
    """Deflection and stresses per shim: all shims of a layer share its curve."""
    count, n = len(stack.shims), len(problem.radii)
    shape, radial, tangential = (np.full((count, size), np.nan) for size in (n, 2 * n - 2, 2 * n - 2))
    for number, unknowns in bent.items():
        layer, reach = problem.layers[number], len(unknowns) // 2
        around, across = curvatures(problem.radii[:reach], unknowns)
        for place in range(layer.first, layer.last + 1):
            modulus = stack.young * stack.shims[place].thickness / (2 * (1 - stack.poisson**2))
            shape[place, :reach] = unknowns[::2]
            radial[place, :2 * reach - 2] = modulus * (around + stack.poisson * across).ravel()
            tangential[place, :2 * reach - 2] = modulus * (across + stack.poisson * around).ravel()
    return shape, radial, tangential


def _contacts(problem: ContactStack, force):
    """Pressed places by the shims of the list that face each other there."""
    pressed = np.flatnonzero(force > 1e-9 * force.max(initial=0.0))
    rows = [(*problem.places[k][:3], float(force[k])) for k in pressed]
    return tuple((SEAT if front == SEAT else problem.layers[front].last, problem.layers[back].first,
                  float(problem.radii[node]), newton) for front, back, node, newton in rows)
