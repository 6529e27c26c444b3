"""A cartridge cut open at one instant: streams as wide as they carry, chambers as dark as they press.

Not to scale across, so that every channel can be seen. Heights along the stroke are to scale with each other. The
way of oil in compression is drawn on the right of the piston, that of rebound on its left.
"""

from __future__ import annotations

import numpy as np

from suspedu.damper import Damper
from suspedu.damper.explain import Explanation
from suspedu.show.view import Shape, box

WALL, ROD, CUP = 20.0, 4.5, 11.0  # half widths as drawn
BASE, THICK, PISTON = 18.0, 14.0, 12.0  # bottom of the base valve, thickness of base valve and piston
TRAVEL, STUB, GUIDE = 62.0, 14.0, 128.0  # of the picture; stub: from the end-stop piston to the main piston
STEPS = (2.0, 6.0, 20.0)  # bar, absolute: where the tint of a chamber steps up
TINTS = (0.0, 0.15, 0.3, 0.5, 0.72)  # torn, then between the steps: tints that the palette of pictures holds
WIDEST, FULL_FLOW = 5.5, 400e-6  # width of a stream of FULL_FLOW [m3/s]; four times the flow is twice the width
LIFTED = 16.0  # picture height of a millimetre of lift
CHANNELS = {  # valve, path -> place, whether it is drawn in the piston
    ("base", "leak"): (-18.3, False), ("base", "low-speed"): (-11.0, False), ("base", "needle"): (0.0, False),
    ("base", "high-speed"): (9.5, False), ("refill", "check plate"): (16.5, False),
    ("mid", "holes"): (6.8, True), ("mid", "mid"): (13.8, True), ("mid", "leak"): (19.0, True),
    ("rebound", "needle"): (0.0, True), ("rebound", "rebound"): (-12.0, True), ("rebound", "leak"): (-19.0, True),
}  # fmt: skip
NOTHING = np.array([np.nan])


def piston_height(stroke, travel) -> float:
    """Height of the piston's lower face in the picture at a stroke [m] of a travel [m]."""
    return BASE + THICK + 1.0 + STUB + TRAVEL * (1.0 - float(stroke) / travel)


def cutaway_picture(instant: Explanation, damper: Damper, travel: float) -> tuple:
    """Items of the cartridge at one instant; a part that this damper lacks is an empty shape of the same name."""
    foot = piston_height(instant.stroke, travel)
    return (
        *_chambers(instant, damper, foot),
        *_steel(damper, foot, travel),
        *(stream(instant, key, foot) for key in CHANNELS),
        *_shims(instant, damper, foot),
        *_needles(damper, foot),
        *_stop_streams(instant, foot),
    )


def tint_level(pressure, torn: bool) -> int:
    """Which of TINTS a chamber gets: none where the oil is torn, then darker with absolute pressure [Pa]."""
    return 0 if torn else 1 + int(np.searchsorted(STEPS, float(pressure) / 1e5, side="right"))


def _chamber(name, level, left, low, width, height) -> tuple:
    """A chamber once per tint, all but the present one empty: a shape's tint is fixed, its outline is not."""
    shown = box(name, left, low, width, height)
    return tuple(
        Shape(f"{name} {step}", *((shown.x, shown.y) if step == level else (NOTHING, NOTHING)), 0, tint, "main", edge=0)
        for step, tint in enumerate(TINTS)
    )


