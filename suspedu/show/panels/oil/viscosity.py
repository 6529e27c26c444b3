"""Panel on fork oil: what the label does not say."""

from __future__ import annotations

import numpy as np

from suspedu.parts.oil import iso_grade
from suspedu.school.oils import SHELF, oil_of_index, viscosity_table
from suspedu.show.declared import Declared
from suspedu.show.panels.words import with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

CANS = {"can-a": ("can A, 5W", "second"), "can-b": ("can B, 5W", "third"), "can-c": ("can C, 10W", "fourth")}
MINE = "your oil"
VISCOSITY = Control("viscosity_40", "Your oil at 40 °C", "mm²/s", 10, 40, 0.5, 16, "more = thicker")
INDEX = Control("index", "Its viscosity index", "", 80, 320, 10, 150, "more = thins less as it warms")
DEGREES = np.linspace(-10.0, 100.0, 111)
DECADES = ((1, "1"), (3, "3"), (10, "10"), (30, "30"), (100, "100"), (300, "300"), (1000, "1000"))


def oil_of(viscosity_40, index):
    """The oil that the two sliders describe [mm2/s at 40 degC, index]."""
    return oil_of_index(to_si(viscosity_40, "mm**2/s"), index)


def view_oil_viscosity(viscosity_40, index, temperature) -> View:
    """Viscosity of the shelf's three cans and of an oil [mm2/s, index] over temperature; read at one [degC]."""
    oils = SHELF | {MINE: oil_of(viscosity_40, index)}
    tables = {name: viscosity_table(oil, to_si(DEGREES, "degC")) for name, oil in oils.items()}
    looks = CANS | {MINE: (MINE, "main")}
    now = {name: table.at(to_si(temperature, "degC")) for name, table in tables.items()}
    items = (
        *(Curve(words, DEGREES, from_si(tables[name].y, "mm**2/s"), 0, role, words)
          for name, (words, role) in looks.items()),
        Curve("temperature", np.full(2, temperature), np.array([2.0, 700.0]), 0, "limit"),
        Mark("here", temperature, from_si(now[MINE], "mm**2/s"), f"{from_si(now[MINE], 'mm**2/s'):.3g} mm²/s"),
    )  # fmt: skip
    return View(items, _numbers(now, oils[MINE], looks), _sentence(temperature, now, oils[MINE]))


def _numbers(now, mine, looks) -> tuple:
    return (
        *((f"{words[0].upper()}{words[1:]}, now", with_unit(now[name], "mm**2/s", 1))
          for name, (words, _) in looks.items()),
        ("Your oil at 100 °C", with_unit(mine.viscosity_100, "mm**2/s", 2)),
        ("Its grade", iso_grade(mine.viscosity_40) or "between two grades"),
    )  # fmt: skip


def _sentence(temperature, now, mine) -> str:
    thin, thick, third, yours = (from_si(value, "mm**2/s") for value in now.values())
    middle = "thinner than one of them" if third < max(thin, thick) else "thicker than both"
    told = "thinner than both" if third < min(thin, thick) else middle
    return (
        f"At {temperature:g} °C the two cans that both say 5W hold {thin:.1f} and {thick:.1f} mm²/s, and the can "
        f"that says 10W holds {third:.1f}, {told}. Your oil has {yours:.1f} mm²/s here and "
        f"{from_si(mine.viscosity_40, 'mm**2/s'):g} at 40 °C: those two numbers can be compared, the label cannot."
    )


OIL_VISCOSITY = Declared(
    id="oil-viscosity", title="How thick is an oil?", view=view_oil_viscosity,
    controls=(VISCOSITY, INDEX, Control("temperature", "Oil temperature", "°C", -10, 90, 1, 20,
                                        "a hard ride: 40 to 80")),
    axes=(Axes("oil temperature [°C]", "viscosity [mm²/s]", (-10, 100), (2, 700), "Viscosity over temperature",
               yscale="log", yticks=DECADES),))  # fmt: skip
