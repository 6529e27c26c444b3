"""Quantities as text: SI in, what people read out, without a minus sign before a zero."""

from __future__ import annotations

import re

from suspedu.units import from_si

WORDS = {"degC": "°C", "deg": "degree", "mm**2": "mm2", "cm**3/s": "cm3/s", "mm**2/s": "mm2/s",
         "m/s^2": "m/s²"}  # as the panels spell


def spelled(unit: str) -> str:
    """A unit as the panels spell it.

    >>> spelled("degC"), spelled("N/mm")
    ('°C', 'N/mm')
    """
    return WORDS.get(unit, unit)


def number(value, unit: str, decimals: int = 0) -> str:
    """A value [SI] as a number in a unit, without the unit.

    >>> number(-1e-9, "mm", 1)
    '0.0'
    """
    return f"{round(from_si(float(value), unit), decimals) + 0.0:.{decimals}f}"


def with_unit(value, unit: str, decimals: int = 0) -> str:
    """A value [SI] with its unit.

    >>> with_unit(281325.0, "bar", 2)
    '2.81 bar'
    """
    return f"{number(value, unit, decimals)} {spelled(unit)}"


def millimetres(length, decimals: int = 0) -> str:
    """A length [m] as text in millimetres."""
    return with_unit(length, "mm", decimals)


def newtons(force) -> str:
    """A force [N] as text."""
    return with_unit(force, "N")


def percent(share, decimals: int = 0, sign: str = "") -> str:
    """A share [-] as a number of per cent, without the sign of it; `sign` "+" for a change.

    >>> percent(0.125, 1), percent(0.5, sign="+")
    ('12.5', '+50')
    """
    return f"{100 * float(share):{sign}.{decimals}f}"


def minus(text: str) -> str:
    """The text with a true minus sign before its negative numbers.

    >>> minus("-93 % at low-speed")
    '−93 % at low-speed'
    """
    return re.sub(r"(?<![\w.])-(?=\d)", "−", text)
