"""A design as a verdict prints it, read strictly: lines `name: numbers`, nothing else, and nothing is ever run.

A group of numbers that belong together is joined by x: `stack: 20x0.15 18x0.15`.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from suspedu.school.designs import Design

NUMBER = r"-?\d{1,9}(?:\.\d{1,12})?"
LINE = re.compile(rf"(\w{{1,40}}):((?: {NUMBER}(?:x{NUMBER})*){{1,60}})", re.ASCII)
LONGEST = 2000  # characters that are looked at, from the end
Groups = tuple[tuple[float, ...], ...]


def printed_lines(printed: str, count: int) -> dict[str, Groups]:
    """The last lines of a print, by name; empty where one of them is not of that form.

    >>> printed_lines("in a loop\\nhole: 1.2\\nstack: 20x0.15 18x0.1\\n", 2)
    {'hole': ((1.2,),), 'stack': ((20.0, 0.15), (18.0, 0.1))}
    """
    lines = [line.rstrip() for line in printed[-LONGEST:].splitlines()][-count:]
    found = [LINE.fullmatch(line) for line in lines]
    if not all(found):
        return {}
    return {line[1]: tuple(tuple(map(float, group.split("x"))) for group in line[2].split()) for line in found}


def is_design(printed: str) -> bool:
    """Whether a print has the form of a design: then it is one of many that are right, no value that is expected.

    >>> is_design("hole: 1.2\\nstack: 20x0.15 18x0.1\\n"), is_design("4.6 N/mm\\n")
    (True, False)
    """
    return bool(printed_lines(printed.strip(), len(printed.strip().splitlines())))


def design_fault(printed: str, design: Design) -> str:
    """Why a print is no design of a task, in a sentence; nothing where it is one.

    Parameters: printed, of the verdict; design, what the task asks for.
    """
    found, names = printed_lines(printed, len(design.entries)), [entry.name for entry in design.entries]
    if list(found) != names:
        return f"the cell should print {' and '.join(f'{name}: ...' for name in names)}, each with plain numbers"
    return next(filter(None, (entry.fault(found[entry.name]) for entry in design.entries)), "")


def read_design(printed: str, design: Design) -> dict[str, object]:
    """The values of a design that `design_fault` finds nothing wrong with, by name, in workshop units."""
    found = printed_lines(printed, len(design.entries))
    return {entry.name: entry.taken(found[entry.name]) for entry in design.entries}
