"""Panel on the cup of the end stop that fills again: how far it holds the fork down, and whether its oil tears."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.school.end_stops import BACK, NEGLIGIBLE, USUAL, RefillTest, refill_test
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import CHARGE, REBOUND
from suspedu.show.panels.words import millimetres, newtons, number, percent, with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.spelling import count_word
from suspedu.units import from_si, to_si

COUNT = count_word(USUAL.count)
REASONS = {"force": ("its force", "the cup holds the fork down like a hand"),
           "cavitation": ("cavitation", "the oil in the cup tears")}  # fmt: skip


def view_refill(hole, fastest, rebound, charge) -> View:
    """How far the refilling cup holds the fork down, and its pressure, for holes [mm], clicks out, charge [bar]."""
    test = refill_test(to_si(hole, "mm"), fastest, int(rebound), to_si(charge, "bar"))
    return View(_items(fastest, test), _numbers(fastest, test), _sentence(hole, fastest, test))


def _items(fastest, test: RefillTest) -> tuple:
    share, pressure = test.shares.at(fastest), test.cup.at(fastest)
    return (
        Curve("five", np.array([0.0, 4.0]), np.full(2, 100 * NEGLIGIBLE), 0, "limit", f"{percent(NEGLIGIBLE)} %"),
        Curve("share", BACK, 100.0 * test.shares.y, 0, "main"),
        Mark("here", fastest, 100.0 * share, f"{percent(share, 1)} %"),
        Curve("asked", np.full(2, fastest), np.array([0.0, 20.0]), 0, "limit"),
        Curve("around", BACK, from_si(test.around.y, "bar"), 1, "third", "outside"),
        Curve("cup", BACK, from_si(test.cup.y, "bar"), 1, "main", "in the cup"),
        Mark("cup here", fastest, from_si(pressure, "bar"), with_unit(pressure, "bar", 1), 1),
    )


def _numbers(fastest, test: RefillTest) -> tuple:
    return (
        ("Share of the rebound force", f"{percent(test.shares.at(fastest), 1)} %"),
        ("Pressure in the cup", with_unit(test.cup.at(fastest), "bar", 2)),
        ("Smallest holes that will do", millimetres(test.drill, 1)),
        ("What sets them", REASONS[test.why][0]),
        ("Rebound force it is measured by", newtons(test.measure)),
    )


def _sentence(hole, fastest, test: RefillTest) -> str:
    held = f"hold the fork down with {percent(test.shares.at(fastest), 1)} % of the rebound force"
    start, limit = f"Up to {fastest:g} m/s {COUNT} holes of {hole:g} mm {held}", number(test.drill, "mm", 1)
    if test.will_do:
        return f"{start}, and {limit} mm would still do: the rider does not feel the stop on the way back."
    return f"{start}, but holes below {limit} mm are too small: {REASONS[test.why][1]}."


REFILL = Declared(
    id="refill", title="And back again", view=view_refill,
    controls=(Control("hole", f"Refill holes, {COUNT} of", "mm", 1, 3.8, 0.1, from_si(USUAL.diameter, "mm"),
                      "bigger = fills more easily"),
              Control("fastest", "Fastest rebound to allow for", "m/s", 1, 4, 0.1, 2.5), REBOUND,
              replace(CHARGE, label="Charge of the cartridge", direction="gauge")),
    axes=(Axes("speed of coming back [m/s]", "share of the rebound force [%]", (0, 4), (0, 20),
               "How much it holds down"),
          Axes("speed of coming back [m/s]", "absolute pressure [bar]", (0, 4), (-0.3, 6), "In the cup")))  # fmt: skip
