"""Small bar charts without a plotting library: where each bar stands; a template draws them as inline SVG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

LONGEST = 38  # letters of a label that have room


@dataclass(frozen=True)
class Bar:
    """One bar: its label, where it stands and how long it is [px], and the text at its end."""

    label: str
    top: int
    long: float
    text: str


@dataclass(frozen=True)
class BarChart:
    """Horizontal bars with a title, which a screen reader reads; lengths [px] of the drawing's own scale."""

    title: str
    bars: tuple[Bar, ...]
    width: int = 640
    left: int = 260
    right: int = 50
    thick: int = 18
    gap: int = 6

    @property
    def height(self) -> int:
        """Height of the whole [px]."""
        return len(self.bars) * (self.thick + self.gap) + self.gap


def bar_chart(title: str, labels: Sequence[str], shares: Sequence[float], texts: Sequence[str]) -> BarChart:
    """Horizontal bars.

    Parameters: title; labels, one a bar; shares, lengths from 0 to 1; texts, written at the end of each bar.

    >>> bar_chart("Share right", ["q1"], [0.5], ["50 %"]).bars
    (Bar(label='q1', top=6, long=165.0, text='50 %'),)
    """
    empty = BarChart(title, ())
    room = empty.width - empty.left - empty.right
    bars = [Bar(_short(label), empty.gap + k * (empty.thick + empty.gap), max(0.0, min(1.0, share)) * room, text)
            for k, (label, share, text) in enumerate(zip(labels, shares, texts, strict=True))]
    return BarChart(title, tuple(bars))


def _short(label: str) -> str:
    return label if len(label) <= LONGEST else f"{label[:LONGEST - 1]}…"


def counts(shares: Sequence[float], classes: int = 10) -> list[int]:
    """How many of some shares (0 to 1) lie in each of equally wide classes; 1 belongs to the last.

    >>> counts([0.0, 0.05, 0.5, 1.0], 2)
    [2, 2]
    """
    found = [0] * classes
    for share in shares:
        found[min(classes - 1, int(share * classes + 1e-9))] += 1
    return found


def distribution(title: str, shares: Sequence[float]) -> BarChart:
    """How many returns have how many of the points, in tenths."""
    found = counts(shares)
    labels = [f"{10 * k} to {10 * k + 10} %" for k in range(len(found))]
    return bar_chart(title, labels, [n / max(1, *found) for n in found], [str(n) for n in found])
