"""From the list of shims to plates and gaps: which shims bend as one, which face each other, how far apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.parts.shim_stacks.plate import flexural_rigidity, pressure_load, radial_mesh, ring_load
from suspedu.parts.shim_stacks.shims import SAME, Port, Stack

ELEMENTS = 24  # keeps the lift of one shim within 0.01 % of closed form for any bore
SEAT = -1  # stands for the piston's rim where a layer is expected


@dataclass(frozen=True)
class Layer:
    """Shims of one diameter that lie on each other: pressed from both sides they never part, so they bend as one."""

    first: int  # place of its first shim in the stack's list
    last: int
    radius: float  # m
    rigidity: float  # N m
    thickness: float  # m
    ring_inner: float = 0.0  # m; a ring is a spacer: its own bending is left out


def layers(stack: Stack, merge: bool = True) -> list[Layer]:
    """Layers of a stack, from the face outwards.

    D = sum of D_k over the shims of a layer: their deflections are equal and each carries its share

    Parameters: stack; merge, False to keep every shim a layer of its own (slower, and the same answer).
    Returns: one Layer per run of equal clamped shims; rings stand alone.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> taper = Stack((Shim(0.020, 2e-4), Shim(0.020, 2e-4), Shim(0.016, 1e-4)), clamp_diameter=0.010)
    >>> [(layer.first, layer.last) for layer in layers(taper)]
    [(0, 1), (2, 2)]

    Source: timoshenko-plates, equation 3 (printed, from memory); the lemma is derived in the tests
    """
    found: list[Layer] = []
    for place, shim in enumerate(stack.shims):
        rigidity = float(flexural_rigidity(shim.thickness, stack.young, stack.poisson))
        layer = Layer(place, place, _radius(shim.diameter), rigidity, shim.thickness, _radius(shim.inner_diameter))
        if merge and found and _alike(found[-1], layer):
            layer = Layer(found[-1].first, place, layer.radius, found[-1].rigidity + rigidity,
                          found[-1].thickness + shim.thickness)
            found.pop()
        found.append(layer)
    return found


def _radius(diameter: float) -> float:
    """Half a diameter to the nanometre, so that 18 mm written in two ways is one edge and not two."""
    return round(diameter / 2, 9)


def _alike(one: Layer, other: Layer) -> bool:
    return one.radius == other.radius and not one.ring_inner and not other.ring_inner


def stack_radii(stack: Stack, port: Port, elements: int):
    """Nodes of a stack on its port: every edge of a shim, ring or port outside the clamp is one.

    Parameters: stack; port; elements, about how many between clamp and edge.
    Returns: radii [n, m].

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> one = Stack((Shim(0.02, 2e-4),), clamp_diameter=0.01)
    >>> (stack_radii(one, Port(0.012, 0.018), 3) * 1e3).round(1).tolist()
    [5.0, 6.0, 7.3, 9.0, 10.0]

    Source: strang-fix, chapter 1 (printed, from memory)
    """
    diameters = [stack.clamp_diameter, port.inner_diameter, port.outer_diameter]
    diameters += [d for shim in stack.shims for d in (shim.diameter, shim.inner_diameter)]
    return radial_mesh([_radius(d) for d in diameters if d > stack.clamp_diameter - SAME], elements)


def unit_loads(radii, port: Port):
    """Load vectors on a port: one pascal under the pocket, one newton along the rim.

    f_i = int N_i 2 pi r dr, f_i = N_i(rim)

    Parameters: radii [n, m]; port.
    Returns: loads [2n, 2; m2 and m3, - and m].

    >>> loads = unit_loads(np.array([0.005, 0.006, 0.009, 0.01]), Port(0.012, 0.018))
    >>> loads[::2].sum(axis=0).round(7).tolist()  # pi (9^2 - 6^2) mm2 under one pascal, and one newton
    [0.0001414, 1.0]

    Source: strang-fix, section 1.7 (printed, from memory)
    """
    rim = port.outer_diameter / 2
    return np.column_stack([pressure_load(radii, port.inner_diameter / 2, rim), ring_load(radii, rim)])


def facing_places(found: list[Layer], radii) -> list[tuple[int, int, int, float]]:
    """Every place where two layers face each other, with the gap between them before any load.

    gap = thickness of the shims between that do not reach this radius - thickness of the rings that do

    Parameters: found, the layers; radii [n, m], whose first is the clamp.
    Returns: (front layer, back layer, node, gap [m]) per place; a negative gap is preload.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> spaced = Stack((Shim(0.02, 2e-4), Shim(0.012, 1e-4), Shim(0.02, 2e-4)), clamp_diameter=0.01)
    >>> [place[2:] for place in facing_places(layers(spaced), np.array([0.005, 0.008, 0.01]))]  # 0.1 mm apart outside
    [(1, 0.0001), (2, 0.0001)]
    """
    places: list[tuple[int, int, int, float]] = []
    for node in range(1, len(radii)):
        front, gap = None, 0.0
        for number, layer in enumerate(found):
            if layer.ring_inner:
                gap -= layer.thickness * (layer.ring_inner <= radii[node] <= layer.radius)
            elif radii[node] > layer.radius:
                gap += layer.thickness
            else:
                places += [] if front is None else [(front, number, node, gap)]
                front, gap = number, 0.0
    return places


def conforms(stack: Stack) -> bool:
    """Whether no shim hides a gap or a ring: then all shims may be taken to bend to one curve.

    Parameters: stack.
    Returns: True where the diameters never grow from the face outwards and no shim is a ring.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> taper, spaced = ((0.02, 0.016), (0.02, 0.012, 0.02))
    >>> [conforms(Stack(tuple(Shim(d, 2e-4) for d in row), 0.01)) for row in (taper, spaced)]
    [True, False]
    """
    diameters = [shim.diameter for shim in stack.shims]
    return not any(shim.inner_diameter for shim in stack.shims) and bool(np.all(np.diff(diameters) < SAME))
