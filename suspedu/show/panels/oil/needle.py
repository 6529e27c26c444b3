"""Panel on a needle: what a click opens, and why the first clicks are the big ones."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.damper.paths import Needle
from suspedu.damper.valves import fluid_at
from suspedu.parts.restrictions import orifice_flow
from suspedu.show.panel import Panel
from suspedu.show.panels.oil.oil import INDEX, VISCOSITY, oil_of_index
from suspedu.show.panels.oil.restrictions import TEMPERATURE
from suspedu.show.view import Axes, Control, Curve, Mark, Shape, View, box

SEAT, LAST, PRESSURE = 3.2, 24, 5e5  # mm, clicks, Pa
CLICKS = np.arange(LAST + 1)
CONTROLS_NEEDLE = (
    Control("clicks", "Clicks out", "clicks", 0, LAST - 1, 1, 12, "from gently closed: more = softer"),
    Control("pitch", "Lift of one click", "mm", 0.03, 0.08, 0.01, 0.06, "the screw's thread and its notches"),
    Control("cone_angle", "Cone of the needle", "degree", 15, 60, 5, 30, "blunter = every click opens more"),
    TEMPERATURE,
)
AXES_NEEDLE = (
    Axes("", "", (-3.0, 3.0), (-3.2, 4.8), "Needle, to scale", bare=True, equal=True, share=0.75),
    Axes("clicks out", "flow at 5 bar [cm3/s]", (0, LAST), (0, 180), "Flow", share=1.0),
    Axes("clicks out", "one more click adds [%]", (0, LAST), (0, 160), "Gain of the next click", share=1.0),
)  # fmt: skip


def view_needle(clicks, pitch, cone_angle, temperature) -> View:
    """A needle in its seat, its flow at 5 bar by clicks out, and what each further click adds."""
    at = int(clicks)
    flow, jet, areas = (column * 1e6 for column in _needle_table(pitch, cone_angle, temperature))
    gain = 100.0 * (flow[2:] / flow[1:-1] - 1.0)
    items = (
        *_needle_picture(at * pitch, np.radians(cone_angle / 2.0)),
        Curve("no walls", CLICKS, jet, 1, "third", "ideal"),
        Curve("flow", CLICKS, flow, 1, "main", "real"),
        Mark("here", at, flow[at], f"{flow[at]:.1f} cm3/s", 1),
        Curve("gain", CLICKS[1:-1], gain, 2, "main"),
        Mark("gain here", max(at, 1), gain[max(at, 1) - 1], _gained(flow, at), 2),
    )
    return View(items, _needle_numbers(at, pitch, flow, areas), _needle_sentence(at, flow, gain))


@lru_cache(maxsize=256)
def _needle_table(pitch, cone_angle, temperature):
    """Flow, flow of the jet alone [m3/s] and free area in [m2] at every click, at 5 bar."""
    fluid = fluid_at(temperature + 273.15, oil_of_index(VISCOSITY.start, INDEX.start))
    shape = (SEAT * 1e-3, np.radians(cone_angle), pitch * 1e-3, 0.3e-3, LAST)
    needles = [Needle(*shape, clicks=int(click)) for click in CLICKS]
    areas = np.array([needle.area(PRESSURE) for needle in needles])
    walls = np.array([needle.resistance for needle in needles])
    style = {"discharge": needles[0].discharge}
    return (
        orifice_flow(PRESSURE, areas, fluid.density, viscosity=fluid.viscosity, resistance=walls, **style),
        orifice_flow(PRESSURE, areas, fluid.density, **style),
        areas,
    )


def _needle_picture(lift, half) -> tuple:
    """Seat, needle and the free gap between them, drawn to scale in mm; the oil comes from below."""
    edge, low, top = SEAT / 2.0, -3.0, 1.2
    tip = max(lift - edge / np.tan(half), -2.0)
    y = np.array([tip, lift + top, lift + top, 4.8])
    x = np.array([*(edge + (y[:2] - lift) * np.tan(half)), 1.1, 1.1])
    gap = np.array([[edge, 0.0], [edge - lift * np.sin(half) * np.cos(half), lift * np.sin(half) ** 2]])
    return (
        *(box(f"seat {side}", left, low, 3.0 - edge, -low, role="ink", tint=0.18)
          for side, left in (("left", -3.0), ("right", edge))),
        Shape("needle", np.concatenate([x, -x[::-1]]), np.concatenate([y, y[::-1]]), 0, 0.45, "ink"),
        *(Curve(f"gap {side}", side * gap[:, 0], gap[:, 1], 0, "main", width=1.6, margin=False) for side in (-1, 1)),
        Mark("way in", 0.0, -2.85, "oil", 0, "main"),
    )  # fmt: skip


def _gained(flow, at) -> str:
    return f"+{100 * (flow[at + 1] / flow[at] - 1):.0f} %" if at else "from nothing"


def _needle_numbers(at, pitch, flow, areas) -> tuple:
    return (
        ("Lift of the needle", f"{at * pitch:.2f} mm"),
        ("Free area", f"{areas[at]:.2f} mm2"),
        ("Flow at 5 bar", f"{flow[at]:.1f} cm3/s"),
        ("One more click out adds", f"{flow[at + 1] - flow[at]:.1f} cm3/s"),
        ("That is", _gained(flow, at).replace("+", "")),
    )


def _needle_sentence(at, flow, gain) -> str:
    if not at:
        return f"Closed, the needle passes nothing; the first click out lets {flow[1]:.1f} cm3/s through at 5 bar."
    return (
        f"{at} clicks out, the next click adds {gain[at - 1]:.0f} % to the flow at 5 bar; the second click out added "
        f"{gain[0]:.0f} %, the last one adds {gain[-1]:.1f} %. The rider feels per cents, so near closed a click is a "
        "big step and near the end it is next to nothing."
    )


def needle(**start) -> Panel:
    """The panel of a needle by clicks; start values by name."""
    return Panel(view_needle, CONTROLS_NEEDLE, AXES_NEEDLE, title="A click is a click?", start=start)
