"""Quantities as text: SI in, what people read out, without a minus sign before a zero."""

from __future__ import annotations

from suspedu.spelling import minus, readable
from suspedu.units import from_si


def number(value, unit: str, decimals: int = 0) -> str:
    """A value [SI] as a number in a unit, without the unit.

    >>> number(-1e-9, "mm", 1), number(-0.004, "mm")
    ('0.0', '−4')
    """
    return minus(f"{round(from_si(float(value), unit), decimals) + 0.0:.{decimals}f}")


def with_unit(value, unit: str, decimals: int = 0) -> str:
    """A value [SI] with its unit.

    >>> with_unit(281325.0, "bar", 2)
    '2.81 bar'
    """
    return readable(number(value, unit, decimals), unit)


def millimetres(length, decimals: int = 0) -> str:
    """A length [m] as text in millimetres."""
    return with_unit(length, "mm", decimals)


def newtons(force) -> str:
    """A force [N] as text."""
    return with_unit(force, "N")


def so_many(count, things: str) -> str:
    """A number of clicks, shims or wrong ones, and their name for that many.

    >>> so_many(1, "clicks"), so_many(1.0, "wrong ones"), so_many(12, "clicks")
    ('1 click', '1 wrong one', '12 clicks')
    """
    return readable(f"{count:g}", things)


def in_a_row(words) -> str:
    """A few things in a row, as one says them.

    >>> in_a_row(["air"]), in_a_row(["free sag", "rider sag", "energy"])
    ('air', 'free sag, rider sag and energy')
    """
    *before, last = words
    return f"{', '.join(before)} and {last}" if before else last


def percent(share, decimals: int = 0, sign: str = "") -> str:
    """A share [-] as a number of per cent, without the sign of it; `sign` "+" for a change.

    >>> percent(0.125, 1), percent(0.5, sign="+")
    ('12.5', '+50')
    """
    return minus(f"{100 * float(share):{sign}.{decimals}f}")

