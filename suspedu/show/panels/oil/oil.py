"""Panels on fork oil: what the label does not say, and what cold and heat do to the damping of a leg."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.optimize import brentq

from suspedu.damper import leg_force
from suspedu.parts.oil import Oil, iso_grade, kinematic_viscosity, viscosity_index
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import set_damper
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import to_si

# Three cans on the school's shelf: invented, as far apart as labels of the trade are (common practice, no source).
SHELF = {"can A, 5W": Oil(15.8e-6, 4.4e-6), "can B, 5W": Oil(26.1e-6, 5.2e-6), "can C, 10W": Oil(21.5e-6, 5.0e-6)}
ROLES = ("second", "third", "fourth")

VISCOSITY = Control("viscosity_40", "Your oil at 40 °C", "mm2/s", 10, 40, 0.5, 16, "more = thicker")
INDEX = Control("index", "Its viscosity index", "", 80, 320, 10, 150, "more = thins less as it warms")
CONTROLS_OIL_VISCOSITY = (
    VISCOSITY,
    INDEX,
    Control("temperature", "Oil temperature", "°C", -10, 90, 1, 20, "a hard ride: 40 to 80"),
)
DECADES = ((1, "1"), (3, "3"), (10, "10"), (30, "30"), (100, "100"), (300, "300"), (1000, "1000"))
AXES_OIL_VISCOSITY = (
    Axes("oil temperature [°C]", "viscosity [mm2/s]", (-10, 100), (2, 700), "Viscosity over temperature",
         yscale="log", yticks=DECADES),
)  # fmt: skip


@lru_cache(maxsize=256)
def oil_of_index(viscosity_40: float, index: float) -> Oil:
    """Oil of a viscosity [mm2/s] at 40 degC and a viscosity index, other properties as of a common mineral oil.

    >>> round(oil_of_index(15.8, 150).viscosity_100 * 1e6, 2)  # mm2/s
    3.92
    """
    cold = to_si(viscosity_40, "mm**2/s")
    hot = brentq(lambda nu: float(viscosity_index(cold, nu)) - index, 2e-6, 0.9 * cold, xtol=1e-10)
    return Oil(cold, hot)


def view_oil_viscosity(viscosity_40, index, temperature) -> View:
    """Viscosity of the shelf's three cans and of an oil [mm2/s, index] over temperature; read at one [degC]."""
    oils = SHELF | {"your oil": oil_of_index(viscosity_40, index)}
    degrees = np.linspace(-10.0, 100.0, 111)
    styles = (*zip(SHELF, ROLES, SHELF, strict=True), ("your oil", "main", "your oil"))
    lines = (Curve(name, degrees, _mm2(degrees, oils[name]), 0, role, label) for name, role, label in styles)
    now = {name: float(_mm2(temperature, oil)) for name, oil in oils.items()}
    items = (
        *lines,
        Curve("temperature", np.full(2, temperature), np.array([2.0, 700.0]), 0, "limit"),
        Mark("here", temperature, now["your oil"], f"{now['your oil']:.3g} mm2/s"),
    )
    return View(items, _viscosities(now, oils), _labels_sentence(temperature, now, oils))


def _mm2(degrees, oil: Oil):
    """Viscosity [mm2/s] at temperatures [degC]."""
    return kinematic_viscosity(np.asarray(degrees) + 273.15, oil) * 1e6


def _viscosities(now, oils) -> tuple:
    yours = oils["your oil"]
    read = ((f"{name[0].upper()}{name[1:]}, now", f"{value:.1f} mm2/s") for name, value in now.items())
    return (
        *read,
        ("Your oil at 100 °C", f"{yours.viscosity_100 * 1e6:.2f} mm2/s"),
        ("Its grade", iso_grade(yours.viscosity_40) or "between two grades"),
    )


def _labels_sentence(temperature, now, oils) -> str:
    thin, thick, third = (now[name] for name in SHELF)
    high = "thicker" if third > thick else "thinner"
    return (
        f"At {temperature:g} °C the two cans that both say 5W hold {thin:.1f} and {thick:.1f} mm2/s, and the can "
        f"that says 10W holds {third:.1f}, {high} than one of them. Your oil has {now['your oil']:.1f} mm2/s here and "
        f"{oils['your oil'].viscosity_40 * 1e6:g} at 40 °C: those two numbers can be compared, the label cannot."
    )


