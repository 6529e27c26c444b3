"""What is typed in the form of one's own machine, as a file holds it; or a sentence with the likely slip."""

from __future__ import annotations

import math
import re

from suspedu.school.own_fields import CHOICES, Field
from suspedu.spelling import readable_unit
from suspedu.units import InputError, nearest, parse, require, shown, to_si

WORKED_OUT = re.compile(r"allowed: (\d+\.\d+) to(?= [\d.]+ mm)")  # a lowest length
NO_VISCOSITY = "; the W on a can is no viscosity"
UNITS = {"legs.spring.rate": "kgf/mm", "tyre.pressure": "psi"}  # what else is stamped on springs and stands on gauges
HORIZONTAL = ("chassis.rake",)  # angles that some sheets count from the horizontal


def as_in_file(each: Field, text: str) -> str | int:
    """A typed text as it stands in a file.

    Raises: InputError, one sentence with the likely slip.

    >>> from suspedu.school.own_fields import FIELDS
    >>> as_in_file(FIELDS["legs.travel"], "300"), as_in_file(FIELDS["legs.damper.rebound"], "9 out")
    ('300 mm', 9)
    """
    if each.kind == "clicks":
        return _count(each, text)
    if each.kind == "choice":
        if text not in CHOICES[each.key]:
            raise InputError(f"{each.label} is '{text}'; there are: {', '.join(CHOICES[each.key])}"
                             f"{nearest(text, CHOICES[each.key])}")
        return text
    number, _, unit = text.replace(",", ".").partition(" ")
    if not unit and not is_number(number):
        grade = NO_VISCOSITY if "viscosity" in each.key and number[-1:] in "wW" else ""
        raise InputError(f"{each.label} is '{text}': expected a number and a unit, as in "
                         f"'12 {readable_unit(each.unit)}'{grade}")
    text, facts = f"{number} {unit.strip() or each.unit}".strip(), each.facts
    value = parse(text, each.unit, each.label)
    hint = facts["slip"] if unit else otherwise_read(each, float(number)) or facts["slip"]
    require(each.label, value, facts["low"], facts["high"], facts["unit"], hint)
    return text


def _count(each: Field, text: str) -> int:
    text = text.removesuffix("clicks").removesuffix("out").strip()
    if not text.isascii() or not text.isdigit():
        raise InputError(f"{each.label} is '{text}': expected a whole number of clicks")
    return int(require(each.label, int(text), 0, 60))


def is_number(text: str) -> bool:
    """Whether a text is a plain number.

    >>> is_number("4.2"), is_number("5W")
    (True, False)
    """
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def otherwise_read(field: Field, number: float) -> str:
    """What a bare number would be in another unit, or from the horizontal, where that would do; else nothing.

    Parameters: field; number, as it was typed [the field's unit].

    >>> from suspedu.school.own_fields import FIELDS
    >>> otherwise_read(FIELDS["legs.spring.rate"], 0.44), otherwise_read(FIELDS["chassis.rake"], 62.0)
    ('in kgf/mm it would be 4.31 N/mm', 'from the horizontal it would be 28°')
    """
    if field.key in UNITS:
        words, value = f"in {UNITS[field.key]}", to_si(number, UNITS[field.key])
    elif field.key in HORIZONTAL:
        words, value = "from the horizontal", to_si(90.0 - number, field.unit)
    else:
        return ""
    would = field.facts["low"] <= value <= field.facts["high"]
    return f"{words} it would be {shown(value, field.unit, 3)}" if would else ""


def in_halves(sentence: str) -> str:
    """A refusal whose lowest length was worked out, with the next half millimetre that is allowed in its place.

    >>> in_halves("oil height is 5 mm; allowed: 36.58 to 300 mm")
    'oil height is 5 mm; allowed: 37 to 300 mm'
    """
    return WORKED_OUT.sub(lambda found: f"allowed: {math.ceil(2 * float(found[1])) / 2:g} to", sentence)