def _chambers(instant: Explanation, damper: Damper, foot) -> tuple:
    leg, top = instant.leg, BASE + THICK
    torn = bool(leg.cavitating)
    above, below = (tint_level(pressure, torn and float(pressure) - least < 1.0) for pressure, least in (
        (leg.rebound_chamber, _lowest(leg)), (leg.compression_chamber, _lowest(leg))))
    held = tint_level(leg.reservoir, False)
    cup = tint_level(leg.cup, torn and float(leg.cup) - _lowest(leg) < 1.0)
    gas = gas_height(instant, damper)
    return (
        box("gas", -WALL, -12.0, 2 * WALL, gas, tint=0.15, role="third", edge=0.0),
        *_chamber("reservoir", held, -WALL, -12.0 + gas, 2 * WALL, BASE + 12.0 - gas),
        *_chamber("below", below, -WALL, top, 2 * WALL, foot - top),
        *_chamber("above", above, -WALL, foot + PISTON, 2 * WALL, GUIDE - foot - PISTON),
        *_chamber("cup", cup if damper.end_stop else -1, -CUP, top, 2 * CUP, _in_cup(foot - STUB, damper)),
    )


def _lowest(leg) -> float:
    return float(min(leg.rebound_chamber, leg.compression_chamber, leg.cup))


def gas_height(instant: Explanation, damper: Damper) -> float:
    """Height of the gas behind the bladder as drawn: what the rod leaves of it; none in an open cartridge."""
    gas = getattr(damper, "pressuriser", None)
    return 12.0 * float(1.0 - damper.displaced_area * instant.stroke / gas.gas_volume) if gas else 0.0


def cup_height(damper: Damper, travel: float) -> float:
    """Height of the end stop's cup as drawn, to the scale of the stroke."""
    return 1.0 + TRAVEL * damper.end_stop.zone / travel if damper.end_stop else np.nan


def _in_cup(tip, damper) -> float:
    """Height of the oil inside the cup: up to its rim, or to the piston in it."""
    full = cup_height(damper, damper.end_stop.full_stroke) if damper.end_stop else 0.0
    return max(min(full, tip - BASE - THICK), 0.0)


def _steel(damper: Damper, foot, travel) -> tuple:
    style = {"role": "ink", "tint": 0.3, "edge": 0.8}
    rim, top = cup_height(damper, travel), BASE + THICK
    walls = (box(f"tube {side}", left, -15.0, 2.5, GUIDE + 15.0, **style) for side, left in
             (("left", -WALL - 2.5), ("right", WALL)))
    cups = (box(f"cup {side}", left, top, 1.5, rim, **style) for side, left in (("left", -CUP - 1.5), ("right", CUP)))
    return (
        *walls, *cups,
        box("base valve", -WALL, BASE, 2 * WALL, THICK, **style),
        box("foot", -WALL, -15.0, 2 * WALL, 3.0, **style),
        box("rod", -ROD, foot + PISTON, 2 * ROD, 145.0 - foot - PISTON, **style),
        box("guide left", -WALL, GUIDE, WALL - ROD, 6.0, **style),
        box("guide right", ROD, GUIDE, WALL - ROD, 6.0, **style),
        box("piston", -WALL + 0.7, foot, 2 * WALL - 1.4, PISTON, **style),
        box("stub", -2.0, foot - STUB, np.nan if damper.end_stop is None else 4.0, STUB, **style),
        box("stop piston", -CUP + 1.5, foot - STUB, np.nan if damper.end_stop is None else 2 * CUP - 3, 4.0, **style),
        *(bore(key, foot) for key in CHANNELS if key[1] != "leak"),
    )  # fmt: skip


def _floor(in_piston: bool, foot) -> tuple[float, float]:
    return (foot, foot + PISTON) if in_piston else (BASE, BASE + THICK)


def bore(key, foot) -> Shape:
    """The drilled channel of a path, empty."""
    place, in_piston = CHANNELS[key]
    low, high = _floor(in_piston, foot)
    half = 2.2 if key[1] in ("needle", "holes") else 3.0
    return box(f"bore {' '.join(key)}", place - half, low, 2 * half, high - low, role="ink", tint=0.0, edge=0.4)


def stream_width(flow) -> float:
    """Width of a stream as drawn, from its flow [m3/s].

    >>> stream_width(4e-4) / stream_width(1e-4)
    2.0
    """
    return WIDEST * float(np.sqrt(max(flow, 0.0) / FULL_FLOW))


