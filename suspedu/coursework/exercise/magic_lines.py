"""Lines of a notebook that are no Python: `%matplotlib inline`, `!ls`, `rate?`."""

from __future__ import annotations

import ast
import re

from suspedu.coursework.exercise.names import UNREADABLE

# A line of its own; of what changes a whole cell, only where the cell stays Python.
MAGIC = re.compile(r"(\s*)(%%(?:time|capture)\b.*|%(?!%).*|[!?].*|.*\?\s*)")
MOST = 50  # magic lines in a cell


def without_magics(source: str) -> str:
    """A source with its magic lines as remarks, so that the Python in it counts; what is odd otherwise stays as it is.

    >>> print(without_magics("%matplotlib inline\\nimport math"))
    # %matplotlib inline
    import math
    >>> without_magics("%%bash\\nrate=5")
    '%%bash\\nrate=5'
    """
    lines = source.split("\n")
    for _ in lines[:MOST]:  # each round finds the first line at which Python stops
        place = _stops_at("\n".join(lines))
        found = MAGIC.fullmatch(lines[place]) if 0 <= place < len(lines) else None
        if not found:
            break
        _remark(lines, place, *found.groups())
    return "\n".join(lines)


def _stops_at(source: str) -> int:
    """Place of the line at which Python stops reading, -1 where it reads all or cannot say."""
    try:
        ast.parse(source)
    except SyntaxError as fault:
        return (fault.lineno or 0) - 1
    except UNREADABLE:
        return -1
    return -1


def _remark(lines: list[str], place: int, indent: str, magic: str) -> None:
    """Make a remark of a magic line, and of the lines that go on behind its backslash."""
    while lines[place].rstrip().endswith("\\") and place + 1 < len(lines):
        lines[place] = f"{indent}# {lines[place].strip()}"[:-1]
        place += 1
    lines[place] = f"{indent}{'pass  ' if indent else ''}# {lines[place].strip()}"
