"""A fork leg cut open, drawn from a machine's own numbers: what sinks, what is squeezed, what stays.

Heights are to scale in millimetres above the axle; widths are drawn about
twice too wide, so that the inside can be seen. An upside-down leg with an open
bath of oil: the outer tube is held by the clamps, the sliding tube carries the axle.
"""

from __future__ import annotations

import numpy as np

from suspedu.machine import Leg
from suspedu.show.view import Curve, Shape, box
from suspedu.units import from_si

OUTER, SLIDING, BORE, COIL, CARTRIDGE = 36.0, 29.0, 25.0, 20.0, 11.0  # half widths as drawn
GROUND_ROOM, OUTER_LENGTH, SLIDING_TOP = 55.0, 520.0, 560.0  # mm; room above the axle at full compression
CARTRIDGE_TOP, CAP, COLLAR = 330.0, 16.0, 14.0  # mm
TURNS = 13


def top_height(leg: Leg, stroke) -> float:
    """Height of the outer tube's top above the axle at a stroke [m], in the picture's mm."""
    return GROUND_ROOM + OUTER_LENGTH + from_si(leg.travel - stroke, "mm")


def oil_level(leg: Leg) -> float:
    """Height of the oil above the axle: the oil height below the top of the fully compressed leg."""
    return top_height(leg, leg.travel) - from_si(leg.air.oil_height, "mm")


def fork_picture(leg: Leg, stroke, centre: float, state: str) -> tuple:
    """Items of one leg at a stroke [m], drawn about x = centre; `state` tells it apart from others."""
    top, x = top_height(leg, stroke), centre

    def part(name, half, low, high, **style):
        return box(f"{name}, {state}", x - half, low, 2 * half, high - low, **({"role": "ink", "tint": 0.06} | style))

    collar = top - CAP - COLLAR - from_si(leg.spring.preload, "mm")
    return (
        part("outer tube", OUTER, top - OUTER_LENGTH, top, tint=0.16),
        part("sliding tube", SLIDING, 0, min(SLIDING_TOP, top - CAP), tint=0.3),
        part("air", BORE, oil_level(leg), top - CAP, tint=0.0, edge=0.0),
        part("oil", BORE, 25, oil_level(leg), role="main", tint=0.35, edge=0.0),
        part("cartridge", CARTRIDGE, 25, CARTRIDGE_TOP, tint=0.12),
        _line("rod", state, [x, x], [CARTRIDGE_TOP, top - CAP], "ink", 1.6),
        part("collar", COIL, collar, top - CAP, tint=0.55, edge=0.0),
        _coil(state, x, CARTRIDGE_TOP, collar),
        part("cap", OUTER, top - CAP, top, tint=0.7, edge=0.0),
        *(part(f"clamp {at}", OUTER + 12, top - at - 26, top - at, tint=0.45, edge=0.0) for at in (30, 215)),
        part("axle lug", SLIDING + 7, -24, 24, tint=0.45, edge=0.0),
        _ring(state, x),
    )


def named_parts(leg: Leg, stroke) -> dict[str, tuple[float, float]]:
    """Parts of a leg at a stroke [m] by name: where each can be pointed at from the left, across and up [mm]."""
    top, wall = top_height(leg, stroke), -BORE + 3
    return {"collar": (-COIL + 3, top - CAP - COLLAR / 2), "spring": (-COIL + 2, top - 118),
            "clamps": (-OUTER, top - 228), "outer tube": (-OUTER + 3, top - 290), "air": (wall, top - 350),
            "oil": (wall, oil_level(leg) - 45), "sliding tube": (-SLIDING + 2, 255),
            "cartridge": (-CARTRIDGE + 2, 150)}  # fmt: skip


def _line(name, state, x, y, role, width=1.0) -> Curve:
    x, y = np.array(x, dtype=float), np.array(y, dtype=float)
    return Curve(f"{name}, {state}", x, y, 0, role, width=width, margin=False)


def _coil(state, x, low, high) -> Shape:
    """The spring as a mechanic sketches it: slanting strokes from side to side, flat at both ends."""
    height = np.linspace(low + 4, high - 4, 2 * TURNS)
    side = x + COIL * np.where(np.arange(2 * TURNS) % 2, 1.0, -1.0)
    ends = [x + COIL, *side, x - COIL]
    there = np.array([ends, [low + 4, *height, high - 4]], dtype=float)
    x, y = np.concatenate([there, there[:, ::-1]], axis=1)  # there and back: an outline without area
    return Shape(f"spring, {state}", x, y, 0, None, "second", edge=1.5)


def _ring(state, x) -> Shape:
    turn = np.linspace(0, 2 * np.pi, 25)
    return Shape(f"axle, {state}", x + 9 * np.cos(turn), 11 * np.sin(turn), 0, 0.0, "ink", edge=1.0)


def caption(state: str, centre: float, words: str, row: int = 0) -> Shape:
    """Words below a leg, in rows counted downwards."""
    return box(f"caption, {state}", centre - 40, -75 - 55 * row, 80, 40, tint=None, edge=0.0, role="ink", label=words)
