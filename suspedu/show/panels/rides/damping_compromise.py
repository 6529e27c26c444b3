"""Panel on what damping trades: comfort, grip and travel over the damping at the wheel."""

from __future__ import annotations

import numpy as np

from suspedu.school.quarter import SWEEP, DampingTrade, damping_trade
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.quarter_vehicle import BODY, DAMPING, RATE, WHEEL
from suspedu.show.panels.words import percent, with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import to_si

WISHES = {"acceleration": ("main", "comfort"), "tyre": ("second", "grip"), "travel": ("third", "travel")}
MOST = 150.0  # %: a curve that goes higher is broken off
SIDES = {"above": "above both", "below": "below both", "between": "between the two"}


def view_damping_compromise(damping, rate, unsprung_mass, speed) -> View:
    """R.m.s. of comfort, grip and travel over damping [N s/m], for a rate [N/mm], unsprung mass [kg], speed [km/h]."""
    trade = damping_trade(BODY.start, unsprung_mass, to_si(rate, "N/mm"), damping, to_si(speed, "km/h"))
    shake, swing = trade.table["acceleration"], trade.table["tyre"]
    items = (
        *(Curve(wish, SWEEP, _within(100 * trade.costs(wish)), 0, *style) for wish, style in WISHES.items()),
        Curve("here", np.full(2, damping), np.array([0.0, MOST]), 0, "limit"),
        Curve("trade", shake, swing, 1, "main", margin=False),
        *(Mark(name, *trade.best(wish), name, 1, "second")
          for name, wish in (("most comfort", "acceleration"), ("most grip", "tyre"))),
        Mark("now", trade.now["acceleration"], trade.now["tyre"], "now", 1, "ink"),
    )  # fmt: skip
    return View(items, _numbers(trade), _sentence(trade))


def _within(values) -> np.ndarray:
    return np.where(values <= MOST, values, np.nan)


def _numbers(trade: DampingTrade) -> tuple:
    now = trade.now
    return (("Shake, r.m.s.", f"{now['acceleration']:.2f} m/s²"), ("Tyre load swing, r.m.s.", f"{now['tyre']:.0f} N"),
            ("Travel, r.m.s.", with_unit(now["travel"], "mm", 1)),
            ("Most comfort at", f"{trade.comfort_at:.0f} N·s/m"), ("Most grip at", f"{trade.grip_at:.0f} N·s/m"))


def _sentence(trade: DampingTrade) -> str:
    return (f"This damping costs {percent(trade.cost('acceleration'))} % of comfort and {percent(trade.cost('tyre'))} "
            f"% of grip against the best of each. It lies {SIDES[trade.side]}, and more damping always uses less "
            "travel: none is best for all three.")


DAMPING_COMPROMISE = Declared(
    id="damping-compromise", title="What damping trades", view=view_damping_compromise, gaps=tuple(WISHES),
    controls=(DAMPING, RATE, WHEEL, Control("speed", "Riding speed", "km/h", 10, 60, 1, 30,
                                            "over rough ground of class C")),
    axes=(Axes("damping at the wheel [N·s/m]", "against the best [%]", (0, 4000), (0, MOST),
               "Three wishes, three dampings"),
          Axes("shake of the chassis [m/s²]", "swing of the tyre's load [N]", (0, 6), (0, 700),
               "Comfort against grip")))  # fmt: skip
