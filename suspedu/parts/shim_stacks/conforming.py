"""The simplest law of a shim stack, and the one to read first: all shims bend to one curve.

Each shim is a thin ring plate, clamped in the middle. Pressed together without a gap they take one shape, so they add
up like leaves of a leaf spring: where three shims reach, three of them resist. A shim resists with the *cube* of its
thickness, and the free ring from clamp to edge counts with almost the fourth power of its width. That is all a tuner
needs to know of most stacks.

What it leaves out: shims that part, gaps between stages, rings that preload. For these `lift` has the same answer from
plates in contact (`contact`, `complementarity`, `layers`), built on the same plate (`plate`).
"""

from __future__ import annotations

import numpy as np

from suspedu.parts.shim_stacks.layers import ELEMENTS, conforms, stack_radii, unit_loads
from suspedu.parts.shim_stacks.plate import clamped_deflection, flexural_rigidity
from suspedu.parts.shim_stacks.shims import Port, Stack, check_covers, merged
from suspedu.units import InputError


def conforming_lift(pressure_drop, stack: Stack, port: Port):
    """Lift of a conforming stack at its port's rim: in proportion to the pressure under it.

    w(r_rim) = p w_1(r_rim), w_1 the deflection under one pascal, D(r) = sum of D_k over the shims that reach r

    Parameters: pressure_drop [any shape, Pa]; stack; port.
    Returns: lift [same shape, m].
    Raises: InputError for a stack with a gap or a ring, which cannot conform.
    Assumes: small deflections; full pressure under the whole port at any lift.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> thin, thick = (Stack((Shim(0.020, t),) * 3, clamp_diameter=0.010) for t in (0.1e-3, 0.2e-3))
    >>> port = Port(0.012, 0.018)
    >>> round(float(conforming_lift(5e5, thick, port)) * 1e3, 3)  # mm at 5 bar
    0.037
    >>> round(float(conforming_lift(5e5, thin, port) / conforming_lift(5e5, thick, port)), 6)  # half as thick: 2^3
    8.0

    Source: timoshenko-plates (printed, from memory)
    """
    radii, unknowns = conforming_deflection(stack, port, 1.0)
    return np.asarray(pressure_drop, dtype=float) * np.interp(port.outer_diameter / 2, radii, unknowns[::2])


def conforming_deflection(stack: Stack, port: Port, pressure: float, ring_force: float = 0.0, elements: int = ELEMENTS):
    """Deflection and slope of a stack whose shims all bend to one curve.

    D(r) = sum of D_k over the shims that reach r

    Parameters: stack; port; pressure [Pa]; ring_force [N] along the rim; elements along the radius.
    Returns: radii [n, m]; (w, w') in turn [2n; m, -].
    Raises: InputError for a stack with a gap or a ring, which cannot conform.

    >>> from suspedu.parts.shim_stacks.shims import Shim
    >>> radii, w = conforming_deflection(Stack((Shim(0.02, 2e-4),), 0.01), Port(0.012, 0.018), 1e5)
    >>> round(float(w[-2]) * 1e3, 3)  # mm at the shim's edge
    0.029

    Source: timoshenko-plates (printed, from memory)
    """
    check_covers(stack, port)
    if not conforms(stack):
        raise InputError("this stack holds a gap or a ring, so its shims cannot all bend to one curve; "
                         "solve it with contact")
    stack, port = merged(stack, port)
    radii = stack_radii(stack, port, elements)
    middle = 0.5 * (radii[1:] + radii[:-1])
    rigidity = sum(flexural_rigidity(s.thickness, stack.young, stack.poisson) * (middle < s.diameter / 2)
                   for s in stack.shims)
    load = unit_loads(radii, port) @ (pressure, ring_force)
    return radii, clamped_deflection(radii, rigidity, stack.poisson, load)
