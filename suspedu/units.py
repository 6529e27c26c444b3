"""Conversions at the border: SI inside the library, workshop units outside.

Every number that a person types or reads passes through here, and every
refusal of a number is phrased here, so that all of them read alike.
"""

from __future__ import annotations

import dataclasses
import difflib
import typing
from collections.abc import Callable, Iterable
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from suspedu.spelling import readable, readable_unit, typed

ROOM_TEMPERATURE = 293.15  # K, 20 degC
STANDARD_ATMOSPHERE = 101_325.0  # Pa
STANDARD_GRAVITY = 9.806_65  # m/s2
Part = typing.TypeVar("Part")
Value = typing.TypeVar("Value")
# One of each of the course's own units in SI, by kind. Any other is looked up in a library that takes long to load; a
# test compares the two, bit for bit.
KINDS = {"number": {"": 1.0, "percent": 0.01, "deg": np.pi / 180, "degree": np.pi / 180}, "temperature": {"degC": 1.0},
         "length": {"um": 1e-6, "mm": 1e-3, "m": 1.0, "N/mm/bar": 0.01}, "area": {"mm**2": 1e-6, "N/bar": 1e-5},
         "volume": {"cm^3": 0.01**3, "cm**3": 0.01**3},
         "time": {"s": 1.0}, "frequency": {"Hz": 1.0}, "velocity": {"mm/s": 1e-3, "m/s": 1.0, "km/h": 1 / 3.6},
         "acceleration": {"m/s^2": 1.0}, "flow": {"cm**3/s": 0.01**3}, "kinematic viscosity": {"mm**2/s": 1e-6},
         "mass": {"kg": 1.0}, "density": {"kg/m**3": 1.0}, "force": {"N": 1.0}, "rate": {"N/mm": 1e3},
         "pressure": {"bar": 1e5, "MPa": 1e6, "GPa": 1e9, "N/mm**2": 1e6}, "damping": {"N*s/m": 1.0},
         "expansion": {"1/K": 1.0}, "inverse velocity": {"s/m": 1.0}}
KIND_OF = {unit: kind for kind, units in KINDS.items() for unit in units}
ZEROS = {"degC": 273.15}  # K


class InputError(ValueError):
    """A value that a person gave and the course cannot use: the text is one sentence for that person."""


@cache
def _registry() -> typing.Any:
    import pint  # heavy, and only needed for units that are not the course's own

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@cache
def _scale(unit: str) -> tuple[float, float]:
    """Factor and offset with si = factor * value + offset, asked once per unit."""
    if unit in KIND_OF:
        return KINDS[KIND_OF[unit]][unit], ZEROS.get(unit, 0.0)
    quantity = _registry().Quantity
    zero = quantity(0.0, unit).to_base_units().magnitude
    return quantity(1.0, unit).to_base_units().magnitude - zero, zero


def to_si(value: ArrayLike, unit: str) -> typing.Any:
    """Value in SI of a number or array given in a workshop unit.

    Parameters: value [any shape, in `unit`]; unit, a name such as "mm", "N/mm", "bar", "degC".
    Returns: the same shape, in the SI base units of that quantity.
    Raises: InputError for a unit that nobody knows.

    >>> to_si(4.6, "N/mm")
    4600.0
    """
    factor, offset = _known(unit)
    return np.multiply(value, factor) + offset if np.ndim(value) else _number(value) * factor + offset


def from_si(value: ArrayLike, unit: str) -> typing.Any:
    """Value in a workshop unit of a number or array in SI: the inverse of `to_si`.

    >>> round(from_si(313.15, "degC"), 6)
    40.0
    """
    factor, offset = _known(unit)
    return (np.asarray(value) - offset) / factor if np.ndim(value) else (_number(value) - offset) / factor


def _number(value: typing.Any) -> float:
    """One value as Python's own float, which prints as a plain number."""
    return float(value)


def _known(unit: str) -> tuple[float, float]:
    try:
        return _scale(unit)
    except Exception as fault:  # pint raises several kinds for a bad name
        raise InputError(f"unit '{unit}' is not known; write it as in 'mm', 'N/mm', 'bar', 'degC'") from fault


def parse(text: object, unit: str, name: str) -> float:
    """SI value of text such as "4.6 N/mm", refused when it is not a quantity of the kind of `unit`.

    Raises: InputError naming the quantity, what was written and what was expected.

    >>> parse("300 mm", "mm", "travel")
    0.3
    """
    number, _, written = typed(str(text)).partition(" ")
    try:
        value = float(number)
    except ValueError:
        raise InputError(f"{name} is {text!r}: expected a number and a unit, as in "
                         f"'12 {readable_unit(unit)}'") from None
    if not written:
        raise InputError(f"{name} is {text!r}: the unit is missing, as in '{number} {unit}'")
    if not _alike(written.strip(), unit):
        raise InputError(f"{name} is {text!r}: '{written.strip()}' is not a unit of this quantity; give it in "
                         f"{readable_unit(unit)}")
    return to_si(value, written.strip())


@cache
def _alike(one: str, other: str) -> bool:
    """Whether two units are of one kind."""
    if {one, other} <= KIND_OF.keys():
        return KIND_OF[one] == KIND_OF[other]
    _known(one), _known(other)
    return _registry().Unit(one).dimensionality == _registry().Unit(other).dimensionality


