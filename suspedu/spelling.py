"""How quantities are written for a reader: raised figures and dots in units, a true minus sign before a number.

What a file holds and a person types has plain letters and signs; both spellings are understood (`typed`).
"""

from __future__ import annotations

import re

NAMED = {"degC": "°C", "deg": "°", "degree": "°", "percent": "%"}
RAISED = {"2": "²", "3": "³"}
POWER = re.compile(r"(?:\^|\*\*|(?<=\bm)|(?<=\bcm)|(?<=\bmm)|(?<=/s))([23])(?!\w)")
DOT = re.compile(r"(?:(?<=\bN)|(?<=\bPa))[ *](?=s\b)|\*")
NEGATIVE = re.compile(r"(?<![\w.)\]{^_²³°%−-])-(?=\.?\d)")  # no range, date, name or formula
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
ONE = {"clicks": "click", "shims": "shim", "wrong ones": "wrong one"}
TYPED = (("−", "-"), ("²", "^2"), ("³", "^3"), ("·", "*"), ("°C", " degC"), ("°", " deg"), ("%", " percent"))


def readable_unit(unit: str | None) -> str:
    """A unit as a reader finds it.

    >>> [readable_unit(unit) for unit in ("m/s^2", "cm**3/s", "N*s/m", "degC", "N/mm")]
    ['m/s²', 'cm³/s', 'N·s/m', '°C', 'N/mm']
    """
    if not unit or unit in NAMED:
        return NAMED.get(unit or "", "")
    return DOT.sub("·", POWER.sub(lambda found: RAISED[found[1]], unit))


def readable(number: str, unit: str | None) -> str:
    """A number, already text, with its unit: a blank between them, but none before the sign of an angle.

    >>> readable("-0.4", "m/s^2"), readable("30", "deg"), readable("12", ""), readable("1", "shims")
    ('−0.4 m/s²', '30°', '12', '1 shim')
    """
    sign = ONE[unit] if number == "1" and unit in ONE else readable_unit(unit)
    return minus(number + sign if sign == "°" else f"{number} {sign}".rstrip())


def minus(text: str) -> str:
    """The text with a true minus sign before its negative numbers.

    >>> minus("-93 % at low-speed, 3-4 clicks, 2026-11-26")
    '−93 % at low-speed, 3-4 clicks, 2026-11-26'
    """
    return NEGATIVE.sub("−", text) if "-" in text else text


def count_word(count: int) -> str:
    """A number of things as one writes it in a sentence: in letters up to twelve.

    >>> count_word(7), count_word(13)
    ('seven', '13')
    """
    return COUNTS[count] if 0 <= count < len(COUNTS) else str(count)


def typed(text: str) -> str:
    """A quantity in the letters and signs of a keyboard, whichever way it was written.

    >>> typed("−0.4 m/s²"), typed("26.5°"), typed("16 mm^2/s")
    ('-0.4 m/s^2', '26.5 deg', '16 mm^2/s')
    """
    for reader, keyboard in TYPED:
        text = text.replace(reader, keyboard)
    return " ".join(text.split())
