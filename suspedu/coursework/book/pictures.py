"""Small bar charts as inline SVG, drawn without a plotting library, each with its figures as text beside it."""

from __future__ import annotations

from collections.abc import Sequence

from suspedu.coursework.book.page import shown

WIDTH, BAR, GAP, LEFT, RIGHT = 640, 18, 6, 260, 50
LONGEST = 38  # letters of a label that have room


def bars(title: str, labels: Sequence[str], shares: Sequence[float], texts: Sequence[str]) -> str:
    """Horizontal bars.

    Parameters: title; labels, one a bar; shares, lengths from 0 to 1; texts, written at the end of each bar.
    """
    height = len(labels) * (BAR + GAP) + GAP
    lines = [f'<svg role="img" aria-label="{shown(title)}" viewBox="0 0 {WIDTH} {height}" width="100%">',
             f"<title>{shown(title)}</title>"]
    for k, (label, share, text) in enumerate(zip(labels, shares, texts, strict=True)):
        top, long = GAP + k * (BAR + GAP), max(0.0, min(1.0, share)) * (WIDTH - LEFT - RIGHT)
        lines += [f'<text x="{LEFT - 8}" y="{top + 13}" text-anchor="end">{shown(_short(label))}</text>',
                  f'<rect class="bar" x="{LEFT}" y="{top}" width="{long:.1f}" height="{BAR}"/>',
                  f'<text x="{LEFT + long + 5:.1f}" y="{top + 13}">{shown(text, 12)}</text>']
    lines.append(f'<line class="axis" x1="{LEFT}" y1="0" x2="{LEFT}" y2="{height}"/></svg>')
    return "\n".join(lines)


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


def distribution(title: str, shares: Sequence[float]) -> str:
    """How many returns have how many of the points, in tenths."""
    found = counts(shares)
    labels = [f"{10 * k} to {10 * k + 10} %" for k in range(len(found))]
    return bars(title, labels, [n / max(1, *found) for n in found], [str(n) for n in found])
