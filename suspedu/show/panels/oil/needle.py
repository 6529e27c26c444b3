"""Panel on a needle: what a click opens, and why the first clicks are the big ones."""

from __future__ import annotations

import numpy as np

from suspedu.school.openings import CLICKS, LAST, NEEDLE, SEAT, NeedleTest, needle_test
from suspedu.show.declared import Declared
from suspedu.show.panels.oil.restriction import TEMPERATURE
from suspedu.show.panels.words import percent, so_many, with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, Shape, View, box
from suspedu.units import from_si, to_si


def view_needle(clicks, pitch, cone_angle, temperature) -> View:
    """A needle in its seat, its flow at 5 bar by clicks out, and what each further click adds."""
    at = int(clicks)
    found = needle_test(to_si(pitch, "mm"), to_si(cone_angle, "deg"), to_si(temperature, "degC"))
    flow, gain, near = from_si(found.flow, "cm**3/s"), 100.0 * found.gain, max(at, 1)
    items = (
        *_needle_picture(at * pitch, to_si(cone_angle / 2.0, "deg")),
        Curve("no walls", CLICKS, from_si(found.jet, "cm**3/s"), 1, "third", "ideal"),
        Curve("flow", CLICKS, flow, 1, "main", "real"),
        Mark("here", at, flow[at], f"{flow[at]:.1f} cm³/s", 1),
        Curve("gain", CLICKS[1:-1], gain, 2, "main"),
        Mark("gain here", near, gain[near - 1], _gained(found, at, "+"), 2),
    )
    return View(items, _numbers(at, pitch, found), _sentence(at, flow, found.gain))


def _needle_picture(lift, half) -> tuple:
    """Seat, needle and the free gap between them, drawn to scale in mm; the oil comes from below."""
    edge, low, top = from_si(SEAT, "mm") / 2.0, -3.0, 1.2
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


def _gained(found: NeedleTest, at: int, sign: str = "") -> str:
    return f"{percent(found.gain[at - 1], sign=sign)} %" if at else "from nothing"


def _numbers(at, pitch, found: NeedleTest) -> tuple:
    return (
        ("Lift of the needle", f"{at * pitch:.2f} mm"),
        ("Free area", with_unit(found.area[at], "mm**2", 2)),
        ("Flow at 5 bar", with_unit(found.flow[at], "cm**3/s", 1)),
        ("One more click out adds", with_unit(found.flow[at + 1] - found.flow[at], "cm**3/s", 1)),
        ("That is", _gained(found, at)),
    )


def _sentence(at, flow, gain) -> str:
    if not at:
        return f"Closed, the needle passes nothing; the first click out lets {flow[1]:.2g} cm³/s through at 5 bar."
    second = ("it is the second click out" if at == 1 else f"the second click out added {percent(gain[0])} %")
    return (
        f"{so_many(at, 'clicks')} out, the next click adds {percent(gain[at - 1])} % to the flow at 5 bar; {second}, "
        f"the last one adds {percent(gain[-1], 1)} %. As shares of its own flow a click "
        "near closed is a big step and one near the end a small one; what the rider feels of it depends on the "
        "ways beside the needle too."
    )


PITCH, CONE = from_si(NEEDLE.pitch, "mm"), from_si(NEEDLE.cone_angle, "deg")

BENCH_NEEDLE = Declared(
    id="needle", title="A click is a click?", view=view_needle,
    controls=(Control("clicks", "Clicks out", "clicks", 0, LAST - 1, 1, 12, "from gently closed: more = softer"),
              Control("pitch", "Lift of one click", "mm", 0.02, 0.06, 0.0005, PITCH, "thread and notches of the screw"),
              Control("cone_angle", "Cone of the needle", "degree", 15, 60, 5, CONE, "blunter = a click opens more"),
              TEMPERATURE),
    axes=(Axes("", "", (-3.0, 3.0), (-3.2, 4.8), "Needle, to scale", bare=True, equal=True, share=0.75),
          Axes("clicks out", "flow at 5 bar [cm³/s]", (0, LAST), (0, 120), "Flow", share=1.0),
          Axes("clicks out", "one more click adds [%]", (0, LAST), (0, 160), "Gain of the next click",
               share=1.0)))  # fmt: skip
