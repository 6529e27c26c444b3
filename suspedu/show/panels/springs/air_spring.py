"""Panel: the air over the oil as a second spring, and what oil height, heat and haste do to it."""

from __future__ import annotations

import numpy as np

from suspedu.machine import Machine, pressure_caution
from suspedu.machine.forces import bottom_out_force, force_split, rate_split
from suspedu.school import set_machine
from suspedu.school.machines import pressure_at_the_end
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import OIL, slider
from suspedu.show.panels.words import newtons, number, percent, with_unit
from suspedu.show.view import Axes, Curve, Mark, View
from suspedu.units import from_si

THIRDS = np.arange(4.0) / 3


def view_air_spring(oil_height, air_temperature, exponent, gauge_pressure) -> View:
    """Coil and air over the whole stroke for an oil height [mm], temperature [degC], exponent and pressure [bar]."""
    machine = set_machine(oil_height=oil_height, air_temperature=air_temperature, air_exponent=exponent,
                          gauge_pressure=gauge_pressure)
    stroke = np.linspace(0.0, machine.travel, 151)
    force, rate = force_split(machine, stroke, None), rate_split(machine, stroke, None)
    mm, total = from_si(stroke, "mm"), force.coil + force.air
    items = (
        Curve("coils", mm, force.coil, 0, "second", "coils"),
        Curve("air", mm, force.air, 0, "third", "air"),
        Curve("both", mm, total, 0, "main", "coils and air"),
        Mark("two thirds", mm[100], total[100], f"two thirds: {newtons(total[100])}", 0, "main"),
        Curve("coil slope", mm, from_si(rate.coil, "N/mm"), 1, "second", "coils"),
        Curve("slope", mm, from_si(rate.coil + rate.air, "N/mm"), 1, "main", "coils and air"),
    )
    return View(items, _numbers(machine, rate), _sentence(machine))


def _numbers(machine: Machine, rate) -> tuple:
    _, first, second, last = force_split(machine, machine.travel * THIRDS, None).air
    return (
        ("Air after one third of the stroke", newtons(first)),
        ("Air after two thirds", newtons(second)),
        ("Air at the end", newtons(last)),
        ("Slope at the end, coils and air", with_unit(rate.coil[-1] + rate.air[-1], "N/mm", 1)),
        ("Air pressure at the end (gauge)", with_unit(pressure_at_the_end(machine), "bar", 2)),
        ("Force that bottoms it, bumper included", newtons(bottom_out_force(machine, None))),
    )


def _sentence(machine: Machine) -> str:
    split = force_split(machine, machine.travel * THIRDS, None)
    (first, second, last), leg = np.diff(split.air), machine.legs[0]
    share = split.air / (split.coil + split.air)
    return (
        f"Over the first third of the stroke the air's force grows by {first:.0f} N, over the second by {second:.0f} "
        f"N, over the last by {last:.0f} N. It is {percent(share[1])} % of the whole after one third and "
        f"{percent(share[3])} % at the end: the deeper the stroke, the more of what the rider meets is air. "
        f"{number(leg.air.oil_height, 'mm')} mm of oil height are {number(leg.air.oil_volume, 'cm^3')} cm³ of oil in "
        f"each leg. {pressure_caution(machine)}"
    ).rstrip()


AIR_SPRING = Declared(
    id="air-spring", title="The air over the oil", view=view_air_spring,
    controls=(OIL, slider("air_temperature"), slider("air_exponent", name="exponent"), slider("gauge_pressure")),
    # The last millimetres of a hot, pumped, overfilled leg go far beyond: a curve that leaves the axes is a wall there.
    axes=(Axes("stroke [mm]", "force of both legs [N]", (0, 300), (0, 8000), "Force", share=1.3),
          Axes("stroke [mm]", "slope [N/mm]", (0, 300), (0, 160), "Slope")))  # fmt: skip
