"""How key numbers differ from those of a pinned view, in words."""

from __future__ import annotations

from suspedu.show.view import View
from suspedu.spelling import readable


def difference(now: str, before: str) -> str:
    """How one value text differs from an earlier one, in the same unit and with the same decimals.

    >>> difference("70.5 mm", "78.0 mm")
    '−7.5 mm'
    """
    (new, unit), (old, old_unit) = _split(now), _split(before)
    if new is None or old is None or unit != old_unit:
        return "" if now == before else "changed"
    decimals = max(len(text.partition(".")[2]) for text in (now.split()[0], before.split()[0]))
    change, unit = round(new - old, decimals), "points" if unit == "%" else unit
    return readable(f"{change:+.{decimals}f}", unit) if change else "same"


def _split(text: str) -> tuple[float | None, str]:
    number, _, unit = text.strip().partition(" ")
    try:
        return float(number.replace("−", "-")), unit
    except ValueError:
        return None, unit


def against_pin(view: View, pinned: View) -> str:
    """One sentence on what changed in the key numbers since they were pinned."""
    before = dict(pinned.numbers)
    moved = [(label, before[label], value) for label, value in view.numbers if before.get(label, value) != value]
    changes = [f"{label} {old} → {new} ({difference(new, old)})" for label, old, new in moved]
    return "Against the pin: " + "; ".join(changes) + "." if changes else "The key numbers are those of the pin."
