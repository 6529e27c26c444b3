"""Panel: the air over the oil as a second spring, and what oil height, heat and haste do to it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.forces import bottom_out_force, force_split, rate_split
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.show.panel import Panel
from suspedu.show.panels.setting import OIL, set_machine
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import STANDARD_ATMOSPHERE, from_si, to_si

CONTROLS_AIR_SPRING = (
    OIL,
    Control("air_temperature", "Temperature of the air", "°C", 0, 90, 5, 20, "filled and bled at 20 °C"),
    Control("exponent", "Exponent", "", 1.0, 1.4, 0.05, 1.2, "1 = slow, 1.4 = so fast that no heat escapes"),
    Control("gauge_pressure", "Pressure left in, hanging", "bar", 0, 0.6, 0.05, 0, "0 = bled"),
)
# The last millimetres of a hot, pumped, overfilled leg go far beyond: a curve that leaves the axes is a wall there.
AXES_AIR_SPRING = (
    Axes("stroke [mm]", "force of both legs [N]", (0, 300), (0, 8000), "Force", share=1.3),
    Axes("stroke [mm]", "slope [N/mm]", (0, 300), (0, 160), "Slope"),
)


def view_air_spring(oil_height, air_temperature, exponent, gauge_pressure) -> View:
    """Coil and air over the whole stroke for an oil height [mm], temperature [degC], exponent and pressure [bar]."""
    machine = _filled(set_machine(oil_height=oil_height, air_temperature=air_temperature), exponent, gauge_pressure)
    stroke = np.linspace(0.0, machine.travel, 151)
    force, rate = force_split(machine, stroke, None), rate_split(machine, stroke, None)
    mm, total = stroke * 1e3, force.coil + force.air
    items = (
        Curve("coils", mm, force.coil, 0, "second", "coils"),
        Curve("air", mm, force.air, 0, "third", "air"),
        Curve("both", mm, total, 0, "main", "coils and air"),
        Mark("two thirds", mm[100], total[100], f"two thirds: {total[100]:.0f} N", 0, "main"),
        Curve("coil slope", mm, rate.coil / 1e3, 1, "second", "coils"),
        Curve("slope", mm, (rate.coil + rate.air) / 1e3, 1, "main", "coils and air"),
    )
    return View(items, _numbers(machine, rate), _sentence(machine))


def _filled(machine: Machine, exponent, gauge_pressure) -> Machine:
    """The machine with another exponent of riding and another pressure in both legs."""
    given = {"exponent": exponent, "gauge_pressure": to_si(gauge_pressure, "bar")}
    return replace(machine, legs=tuple(replace(leg, air=replace(leg.air, **given)) for leg in machine.legs))


def _air_at_thirds(machine: Machine) -> np.ndarray:
    """Force of the air in both legs [N] after one third, two thirds and all of the travel."""
    return force_split(machine, machine.travel * np.array([1.0, 2.0, 3.0]) / 3, None).air


def _numbers(machine: Machine, rate) -> tuple:
    first, second, last = _air_at_thirds(machine)
    air = machine.legs[0].air
    gauge = air_pressure_absolute(machine.travel, machine.travel, air) - STANDARD_ATMOSPHERE
    return (
        ("Air after one third of the stroke", f"{first:.0f} N"),
        ("Air after two thirds", f"{second:.0f} N"),
        ("Air at the end", f"{last:.0f} N"),
        ("Slope at the end, coils and air", f"{float(rate.coil[-1] + rate.air[-1]) / 1e3:.1f} N/mm"),
        ("Air pressure at the end (gauge)", f"{from_si(gauge, 'bar'):.2f} bar"),
        ("Force that bottoms it, bumper included", f"{bottom_out_force(machine, None):.0f} N"),
    )


def _sentence(machine: Machine) -> str:
    split = force_split(machine, machine.travel * np.array([0.0, 1.0, 2.0, 3.0]) / 3, None)
    first, second, last = np.diff(split.air)
    share = split.air / (split.coil + split.air)
    return (
        f"Over the first third of the stroke the air's force grows by {first:.0f} N, over the second by {second:.0f} "
        f"N, over the last by {last:.0f} N. It is {_percent(share[1])} of the whole after one third and "
        f"{_percent(share[3])} at the end: the rider meets it on landings and square edges, hardly on small bumps."
    )


def _percent(share) -> str:
    return f"{100 * share:.0f} %"


def air_spring(**start) -> Panel:
    """The panel of the air spring in the school's enduro machine; start values by name."""
    return Panel(view_air_spring, CONTROLS_AIR_SPRING, AXES_AIR_SPRING, title="The air over the oil", start=start)
