"""Panel: oil measured out by volume: the height that it makes, and how high a landing presses the air above it."""

from __future__ import annotations

import numpy as np

from suspedu.machine import pressure_caution
from suspedu.school.filling import Filling, filled
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import slider
from suspedu.show.panels.words import millimetres, number, with_unit
from suspedu.show.view import Axes, Curve, Mark, View
from suspedu.units import from_si, to_si


def view_oil_filled(oil_volume, air_temperature) -> View:
    """Oil height and peak pressure over the volume of oil in each leg [cm3], at a temperature [degC]."""
    found = filled(to_si(oil_volume, "cm^3"), to_si(air_temperature, "degC"))
    cm3, limit = from_si(found.heights.x, "cm^3"), from_si(found.limit, "bar")
    items = (
        Curve("height", cm3, from_si(found.heights.y, "mm"), 0, "main"),
        Mark("here", oil_volume, from_si(found.height, "mm"), millimetres(found.height)),
        Curve("limit", cm3[[0, -1]], np.full(2, limit), 1, "limit", "limit"),
        Curve("peak", cm3, from_si(found.peaks.y, "bar"), 1, "second", "landing"),
        Mark("peak here", oil_volume, from_si(found.peak, "bar"), with_unit(found.peak, "bar", 1), 1, "second"),
    )
    return View(items, _numbers(found), _sentence(oil_volume, found))


def _numbers(found: Filling) -> tuple:
    return (
        ("Oil height", millimetres(found.height, 1)),
        ("5 mm of height are", f"{number(found.step, 'cm^3', 1)} cm³"),
        ("Air left at the end of the stroke", f"{number(found.air, 'cm^3')} cm³"),
        ("Pressure in a hard landing (gauge)", with_unit(found.peak, "bar", 1)),
        ("Limit of the tube (gauge)", with_unit(found.limit, "bar", 1)),
    )


def _sentence(oil_volume, found: Filling) -> str:
    told = (f"{oil_volume:g} cm³ in each leg stand {millimetres(found.height)} below the top of the tube, and leave "
            f"{number(found.air, 'cm^3')} cm³ of air at the end of the stroke. ")
    caution = pressure_caution(found.machine)
    calm = (f"A hard landing presses it to {with_unit(found.peak, 'bar', 1)}, below the "
            f"{with_unit(found.limit, 'bar')} that this course allows a tube.")
    return told + (caution or calm)


OIL_FILLED = Declared(
    id="oil-filled", title="Oil by volume", view=view_oil_filled,
    controls=(slider("oil_volume", low=290, high=390, step=5, start=350, unit="cm³"), slider("air_temperature")),
    axes=(Axes("oil in each leg [cm³]", "oil height [mm]", (285, 395), (60, 160), "The height that it makes"),
          Axes("oil in each leg [cm³]", "air pressure, gauge [bar]", (285, 395), (0, 40),
               "In a hard landing")))  # fmt: skip
