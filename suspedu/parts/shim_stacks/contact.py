"""A stack on its port as one contact problem: plates, the places where they face each other, and the seat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from suspedu.numerics import remembered
from suspedu.parts.shim_stacks.complementarity import contact_forces
from suspedu.parts.shim_stacks.layers import ELEMENTS, SEAT, Layer, facing_places, layers, stack_radii, unit_loads
from suspedu.parts.shim_stacks.plate import stiffness
from suspedu.parts.shim_stacks.shims import Port, Stack, check_covers, merged


@dataclass(frozen=True, eq=False)
class ContactStack:
    """Everything about a stack that does not depend on the pressure; the last facing place is the seat."""

    radii: np.ndarray  # [n, m]
    layers: tuple[Layer, ...]
    plates: tuple[int, ...]  # numbers of the layers that bend
    inverses: tuple[np.ndarray, ...]  # per plate, (w, w') from forces, clamp left out
    loads: np.ndarray  # [(w, w') of the face shim, 2]: per pascal under it, per newton along the port's rim
    places: tuple[tuple[int, int, int, float], ...]
    incidence: np.ndarray  # [places, all deflections]: +1 the back layer's, -1 the front layer's
    compliance: np.ndarray  # [places, places; m/N]
    slack: np.ndarray  # [places, m] at no pressure
    slack_rates: np.ndarray  # [places, 2]: per pascal, per newton along the rim


@remembered(size=48)
def contact_stack(stack: Stack, port: Port, elements: int = ELEMENTS, merge: bool = True) -> ContactStack:
    """Contact problem of a stack on its port.

    W = B C B^T, C the plates' compliances, B which two deflections each place compares

    Parameters: stack; port; elements along the radius; merge equal neighbours into one layer.
    Returns: ContactStack, cached.
    Raises: InputError where the face shim does not cover the port.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> two = Stack((Shim(0.02, 2e-4), Shim(0.016, 1e-4)), clamp_diameter=0.01)
    >>> problem = contact_stack(two, Port(0.012, 0.018))
    >>> problem.plates, problem.compliance.shape == (len(problem.places),) * 2
    ((0, 1), True)

    Source: timoshenko-plates; cottle, section 5.1, contact as complementarity (printed, from memory)
    """
    check_covers(stack, port)
    stack, port = merged(stack, port)
    radii, found = stack_radii(stack, port, elements), layers(stack, merge)
    plates = tuple(k for k, layer in enumerate(found) if not layer.ring_inner and layer.radius > radii[0])
    reach = [int(np.searchsorted(radii, found[k].radius, side="right")) for k in plates]
    inverses = tuple(_inverse(radii[:n], found[k].rigidity, stack.poisson) for k, n in zip(plates, reach, strict=True))
    rim = int(np.argmin(np.abs(radii - port.outer_diameter / 2)))
    places = (*facing_places(found, radii), (SEAT, 0, rim, 0.0))
    incidence = _incidence(places, plates, reach)
    compliance = incidence @ scipy.linalg.block_diag(*[inverse[::2, ::2] for inverse in inverses]) @ incidence.T
    loads = unit_loads(radii, port)[2:][:len(inverses[0])]
    rates = incidence[:, :reach[0] - 1] @ (inverses[0] @ loads)[::2]
    gaps = np.array([gap for *_, gap in places])
    return ContactStack(radii, tuple(found), plates, inverses, loads, places, incidence, compliance, gaps, rates)


def _inverse(radii, rigidity, poisson):
    return np.linalg.inv(stiffness(radii, rigidity, poisson)[2:, 2:])


def _incidence(places, plates, reach):
    """Rows of places, columns of deflections: those of all plates in turn, the clamped node left out."""
    start = dict(zip(plates, np.cumsum([0, *reach]) - np.arange(len(reach) + 1), strict=False))
    matrix = np.zeros((len(places), sum(reach) - len(reach)))
    for row, (front, back, node, _) in enumerate(places):
        matrix[row, start[back] + node - 1] = 1.0
        if front != SEAT:
            matrix[row, start[front] + node - 1] = -1.0
    return matrix


def balance(problem: ContactStack, pressure: float, ring_force: float = 0.0, guess=None):
    """Contact forces of a stack under pressure on its port and a force along its rim.

    Parameters: problem; pressure [Pa]; ring_force [N], away from the piston; guess [places, true or false] of contact.
    Returns: force [places, N].

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> preloaded = Stack((Shim(0.02, 2e-4), Shim(0.02, 1e-4, 0.016), Shim(0.02, 2e-4)), clamp_diameter=0.01)
    >>> round(float(balance(contact_stack(preloaded, Port(0.012, 0.018)), 0.0)[-1]), 1)  # newton on the seat, at rest
    47.5

    Source: cottle, section 1.2 (printed, from memory)
    """
    return contact_forces(problem.compliance, problem.slack + problem.slack_rates @ (pressure, ring_force), guess)


def deflections(problem: ContactStack, force, pressure: float, ring_force: float = 0.0):
    """Deflections and slopes of every plate under its loads and the contact forces.

    u = K^-1 (loads + B^T force)

    Parameters: problem; force [places, N]; pressure [Pa]; ring_force [N].
    Returns: one array [2 nodes within its reach] (w, w') per plate, clamp included.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> problem = contact_stack(Stack((Shim(0.02, 2e-4),), clamp_diameter=0.01), Port(0.012, 0.018))
    >>> (face,) = deflections(problem, balance(problem, 1e5), 1e5)
    >>> round(float(face[-2]) * 1e3, 3)  # mm at the shim's edge
    0.029

    Source: timoshenko-plates (printed, from memory)
    """
    pushes, start, found = problem.incidence.T @ force, 0, []
    for number, inverse in enumerate(problem.inverses):
        loads = problem.loads @ (pressure, ring_force) if number == 0 else np.zeros(len(inverse))
        loads[::2] += pushes[start:start + len(inverse) // 2]
        start += len(inverse) // 2
        found.append(np.concatenate([[0.0, 0.0], inverse @ loads]))
    return found
