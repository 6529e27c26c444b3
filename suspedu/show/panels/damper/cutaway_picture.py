"""A damper cut open at one instant: streams as wide as they carry, chambers as dark as they press.

Not to scale across, so that every channel can be seen. Heights along the stroke are to scale with each other.
"""

from __future__ import annotations

import numpy as np

from suspedu.damper import Damper, Explanation
from suspedu.school.strokes import gas_left, torn_chambers
from suspedu.show.panels.damper.cutaway_places import (
    BASE,
    CUP,
    FLOOR,
    GUIDE,
    PIN,
    PISTON,
    ROD,
    STUB,
    THICK,
    WALL,
    Slot,
    cup_height,
    piston_height,
    slots,
)
from suspedu.show.view import Shape, box
from suspedu.units import from_si

STEPS = (2.0, 6.0, 20.0, 45.0)  # bar, absolute: where the tint of a chamber steps up
TINTS = (0.0, 0.15, 0.3, 0.5, 0.72, 1.0)  # torn, then between the steps: tints that the palette of pictures holds
WIDEST, FULL_FLOW = 5.5, 400e-6  # width of a stream of FULL_FLOW [m3/s]; four times the flow is twice the width
LIFTED, MOST_LIFT = 16.0, 0.45  # picture height of a millimetre of lift; mm, more is not drawn
NOTHING = np.array([np.nan])
MAY_BE_EMPTY = ("reservoir ?", "below ?", "above ?", "cup ?", "cup *", "pin", "stub *", "stop piston *", "stream *",
                "bore *", "shims *", "needle *", "out of the cup *", "into the cup *", "leader *")  # fmt: skip


def cutaway_picture(instant: Explanation, damper: Damper, travel: float) -> tuple:
    """Items of the damper at one instant; a part that it lacks is an empty shape of the same name."""
    foot, places = piston_height(instant.stroke, travel), slots(damper)
    return (
        *_chambers(instant, damper, foot),
        *_steel(damper, foot, travel),
        *(_bore(slot, foot) for slot in places if slot.kind != "leak"),
        *(_stream(instant, slot, foot) for slot in places),
        *(_shims(instant, slot, foot) for slot in places if slot.kind == "port"),
        _needle("needle base", damper.base.needle, BASE + 5.0, -1),
        _needle("needle rebound", damper.rebound.needle, foot + PISTON - 5.0, 1),
        *_stop_streams(instant, damper, foot),
    )


def tint_level(pressure, torn: bool) -> int:
    """Which of TINTS a chamber gets: none where the oil is torn, then darker with absolute pressure [Pa]."""
    return 0 if torn else 1 + int(np.searchsorted(STEPS, from_si(float(pressure), "bar"), side="right"))


def _chamber(name, level, left, low, width, height) -> tuple:
    """A chamber once per tint, all but the present one empty: a shape's tint is fixed, its outline is not."""
    shown = box(name, left, low, width, height)
    return tuple(
        Shape(f"{name} {step}", *((shown.x, shown.y) if step == level else (NOTHING, NOTHING)), 0, tint, "main", edge=0)
        for step, tint in enumerate(TINTS)
    )


def _chambers(instant: Explanation, damper: Damper, foot) -> tuple:
    leg, top, torn = instant.leg, BASE + THICK, torn_chambers(instant.leg)
    above = tint_level(leg.rebound_chamber, "above" in torn)
    below = tint_level(leg.compression_chamber, "below" in torn)
    cup = tint_level(leg.cup, "cup" in torn) if damper.end_stop else -1
    gas = 12.0 * gas_left(damper, instant.stroke)
    return (
        box("gas", -WALL, -12.0, 2 * WALL, gas, tint=0.15, role="third", edge=0.0),
        *_chamber("reservoir", tint_level(leg.reservoir, False), -WALL, -12.0 + gas, 2 * WALL, BASE + 12.0 - gas),
        *_chamber("below", below, -WALL, top, 2 * WALL, foot - top),
        *_chamber("above", above, -WALL, foot + PISTON, 2 * WALL, GUIDE - foot - PISTON),
        *_chamber("cup", cup, -CUP, FLOOR, 2 * CUP, _in_cup(foot - STUB, damper)),
    )


def _in_cup(tip, damper: Damper) -> float:
    """Height of the oil inside the cup: up to its rim, or to the piston in it."""
    full = cup_height(damper, damper.end_stop.full_stroke) if damper.end_stop else 0.0
    return max(min(full, tip - FLOOR), 0.0)


def _steel(damper: Damper, foot, travel) -> tuple:
    style = {"role": "ink", "tint": 0.3, "edge": 0.8}
    walls = (box(f"tube {side}", left, -15.0, 2.5, GUIDE + 15.0, **style) for side, left in
             (("left", -WALL - 2.5), ("right", WALL)))
    return (
        *walls,
        box("base valve", -WALL, BASE, 2 * WALL, THICK, **style),
        box("foot", -WALL, -15.0, 2 * WALL, 3.0, **style),
        box("rod", -ROD, foot + PISTON, 2 * ROD, 145.0 - foot - PISTON, **style),
        box("guide left", -WALL, GUIDE, WALL - ROD, 6.0, **style),
        box("guide right", ROD, GUIDE, WALL - ROD, 6.0, **style),
        box("piston", -WALL + 0.7, foot, 2 * WALL - 1.4, PISTON, **style),
        *_stop(damper, foot, travel, style),
    )  # fmt: skip