def stream(instant: Explanation, key, foot) -> Shape:
    """The stream through a path as an arrow, from the darker chamber to the lighter."""
    place, in_piston = CHANNELS[key]
    valve = instant.valves[key[0]]
    flow = float(valve.paths[key[1]].flow) if key[1] in valve.paths else 0.0
    low, high = _floor(in_piston, foot)
    up = key[0] in ("mid", "refill")
    return _arrow(f"stream {' '.join(key)}", place, *((low - 2, high + 8) if up else (high + 2, low - 8)), flow)


def _arrow(name, place, start, end, flow) -> Shape:
    """An arrow of a stream's width that shows nothing below a cubic centimetre a second."""
    half = min(stream_width(flow) / 2.0, 3.0)
    if flow < 1e-6:
        return Shape(name, NOTHING, NOTHING, 0, 1.0, "second", edge=0.3)
    head = end - np.sign(end - start) * (1.5 + half)
    x = place + half * np.array([-1, -1, -1.6, 0, 1.6, 1, 1])
    return Shape(name, x, np.array([start, head, head, end, head, head, start]), 0, 1.0, "second", edge=0.3)


def _shims(instant: Explanation, damper: Damper, foot) -> tuple:
    """The shims of each port, hinged at the clamp; a float lifts the whole of them first."""
    plates = {("base", "low-speed"): (-6.5, -15.5, BASE, -1), ("base", "high-speed"): (5.0, 14.0, BASE, -1),
              ("refill", "check plate"): (13.0, 20.0, BASE + THICK, 1), ("mid", "mid"): (9.3, 18.2, foot + PISTON, 1),
              ("rebound", "rebound"): (-7.0, -16.5, foot, -1)}  # fmt: skip
    return tuple(_shim(key, instant, damper, *place) for key, place in plates.items())


def _shim(key, instant, damper, hinge, rim, seat, way) -> Shape:
    port = next(port for port in getattr(damper, key[0]).ports if port.name == key[1])
    lift = min(float(instant.valves[key[0]].paths[key[1]].lift) * 1e3, 0.45)
    loose = min(lift, port.floating.gap * 1e3) if port.floating else 0.0
    at_hinge, at_rim = seat + way * LIFTED * loose, seat + way * LIFTED * lift
    y = np.array([at_hinge, at_rim, at_rim + way * 1.6, at_hinge + way * 1.6])
    return Shape(f"shims {' '.join(key)}", np.array([hinge, rim, rim, hinge]), y, 0, 1.0, "ink", edge=0.0)


def _needles(damper: Damper, foot) -> tuple:
    """Both needles, as far off their seats as their clicks say."""
    return (_needle("needle base", damper.base.needle, BASE + 5.0, -1), _needle("needle rebound", damper.rebound.needle,
                                                                               foot + PISTON - 5.0, 1))  # fmt: skip


def _needle(name, needle, seat, way) -> Shape:
    """A pointed pin whose cone fits its seat when shut; `way` is where it goes when opened."""
    lifted = seat + way * 4.0 * needle.needle_lift * 1e3
    x = np.array([0.0, 1.7, 1.7, -1.7, -1.7])
    return Shape(name, x, lifted + way * np.array([-5.0, 1.0, 14.0, 14.0, 1.0]), 0, 0.72, "ink", edge=0.0)


def _stop_streams(instant: Explanation, foot) -> tuple:
    """Oil pressed out of the cup past the rod piston, or drawn back through its holes; its gap is at both walls."""
    stop = instant.valves.get("stop")
    out = float(stop.flow) if stop and instant.leg.stop_force > 1.0 else 0.0
    back = float(instant.valves["stop refill"].flow) if stop and instant.leg.stop_force < -0.01 else 0.0
    tip = foot - STUB
    return (*(_arrow(f"out of the cup {x}", x, tip - 2, tip + 10, out / 2) for x in (-7.5, 7.5)),
            _arrow("into the cup", 0.0, tip + 11, tip - 3, back))  # fmt: skip
