"""Where texts go in a picture: beside their lines, not over each other.

All lengths are page pixels, whatever the sharpness of the picture, so that
the quick picture and the crisp one put each text in the same place.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.font_manager import FontProperties

POINTS_PER_PIXEL = 0.72  # at 100 dots per inch
FAMILY = "DejaVu Sans"  # comes with matplotlib, so that pictures are the same everywhere


@lru_cache(4096)
def text_width(text: str, size: float) -> float:
    """Width of the widest line of a text [px] in the font of the pictures."""
    return max((_line_width(line, size) for line in text.split("\n") if line.strip()), default=0.0)


def _line_width(line: str, size: float) -> float:
    font = FontProperties(family=FAMILY, size=size * POINTS_PER_PIXEL)
    return float(_ruler().get_text_width_height_descent(line, font, line.count("$") > 1)[0])


@lru_cache(1)
def _ruler() -> RendererAgg:
    return RendererAgg(1, 1, 100)  # measures as the pictures draw


def text_height(text: str, size: float) -> float:
    """Height of a text of one or more lines [px]."""
    return 1.25 * size * (1 + text.count("\n"))


def spread(wanted, gap: float, low: float, high: float) -> np.ndarray:
    """Heights next to the wanted ones, at least `gap` apart and, as far as they fit, within [low, high].

    >>> spread([50.0, 52.0], 10.0, 0.0, 100.0)
    array([46., 56.])
    """
    wanted = np.asarray(wanted, dtype=float)
    order = np.argsort(wanted, kind="stable")
    groups: list[list[float]] = []  # [sum of (wanted - offset), count]
    for value in wanted[order]:
        groups.append([value, 1])
        while len(groups) > 1 and _first(groups[-2], gap) + groups[-2][1] * gap > _first(groups[-1], gap):
            total, count = groups.pop()
            groups[-1] = [groups[-1][0] + total - count * groups[-1][1] * gap, groups[-1][1] + count]
    placed = np.concatenate([_first(group, gap) + gap * np.arange(group[1]) for group in groups] or [[]])
    return _held(placed, gap, low, high)[np.argsort(order, kind="stable")]


def _first(group, gap: float) -> float:
    """Lowest height of a group that stands close together, its mean shift from the wanted heights zero."""
    return group[0] / group[1]


def _held(placed: np.ndarray, gap: float, low: float, high: float) -> np.ndarray:
    """Heights in rising order, pushed down from the upper limit and then up from the lower."""
    steps = gap * np.arange(len(placed))
    placed = np.minimum(placed, high - steps[::-1])
    return np.maximum(placed, low + steps)


def best_place(anchor, size, room, taken, clutter, reach: float = 9.0) -> tuple[float, float]:
    """Lower left corner for a text box beside its anchor where it covers least.

    Parameters: anchor (x, y); size (width, height); room (x0, y0, x1, y1) to stay in;
    taken [n, 4], boxes of other texts; clutter [m, 2], points of lines.
    """
    (x, y), (width, height) = anchor, size
    sides = [x + reach, x - reach - width, x - 0.5 * width, x - 0.8 * width, x - 0.2 * width]
    sides += [x + 3 * reach, x - 3 * reach - width]
    levels = [y + 0.6 * reach, y - 0.6 * reach - height, y - 0.5 * height]
    levels += [y + 0.6 * reach + further for further in (14, 28, 42)] + [y - 0.6 * reach - height - 14]
    held = np.clip(sides, room[0] + 2, max(room[2] - width, room[0] + 2))
    corners = np.column_stack([np.tile(held, len(levels)), np.repeat(levels, len(held))])
    boxes = np.column_stack([corners, corners + size])
    costs = _outside(boxes, room) + 2.0 * _overlap(boxes, taken) + 4.0 * _hits(boxes, clutter)
    return tuple(corners[np.argmin(costs + 0.5 * np.arange(len(costs)))])  # the first ones where several are as good


def _outside(boxes, room) -> np.ndarray:
    """How far each box reaches out of the room, heavily weighted."""
    low, high = np.array(room[:2]) - boxes[:, :2], boxes[:, 2:] - np.array(room[2:])
    return 50.0 * (np.maximum(low, 0) + np.maximum(high, 0)).sum(axis=1)


def _overlap(boxes, taken) -> np.ndarray:
    """Area that each box shares with the boxes of other texts."""
    others = np.asarray(taken, dtype=float).reshape(-1, 4)
    shared = np.minimum(boxes[:, None, 2:], others[:, 2:]) - np.maximum(boxes[:, None, :2], others[:, :2])
    return np.prod(np.maximum(shared, 0), axis=2).sum(axis=1)


def _hits(boxes, clutter) -> np.ndarray:
    """Number of points of lines under each box, with a little air round it."""
    low, high = boxes[:, :2].min(axis=0) - (3, 2), boxes[:, 2:].max(axis=0) + np.array((3, 2))
    near = (clutter > low) & (clutter < high)
    clutter, low, high = clutter[near.all(axis=1)], boxes[:, None, :2] - (3, 2), boxes[:, None, 2:] + (3, 2)
    return ((clutter > low) & (clutter < high)).all(axis=2).sum(axis=1)


def points_along(page, spacing: float = 4.0) -> np.ndarray:
    """A line as points close enough together [px] to be seen under a text; gaps left out."""
    points = page[np.isfinite(page).all(axis=1)]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))]) if len(points) else np.zeros(0)
    if not len(points) or along[-1] > 1e5:  # nothing to see, or far outside of the picture
        return points
    places = np.arange(0.0, along[-1] + spacing, spacing)
    return np.column_stack([np.interp(places, along, points[:, i]) for i in (0, 1)])