def _stop(damper: Damper, foot, travel, style) -> tuple:
    """Cup on its feet, the pin in it, and the ring piston that hangs on the rod; of no width without a stop."""
    rim, there, sleeve = cup_height(damper, travel), np.nan if damper.end_stop is None else 1.0, PIN + 0.8
    sides = (("left", -1), ("right", 1))
    hung = (("cup", CUP, 1.5, FLOOR, rim), ("cup foot", CUP - 1.0, 2.5, BASE + THICK, 5.0),
            ("stub", sleeve, 1.2, foot - STUB, STUB),
            ("stop piston", sleeve, CUP - 1.5 - sleeve, foot - STUB, 4.0))  # fmt: skip
    return (
        *(box(f"{name} {side}", min(way * near, way * (near + wide)), low, there * wide, tall, **style)
          for name, near, wide, low, tall in hung for side, way in sides),
        box("cup floor", -CUP - 1.5, FLOOR - 1.5, there * (2 * CUP + 3), 1.5, **style),
        box("pin", -PIN, FLOOR, there * 2 * PIN, rim, **style),
    )  # fmt: skip


def _bore(slot: Slot, foot) -> Shape:
    """The drilled channel of a path, empty."""
    low, high = slot.floor(foot)
    half = (2.2 if slot.kind in ("needle", "holes") else 3.0) if slot.channel else np.nan
    return box(f"bore {slot.name}", slot.x - half, low, 2 * half, high - low, role="ink", tint=0.0, edge=0.4)


def stream_width(flow) -> float:
    """Width of a stream as drawn, from its flow [m3/s].

    >>> stream_width(4e-4) / stream_width(1e-4)
    2.0
    """
    return WIDEST * float(np.sqrt(max(flow, 0.0) / FULL_FLOW))


def _stream(instant: Explanation, slot: Slot, foot) -> Shape:
    """The stream through a path as an arrow, from the darker chamber to the lighter."""
    flow = float(instant.valves[slot.valve].paths[slot.channel.path].flow) if slot.channel else 0.0
    low, high = slot.floor(foot)
    return _arrow(f"stream {slot.name}", slot.x, *((low - 2, high + 8) if slot.upwards else (high + 2, low - 8)), flow)


def _arrow(name, place, start, end, flow) -> Shape:
    """An arrow of a stream's width that shows nothing below a cubic centimetre a second."""
    half = min(stream_width(flow) / 2.0, 3.0)
    if from_si(flow, "cm**3/s") < 1.0:
        return Shape(name, NOTHING, NOTHING, 0, 1.0, "third", edge=0.3)
    head = end - np.sign(end - start) * (1.5 + half)
    x = place + half * np.array([-1, -1, -1.6, 0, 1.6, 1, 1])
    return Shape(name, x, np.array([start, head, head, end, head, head, start]), 0, 1.0, "third", edge=0.3)


def _shims(instant: Explanation, slot: Slot, foot) -> Shape:
    """The shims of a port, hinged at the clamp; a float lifts the whole of them first."""
    if slot.channel is None:
        return Shape(f"shims {slot.name}", NOTHING, NOTHING, 0, 1.0, "ink", edge=0.0)
    port, (low, high), way = slot.channel.opening, slot.floor(foot), 1 if slot.upwards else -1
    lift = min(from_si(float(instant.valves[slot.valve].paths[slot.channel.path].lift), "mm"), MOST_LIFT)
    loose = min(lift, from_si(port.floating.gap, "mm")) if port.floating else 0.0
    seat, (hinge, rim) = high if slot.upwards else low, slot.hinge_and_rim
    at_hinge, at_rim = seat + way * LIFTED * loose, seat + way * LIFTED * lift
    y = np.array([at_hinge, at_rim, at_rim + way * 1.6, at_hinge + way * 1.6])
    return Shape(f"shims {slot.name}", np.array([hinge, rim, rim, hinge]), y, 0, 1.0, "ink", edge=0.0)


def _needle(name, needle, seat, way) -> Shape:
    """A pointed pin whose cone fits its seat when shut; `way` is where it goes when opened."""
    if needle is None:
        return Shape(name, NOTHING, NOTHING, 0, 0.72, "ink", edge=0.0)
    lifted = seat + way * 4.0 * from_si(needle.needle_lift, "mm")
    x = np.array([0.0, 1.7, 1.7, -1.7, -1.7])
    return Shape(name, x, lifted + way * np.array([-5.0, 1.0, 14.0, 14.0, 1.0]), 0, 0.72, "ink", edge=0.0)


def _stop_streams(instant: Explanation, damper: Damper, foot) -> tuple:
    """Oil pressed out of the cup, up by the gap and down by the shims of its floor, or drawn back by its holes."""
    gap, shims, back = _stop_flows(instant)
    tip = foot - STUB
    in_ring = damper.end_stop is None or damper.end_stop.refill_in == "ring"
    way_back = (tip + 11, tip - 3) if in_ring else (FLOOR - 6, FLOOR + 4)
    at_wall = CUP - 0.75
    return (*(_arrow(f"out of the cup by the gap {x}", x, tip - 2, tip + 10, gap / 2) for x in (-at_wall, at_wall)),
            *(_arrow(f"out of the cup by shims {x}", x, FLOOR + 1, FLOOR - 6, shims / 2) for x in (-7.0, 7.0)),
            *(_arrow(f"into the cup {x}", x, *way_back, back / 2) for x in (-7.0, 7.0)))  # fmt: skip


def _stop_flows(instant: Explanation) -> tuple[float, float, float]:
    """Oil of the end stop [m3/s]: out by the gap, out by the shims, back in; nothing where it does not work."""
    stop, held = instant.valves.get("stop"), float(instant.leg.stop_force)
    if stop is None or -0.01 <= held <= 1.0:
        return 0.0, 0.0, 0.0
    if held < 0.0:
        return 0.0, 0.0, float(instant.valves["stop refill"].flow)
    gap = float(stop.paths["leak"].flow)
    return gap, float(stop.flow) - gap, 0.0
