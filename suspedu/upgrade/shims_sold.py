"""Stacks that can be built from shims that are sold, on the clamp, float and ports as they are."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from suspedu.numerics import remembered
from suspedu.parts.shim_stacks import Shim, Stack, conforming_lift
from suspedu.units import from_si, to_si

SOLD = (0.10, 0.11, 0.12, 0.15, 0.20, 0.25, 0.30)  # mm (common practice)
THICKNESSES = tuple(thick for thick in SOLD if thick not in (0.11, 0.12))  # of the school's drawer
DIAMETER_STEP = 0.5  # mm, from clamp to face (common practice)
TAPERS = (1.0, 1.5, 2.0, 3.0)  # mm from one tapered shim to the next
FACES = range(1, 9)  # face shims
ROOM = 0.5e-3  # m of height, more or less than before: what the thread and the spacers take (guess of the course)
ROUND = 3  # digits of a millimetre


@dataclass(frozen=True)
class Drawer:
    """What is sold: thicknesses and tapers [mm], numbers of face shims."""

    thicknesses: tuple[float, ...] = THICKNESSES
    tapers: tuple[float, ...] = TAPERS
    faces: tuple[int, ...] = tuple(FACES)


DRAWER = Drawer()


def shim_list(stack: Stack) -> tuple[tuple[float, float], ...]:
    """A stack as a mechanic writes it: diameter and thickness of each shim from the face [mm].

    >>> shim_list(Stack((Shim(0.02, 1.5e-4), Shim(0.016, 2e-4)), 0.01))
    ((20.0, 0.15), (16.0, 0.2))
    """
    return tuple((round(float(from_si(shim.diameter, "mm")), ROUND), round(float(from_si(shim.thickness, "mm")), ROUND))
                 for shim in stack.shims)


def counted_shims(stack: Stack) -> list[tuple[int, float, float]]:
    """The same with equal neighbours counted: how many, diameter, thickness [mm].

    >>> counted_shims(Stack((Shim(0.02, 1.5e-4), Shim(0.02, 1.5e-4), Shim(0.016, 2e-4)), 0.01))
    [(2, 20.0, 0.15), (1, 16.0, 0.2)]
    """
    rows: list[tuple[int, float, float]] = []
    for wide, thick in shim_list(stack):
        if rows and rows[-1][1:] == (wide, thick):
            rows[-1] = (rows[-1][0] + 1, wide, thick)
        else:
            rows.append((1, wide, thick))
    return rows


def stack_height(stack: Stack) -> float:
    """Height of a stack as it lies on the bench [m].

    >>> round(stack_height(Stack((Shim(0.02, 1.5e-4), Shim(0.016, 2e-4)), 0.01)) * 1e3, 2)
    0.35
    """
    return float(sum(shim.thickness for shim in stack.shims))


def tapered_stack(before: Stack, faces: int, face: float, step: float, taper: float) -> Stack:
    """A stack with the face diameter, the clamp and the clamp shim of another, and sold shims between.

    Parameters: before, the stack that it replaces; faces, number of face shims; face, their thickness [mm]; step in
    diameter from one tapered shim to the next [mm]; taper, thickness of those [mm].

    >>> from suspedu.damper import stock_damper
    >>> old = stock_damper("open cartridge").rebound.ports[0].stack
    >>> counted_shims(tapered_stack(old, 3, 0.2, 3.0, 0.15))
    [(3, 21.0, 0.2), (1, 18.0, 0.15), (1, 15.0, 0.15), (1, 12.0, 0.15), (1, 10.0, 0.2)]
    """
    widest, narrowest = (shim_list(before)[place][0] for place in (0, -1))
    between = np.arange(widest - step, narrowest + 1e-6, -step)
    sizes = [(widest, face)] * faces + [(float(wide), taper) for wide in between if wide > narrowest + 1e-6]
    return replace(before, shims=(*(Shim(_metres(wide), _metres(thick)) for wide, thick in sizes), before.shims[-1]))


def _metres(size: float) -> float:
    return round(float(to_si(size, "mm")), 9)  # the same number for the same shim, wherever it comes from


@remembered(size=16)
def buildable(before: Stack, drawer: Drawer = DRAWER) -> tuple[Stack, ...]:
    """All stacks of a drawer that fit in the place of another, height and all.

    >>> from suspedu.damper import stock_damper
    >>> old = stock_damper("open cartridge").rebound.ports[0].stack
    >>> all(abs(stack_height(each) - stack_height(old)) <= ROOM + 1e-9 for each in buildable(old)), len(buildable(old))
    (True, 342)
    """
    rows = product(drawer.faces, drawer.thicknesses, drawer.tapers, drawer.thicknesses)
    stacks = dict.fromkeys(tapered_stack(before, *row) for row in rows)
    return tuple(each for each in stacks if abs(stack_height(each) - stack_height(before)) <= ROOM + 1e-9)


@remembered(size=16)
def by_stiffness(before: Stack, port, drawer: Drawer = DRAWER) -> tuple[Stack, ...]:
    """The same, the softest first, by the simple law of stacks bent to one curve.

    Parameters: before, the stack that is there; port, as pressure works on it; drawer.
    """
    def lift(stack: Stack) -> float:
        return float(conforming_lift(1e5, stack, port))

    return tuple(sorted(buildable(before, drawer), key=lift, reverse=True))
