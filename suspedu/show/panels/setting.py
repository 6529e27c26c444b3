"""The machine that a panel's controls describe: workshop units in, a machine of the riding school out."""

from __future__ import annotations

from functools import cache

from suspedu.machine import Machine, adjusted, load
from suspedu.show.view import Control
from suspedu.units import to_si

MACHINE_NAMES = {"School enduro 300": "enduro", "School trail 250": "trail"}
UNITS = {"preload": "mm", "coil_rate": "N/mm", "oil_height": "mm", "air_temperature": "degC", "rider_mass": "kg"}

# Sags that the riding school aims at, as shares of the travel: common practice, no source; a maker's manual may differ.
RIDER_AIM, FREE_AIM, AIM_SLACK = 0.205, 0.085, 0.0067

RIDER = Control("rider_mass", "Rider in riding gear", "kg", 55, 115, 1, 82)
RATE = Control("coil_rate", "Spring rate, each leg", "N/mm", 3.0, 5.6, 0.05, 4.0, "more = stiffer all along the stroke")
PRELOAD = Control("preload", "Preload, each leg", "mm", 0, 20, 0.5, 4, "more = the front stands higher")
OIL = Control("oil_height", "Oil height", "mm", 80, 150, 1, 110, "from the tube's top down to the oil: less = more oil")


@cache
def _school_machine(name: str) -> Machine:
    return load(name)


def set_machine(name: str = "enduro", **workshop) -> Machine:
    """A machine of the school with its adjusters at values in workshop units.

    >>> set_machine("enduro", preload=8).legs[0].spring.preload
    0.008
    """
    known = {adjuster: to_si(value, UNITS[adjuster]) for adjuster, value in workshop.items() if adjuster in UNITS}
    return adjusted(_school_machine(name), **known)


def millimetres(length, decimals: int = 0) -> str:
    """A length [m] as text in millimetres, without a minus sign before a zero.

    >>> millimetres(-1e-9, 1)
    '0.0 mm'
    """
    return f"{round(float(length) * 1e3, decimals) + 0.0:.{decimals}f} mm"