def shown(value: float, unit: str, digits: int = 4) -> str:
    """Text of an SI value in a workshop unit, for messages and captions, as a reader finds it.

    >>> shown(0.0451, "mm"), shown(-0.003, "mm")
    ('45.1 mm', '−3 mm')
    """
    return readable(f"{from_si(value, unit):.{digits}g}", unit)


def require(name: str, value: Value, low: float, high: float, unit: str = "", slip: str = "") -> Value:
    """The value itself where all of it lies in [low, high]; a sentence otherwise.

    Parameters: name, for the sentence; value [any shape, SI]; low, high [SI]; unit shown; slip, a better hint.
    Raises: InputError naming the quantity, its worst value, the allowed range and the likely slip.

    >>> require("oil height", 0.45, 0.04, 0.2, "mm")
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: oil height is 450 mm; allowed: 40 to 200 mm (was a decimal point shifted? 45 mm would do)
    """
    if type(value) is float and low <= typing.cast(float, value) <= high:  # the usual case, quickly
        return value
    given: np.ndarray = np.asarray(value, dtype=float)
    wrong = ~((given >= low) & (given <= high))  # written so that nan is wrong too
    if wrong.any():
        raise InputError(_refusal(name, float(given[wrong].flat[0]), low, high, unit, slip))
    return value


def _refusal(name: str, value: float, low: float, high: float, unit: str, slip: str) -> str:
    allowed = f"{readable(f'{from_si(low, unit):.4g}', '')} to {shown(high, unit)}"
    hint = slip or _likely_slip(value, low, high, unit)
    return f"{name} is {shown(value, unit)}; allowed: {allowed}" + (f" ({hint})" if hint else "")


def _likely_slip(value: float, low: float, high: float, unit: str) -> str:
    """A guess at the slip: a lost sign, metres for millimetres, a decimal point."""
    tries = ((-1, "was a minus sign typed?"), (1e-3, "was it given a thousand times too large?"),
             (1e3, "was it given a thousand times too small?"), (0.1, "was a decimal point shifted?"),
             (10, "was a decimal point shifted?"), (0.01, "were two zeros typed too many?"),
             (0.5, "was it counted for both legs?"))
    for factor, words in tries:
        if value and low <= value * factor <= high:
            return f"{words} {shown(value * factor, unit)} would do"
    return ""


def quantity(unit: str, low: float, high: float, label: str = "", slip: str = "", **options: typing.Any) -> typing.Any:
    """A dataclass field that holds an SI number and knows its workshop unit and honest range.

    Parameters: unit; low, high [in `unit`], the allowed range; label, the quantity in the trade's words.
    """
    facts = {"unit": unit, "low": to_si(low, unit), "high": to_si(high, unit), "label": label, "slip": slip}
    return dataclasses.field(metadata=facts, **options)


@typing.overload
def part(kind: type[Part], /) -> type[Part]: ...


@typing.overload
def part(*, kw_only: bool = ..., eq: bool = ...) -> Callable[[type[Part]], type[Part]]: ...


@typing.dataclass_transform(frozen_default=True, field_specifiers=(quantity, dataclasses.field))
def part(kind: typing.Any = None, /, **options: bool) -> typing.Any:
    """Make a class a part: a frozen dataclass whose quantities are checked when it is made.

    Parameters: kind, the class; options of the dataclass, such as kw_only.
    A class that checks more than its ranges has a `__post_init__` of its own, and calls `check_fields` in it.

    >>> @part
    ... class Bumper:
    ...     length: float = quantity("mm", 5, 80)
    >>> Bumper(0.03)
    Bumper(length=0.03)
    >>> Bumper(30.0)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: length is 3e+04 mm; ...
    """
    if kind is None:
        return lambda given: part(given, **options)
    if not hasattr(kind, "__post_init__"):
        kind.__post_init__ = check_fields
    made = dataclasses.dataclass(frozen=True, **options)(kind)
    return _hashed_once(made) if options.get("eq", True) else made


def _hashed_once(kind: typing.Any) -> typing.Any:
    """The class, whose parts work their hash out once: remembered laws look the same parts up again and again."""
    plain = kind.__hash__

    def once(part: typing.Any) -> int:
        if "_hash" not in vars(part):
            object.__setattr__(part, "_hash", plain(part))
        return vars(part)["_hash"]

    def without(part: typing.Any) -> dict[str, typing.Any]:  # what is pickled, for another process hashes otherwise
        return {name: value for name, value in vars(part).items() if name != "_hash"}

    kind.__hash__, kind.__getstate__ = once, without
    return kind


def check_fields(part: typing.Any) -> None:
    """Refuse a part (a dataclass made with `quantity` fields) of which a value is out of range."""
    for field in dataclasses.fields(part):
        facts = field.metadata
        if "unit" in facts and getattr(part, field.name) is not None:
            name = facts["label"] or field.name.replace("_", " ")
            require(name, getattr(part, field.name), facts["low"], facts["high"], facts["unit"], facts["slip"])


def nearest(word: str, known: Iterable[str]) -> str:
    """A hint for a misspelt word: ' (did you mean ...?)' or nothing.

    >>> nearest("rebuond", ["rebound", "preload"])
    " (did you mean 'rebound'?)"
    """
    close = difflib.get_close_matches(word, list(known), 1)
    return f" (did you mean '{close[0]}'?)" if close else ""