def oil_viscosity(**start) -> Panel:
    """The panel of viscosity over temperature for three cans and an oil of your own; start values by name."""
    title = "How thick is an oil?"
    return Panel(view_oil_viscosity, CONTROLS_OIL_VISCOSITY, AXES_OIL_VISCOSITY, title=title, start=start)


TEMPERATURES = {"5 °C": "second", "20 °C": "main", "70 °C": "third"}
SLOW = 0.3 * np.linspace(0.0, 1.0, 16) ** 1.5
SPEEDS = np.concatenate([SLOW, np.geomspace(0.35, 3.0, 9)])
READ_AT = (0.05, 1.0)  # m/s: the body moving, and a square edge
CONTROLS_COLD_AND_HOT = (
    VISCOSITY,
    INDEX,
    Choice("direction", "Direction", ("rebound", "compression"), "rebound"),
    Control("clicks", "Its low-speed clicker", "clicks", 2, 24, 1, 12, "out from gently closed: more = softer"),
)
PER_CENT = (-90, 200)
AXES_COLD_AND_HOT = (
    Axes("velocity of the leg [m/s]", "damping force [N]", (0, 0.3), (0, 450), "One leg, slow part", share=1.2),
    Axes("velocity of the leg [m/s]", "force against 20 °C [%]", (0.02, 3), PER_CENT, "Cold and hot against 20 °C",
         xscale="log", xticks=((0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"), (3, "3"))),
)  # fmt: skip


def view_cold_and_hot(viscosity_40, index, direction, clicks) -> View:
    """Damping of one leg of the school's enduro at 5, 20 and 70 degC, for an oil [mm2/s, index] and clicks out."""
    oil = oil_of_index(viscosity_40, index)
    forces = {at: _leg_damping(oil, float(at.split()[0]), direction, clicks) for at in TEMPERATURES}
    middle, moving = forces["20 °C"], SPEEDS > 0.0
    change = {at: 100.0 * (forces[at][moving] / middle[moving] - 1.0) for at in TEMPERATURES}
    items = (
        *(Curve(at, SLOW, forces[at][: len(SLOW)], 0, role, at) for at, role in TEMPERATURES.items()),
        *(Curve(f"change {at}", SPEEDS[moving], change[at], 1, role, at) for at, role in TEMPERATURES.items()),
    )
    return View(items, _cold_numbers(forces), _cold_sentence(forces, direction))


@lru_cache(maxsize=512)
def _leg_damping(oil: Oil, degrees: float, direction: str, clicks) -> np.ndarray:
    """Damping force [N], without the gas, over SPEEDS: one leg with the school's closed cartridge."""
    sign, adjuster = (-1.0, "rebound") if direction == "rebound" else (1.0, "compression_low")
    cartridge = set_damper("closed cartridge", **{adjuster: int(clicks)})
    return sign * leg_force(0.1, sign * SPEEDS, cartridge, oil, degrees + 273.15).damping_force


def _read(forces, at, speed) -> float:
    return float(np.interp(speed, SPEEDS, forces[at]))


def _cold_numbers(forces) -> tuple:
    return tuple(
        (f"{at} at {speed:g} m/s", f"{_read(forces, at, speed):.1f} N") for speed in READ_AT for at in TEMPERATURES
    )


def _cold_sentence(forces, direction) -> str:
    slow, fast = (
        [100.0 * (_read(forces, at, speed) / _read(forces, "20 °C", speed) - 1.0) for at in ("5 °C", "70 °C")]
        for speed in READ_AT
    )
    return (
        f"Where the leg moves at {READ_AT[0]:g} m/s, {direction} is {slow[0]:+.0f} % against 20 °C on a morning of "
        f"5 °C and {slow[1]:+.0f} % at 70 °C; at {READ_AT[1]:g} m/s it is {fast[0]:+.1f} and {fast[1]:+.1f} %. "
        "The rider meets oil temperature as dive, wallow and a front that comes up too slowly or too fast, and hardly "
        "on square edges."
    )


def cold_and_hot(**start) -> Panel:
    """The panel of one leg's damping at three oil temperatures; start values by name."""
    title = "Cold morning, hot ride"
    return Panel(view_cold_and_hot, CONTROLS_COLD_AND_HOT, AXES_COLD_AND_HOT, title=title, start=start)
