"""One axes of a picture as it was last drawn: what is as it was before is not drawn again.

A pane's items lie one over the other, in their order. Those before the first
that changed are kept as pixels, too, where a picture is quick (a film moves the same items again and again).
"""

from __future__ import annotations

import dataclasses
import math
from functools import lru_cache

import numpy as np

from suspedu.show.labels import text_height, text_width
from suspedu.show.layout import LABEL, Frame
from suspedu.show.view import Axes, Curve, View

RIM = 2  # px round the room of axes for smooth edges
PLAIN = str, int, float, bool, type(None)


class Pane:
    """The items of axes `number` (their places in a view) and the part of the picture that is theirs."""

    def __init__(self, number: int, frame: Frame, view: View):
        self.members = tuple(place for place, item in enumerate(view.items) if item.axes == number)
        self.room = frame.cells()[number]  # left, bottom, right, top [px]
        self.place = _slices(self.room, frame)
        self.shown: list[tuple] | None = None  # pairs of item and pinned item, as last drawn
        self.steady: tuple[int, np.ndarray | None] = (0, None)  # so many of them, alone on the picture
        self.keeps = frame.scale == 1.0  # a crisp picture is large, and comes at rest

    def chosen(self, pairs: list[tuple]) -> list[tuple]:
        """The pairs of this pane out of those of a whole view."""
        return [pairs[place] for place in self.members]

    def unchanged(self, pairs: list[tuple]) -> int:
        """How many of the pairs, from the first on, are as they were last drawn; -1 for a pane that never was."""
        if self.shown is None:
            return -1
        count = 0
        for pair, before in zip(pairs, self.shown, strict=True):
            if not (same(pair[0], before[0]) and same(pair[1], before[1])):
                break
            count += 1
        return count

    def begun(self, pixels: np.ndarray, still: np.ndarray, unchanged: int) -> int:
        """Put the picture back to what stands still; returns how many items are in that already."""
        count, picture = self.steady
        if picture is None or count > unchanged:
            self.steady = 0, None
            pixels[self.place] = still[self.place]
            return 0
        pixels[self.place] = picture
        return count

    def keep(self, pixels: np.ndarray, count: int) -> None:
        """The picture now holds the first so many items, and no text yet."""
        if self.keeps and count > 0:
            self.steady = count, pixels[self.place].copy()

    def spilled(self, texts) -> bool:
        """Whether a text reaches out of the pane's part of the picture."""
        own = [texts[place] for place in self.members]
        return any(not self._holds(text) for text in own if text.get_visible())

    def _holds(self, text) -> bool:
        words, (x, y), (left, bottom, right, top) = text.get_text(), text.get_position(), self.room
        wide, high = text_width(words, LABEL) * 1.04, text_height(words, LABEL)
        return left <= x and bottom <= y and x + wide <= right and y + high <= top


def _slices(room, frame: Frame) -> tuple[slice, slice]:
    left, bottom, right, top = (side * frame.scale for side in room)
    high = frame.full_height * frame.scale
    return (slice(max(math.floor(high - top) - RIM, 0), math.ceil(high - bottom) + RIM),
            slice(max(math.floor(left) - RIM, 0), math.ceil(right) + RIM))  # fmt: skip


@lru_cache(16)
def _fields(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(kind))


def most_moved(now: View, before: View, axes: tuple[Axes, ...]) -> int | None:
    """The axes of which a move changed the largest share, the first of several; None where nothing changed.

    Curves of graphs count first: a picture true to scale stirs a little with each move.
    """
    if [item.name for item in now.items] != [item.name for item in before.items]:
        return None
    pairs = list(zip(now.items, before.items, strict=True))
    graphs = [pair for pair in pairs if isinstance(pair[0], Curve) and not axes[pair[0].axes].bare]
    return _most(graphs) if any(not same(*pair) for pair in graphs) else _most(pairs)


def _most(pairs) -> int | None:
    changed: dict[int, list[bool]] = {}
    for item, other in pairs:
        changed.setdefault(item.axes, []).append(not same(item, other))
    shares = {number: sum(each) / len(each) for number, each in sorted(changed.items())}
    return max(shares, key=lambda number: shares[number]) if any(shares.values()) else None


def same(item, other) -> bool:
    """Whether two items of a view look the same."""
    if item is other:
        return True
    if type(item) is not type(other):
        return False
    return all(_equal(getattr(item, name), getattr(other, name)) for name in _fields(type(item)))


def _equal(value, other) -> bool:
    if value is other:
        return True
    if isinstance(value, PLAIN):
        return value == other
    one, two = np.asarray(value), np.asarray(other)
    return one.shape == two.shape and one.tobytes() == two.tobytes()  # gaps (NaN) are equal, too
