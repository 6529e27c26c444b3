"""A small panel of its own for the tests of the engine: two springs side by side, nothing of the course."""

import numpy as np

from suspedu.show.panel import Panel
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, Shape, View, bar
from suspedu.units import InputError

CONTROLS = (
    Control("rate", "Spring rate", "N/mm", 1.0, 9.0, 0.5, 4.0, "more = stiffer"),
    Control("load", "Load", "N", 0.0, 200.0, 10.0, 80.0, "more = further down"),
    Choice("side", "Side", {"left": "to the left", "right": "to the right"}, "left"),
)
AXES = (
    Axes("travel [mm]", "force [N]", (0, 50), (0, 250), "Force over travel"),
    Axes("", "work [J]", (0, 2), (0, 6), "Work stored", share=0.4, xticks=((1.0, "spring"),)),
)


def view(rate, load, side):
    """Hooke's law; a rate of exactly 8.5 is refused, one of 9 fails, to try the error path."""
    if rate == 8.5:
        raise InputError("rate is 8.5 N/mm: the shop has no such spring")
    travel = np.linspace(0.0, 50.0, 101)
    sag = load / (rate if rate != 9.0 else 0)
    items = (
        Curve("load", travel, 0 * travel + load, role="limit", label="load"),
        Curve("spring", travel, rate * travel, label="spring"),
        Curve("half", travel, rate * travel / 2, role="second", label="half as stiff"),
        Mark("sag", sag, load, f"{sag:.1f} mm"),
        bar("work", 1.0, load * sag / 2000, axes=1, role="third", label="work"),
        Shape("outline", [0.2, 1.8, 1.8, 0.2], [0, 0, 5, 5], axes=1, tint=None, role="ink"),
    )
    return View(items, (("Sag", f"{sag:.1f} mm"), ("Side", side)), f"The {side} spring gives way by {sag:.1f} mm.")


def panel(**start):
    return Panel(view, CONTROLS, AXES, title="Two springs", start=start)


def item(view, name):
    """One item of a view, by its name."""
    return next(each for each in view.items if each.name == name)


def number(view, label) -> float:
    """One key number of a view, by its label."""
    return float(dict(view.numbers)[label].split()[0].replace("−", "-"))
