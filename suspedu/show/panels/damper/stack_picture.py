"""A shim stack on its port, drawn as a half section: from the clamp to the edge, as it bends.

The picture's height is bending in true millimetres. Steel is drawn thinner than that scale, by one factor for
all shims, so that shims that touch also touch in the picture, and gaps keep the scale of the bending.
"""

from __future__ import annotations

import numpy as np

from suspedu.parts.shim_stacks import BentStack, Port, Stack
from suspedu.school.stacks import gap_shims
from suspedu.show.view import Mark, Shape, box
from suspedu.units import from_si

STEEL = 1.0 / 6.0  # height of a millimetre of steel in the picture, against a millimetre of bending
BORE, FLOOR = 3.0, -0.15  # mm: half the bolt, bottom of the piston as drawn
PLACES = 11  # shims that a picture can hold


def stack_picture(stack: Stack, bent: BentStack, port: Port) -> tuple:
    """Items of a section in mm: piston, PLACES shims (those not there are empty), clamp, bolt."""
    foot = shim_feet(stack)
    drawn = [_shim(place, stack, bent, foot) for place in range(len(stack.shims))]
    empty = [Shape(f"shim {place + 1}", np.full(2, BORE), np.zeros(2)) for place in range(len(stack.shims), PLACES)]
    top, half = foot[-1] + STEEL * from_si(stack.shims[-1].thickness, "mm"), from_si(stack.clamp_diameter, "mm") / 2
    return (
        *_piston(port),
        *drawn,
        *empty,
        box("clamp", 0.0, top, half, 0.1, role="ink", tint=0.5, edge=0.6),
        box("bolt", 0.0, FLOOR, BORE, top + 0.1 - FLOOR, role="ink", tint=0.62, edge=0.6),
    )


def shim_feet(stack: Stack) -> np.ndarray:
    """Height of each shim's face side at rest in the picture [mm]; a small shim inside is a gap, at full scale."""
    scale = np.array([1.0 if place in gap_shims(stack) else STEEL for place in range(len(stack.shims))])
    heights = scale * [from_si(shim.thickness, "mm") for shim in stack.shims]
    return np.cumsum(heights) - heights


def _shim(place: int, stack: Stack, bent: BentStack, foot) -> Shape:
    """Outline of one shim: flat under the clamp, bent outside of it."""
    shim, mm = stack.shims[place], from_si(bent.radii, "mm")
    reach = np.isfinite(bent.deflection[place])
    edge = from_si(max(shim.diameter, stack.clamp_diameter), "mm") / 2
    r = np.r_[BORE, mm[reach]] if reach.any() else np.array([BORE, edge])
    lift = np.r_[0.0, from_si(bent.deflection[place][reach], "mm")] if reach.any() else np.zeros(2)
    thick = from_si(shim.thickness, "mm") * (1.0 if place in gap_shims(stack) else STEEL)
    role = "third" if place in gap_shims(stack) else "main"
    low = foot[place] + lift
    return Shape(f"shim {place + 1}", np.r_[r, r[::-1]], np.r_[low, (low + thick)[::-1]], 0, 0.3, role, edge=0.7)


def _piston(port: Port) -> tuple:
    """The piston's face with its pocket: the face shim lies on the ground inside and on the rim outside."""
    inner, rim = from_si(port.inner_diameter, "mm") / 2, from_si(port.outer_diameter, "mm") / 2
    style = {"role": "ink", "tint": 0.2, "edge": 0.6}
    return (
        box("piston inside", BORE, FLOOR, inner - BORE, -FLOOR, **style),
        box("piston rim", rim, FLOOR, 1.2, -FLOOR, **style),
        box("pocket", inner, FLOOR, rim - inner, -FLOOR, role="main", tint=0.35, edge=0.0),
        Mark("oil", (inner + rim) / 2, FLOOR / 2, "oil", 0, "main"),
    )
