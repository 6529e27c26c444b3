"""The part of a picture that stands still: where axes lie, their ticks, grid and titles.

Lengths are page pixels with y upwards; a figure has 100 dots per inch times its scale.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.ticker import FixedLocator, FuncFormatter, MaxNLocator, NullLocator
from matplotlib.transforms import Affine2D

from suspedu.show.labels import FAMILY, POINTS_PER_PIXEL, text_width
from suspedu.show.theme import Theme
from suspedu.show.view import Axes, Curve, Shape, View

TICK, LABEL, TITLE = 11.5, 12.5, 14.0  # px
SIDE_BY_SIDE = 600  # px of width from which several axes stand beside each other
STOREY = 0.8  # of the height side by side
LEAST_STOREY = 100  # px of axes that say their place, on a narrow page
EDGE, GAP = 14, 26  # px round the picture, and between axes
BOLD = 1.15  # a bold text is about so much wider
SMALLEST = 0.8  # share of its size to which a title goes down beside another


@dataclass(frozen=True)
class Frame:
    """What a drawing is made for: a change in any of it needs a new one."""

    axes: tuple[Axes, ...]
    theme: Theme
    width: int
    height: int
    scale: float = 1.0
    foot: int = 0  # px kept free under the axes

    @property
    def stacked(self) -> bool:
        """Whether several axes stand one above the other, in the height of each."""
        return len(self.axes) > 1 and self.width < SIDE_BY_SIDE

    @property
    def full_height(self) -> int:
        """Height of the picture [px]."""
        return (sum(self.storeys()) if self.stacked else self.height) + self.foot

    def storeys(self) -> list[int]:
        """Heights of axes that stand one above the other [px]: graphs are lower then, cutaways are not."""
        return [self._storey(axes) for axes in self.axes]

    def edges(self) -> list[int]:
        """Where storeys begin and end, from the upper edge of the picture [px]; nothing where all is side by side."""
        return [0, *np.cumsum(self.storeys()).tolist()] if self.stacked else []

    def _storey(self, axes: Axes) -> int:
        if axes.place:
            return max(round((axes.place[3] - axes.place[1]) * self.height), LEAST_STOREY)
        return self.height if axes.equal or axes.bare else round(STOREY * self.height)

    def cells(self) -> list[tuple[float, float, float, float]]:
        """Left, bottom, right, top of the room of each axes [px]."""
        up = 0 if self.stacked else self.foot
        return [(left, bottom + up, right, top + up) for left, bottom, right, top in self._cells()]

    def _cells(self) -> list[tuple[float, float, float, float]]:
        if self.stacked:
            lows = self.full_height - np.cumsum(self.storeys())
            return [(EDGE, low + EDGE / 2, self.width - EDGE, low + high - EDGE)
                    for low, high in zip(lows.tolist(), self.storeys(), strict=True)]  # fmt: skip
        free = self.width - 2 * EDGE - GAP * (len(self.axes) - 1)
        if all(axes.place for axes in self.axes):
            return [self._placed(*axes.place) for axes in self.axes if axes.place]
        total, left, cells = sum(axes.share for axes in self.axes), float(EDGE), []
        for axes in self.axes:
            right = left + free * axes.share / total
            cells.append((left, EDGE / 2, right, self.height - EDGE))
            left = right + GAP
        return cells

    def _placed(self, left, bottom, right, top) -> tuple[float, float, float, float]:
        """The room of axes that say their place, half a gap off their neighbours [px]."""
        wide, high, low = self.width - 2 * EDGE + GAP, self.height - 1.5 * EDGE + GAP / 2, EDGE / 2
        return EDGE + left * wide, low + bottom * high, EDGE + right * wide - GAP, low + top * high - GAP / 2


def folded(text: str, room: float, size: float = LABEL) -> str:
    """The text broken between words, not between a number and its unit, into lines of at most `room` [px]."""
    lines = [""]
    for word in re.split(r"(?<!\d)\s+", text.strip()):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return "\n".join(lines)


def label_room(frame: Frame) -> float:
    """Widest line of a direct label [px]."""
    return max(64.0, 0.17 * frame.width)


def margin(frame: Frame, view: View, number: int) -> float:
    """Room that the labels of curves need to the right of axes `number` [px]."""
    curves = [item for item in view.items if isinstance(item, Curve) and item.axes == number and item.margin]
    widths = [text_width(folded(curve.label, label_room(frame)), LABEL) for curve in curves if curve.label]
    return 12.0 * (1 + max(widths) // 12) if widths else 6.0  # in steps, so that a longer number seldom moves the axes


def margins(frame: Frame, view: View) -> tuple[float, ...]:
    """The label margins of all axes [px]."""
    return tuple(margin(frame, view, number) for number in range(len(frame.axes)))


def figure_of(frame: Frame, view: View) -> Figure:
    """A figure with all that does not move, on an Agg canvas of its own."""
    figure = Figure(figsize=(frame.width / 100, frame.full_height / 100), dpi=100 * frame.scale)
    figure.set_facecolor(frame.theme.paper)
    FigureCanvasAgg(figure)
    for axes, cell, room in zip(frame.axes, frame.cells(), margins(frame, view), strict=True):
        _add_axes(figure, frame, axes, cell, room)
    return figure


def _add_axes(figure, frame, axes, cell, right_margin) -> None:
    left, bottom, right, top = cell
    top -= _titles(figure, frame, axes, cell)
    bottom += 0 if axes.bare else (22 if not axes.xlabel else 40)
    ax = figure.add_axes((0, 0, 1, 1), xlim=axes.xlim, ylim=axes.ylim, xscale=axes.xscale, yscale=axes.yscale)
    _dress(ax, frame.theme, axes, right - left, top - bottom)
    ticks = [] if axes.bare else ax.yaxis.get_major_formatter().format_ticks(_shown(ax.yaxis, axes.ylim))
    left += max((text_width(text.replace("\u2212", "-"), TICK) for text in ticks), default=-8) + 8
    left = max(left, cell[0] + axes.tick_room)
    right -= right_margin
    size = frame.width, frame.full_height
    ax.set_position((left / size[0], bottom / size[1], (right - left) / size[0], (top - bottom) / size[1]))
    if axes.equal:
        ax.set_aspect("equal")
    if not axes.bare:
        beyond = min(max(text_width(axes.xlabel, LABEL) - (right - left), 0.0), right_margin)  # a long name reaches out
        text_at(figure, frame, right + beyond, bottom - 36, axes.xlabel, color=frame.theme.muted, ha="right")


def _shown(axis, limits) -> list:
    low, high = min(limits), max(limits)
    return [place for place in axis.get_majorticklocs() if low - 1e-9 <= place <= high + 1e-9]


def _titles(figure, frame, axes, cell) -> float:
    """Title and name of the y axis above the axes; returns the height they take. A long title is written smaller."""
    left, _, right, top = cell
    taken = 0.0
    if axes.title:
        size = TITLE * min(max((right - left) / (BOLD * text_width(axes.title, TITLE)), SMALLEST), 1.0)
        text_at(figure, frame, left, top - TITLE, axes.title, color=frame.theme.ink, size=size, weight="bold")
        taken += TITLE + 9
    if axes.ylabel and not axes.bare:
        text_at(figure, frame, left, top - taken - LABEL, axes.ylabel, color=frame.theme.muted)
        taken += LABEL + 13
    return taken or 4.0


def text_at(figure, frame, x, y, text, size=LABEL, **style):
    """A text at page pixels (x, y), its baseline there."""
    pixels = Affine2D().scale(frame.scale)
    style = {"va": "baseline", "family": FAMILY} | style
    return figure.text(x, y, text, size=size * POINTS_PER_PIXEL, transform=pixels, **style)


def _dress(ax, theme, axes, width, height) -> None:
    """Ticks, grid and frame: quiet, so that the curves speak."""
    ax.set_facecolor("none")
    ax.set_autoscale_on(False)
    ax.set_axisbelow(True)
    if axes.bare:
        ax.set_axis_off()
        return
    ax.spines[["top", "right"]].set_visible(False)
    ax.spines[["left", "bottom"]].set(color=theme.muted, linewidth=0.8)
    ax.spines["left"].set_visible(False)
    ax.grid(True, color=theme.grid, linewidth=0.8)
    ax.tick_params(length=0, pad=5, labelsize=TICK * POINTS_PER_PIXEL, labelcolor=theme.muted, labelfontfamily=FAMILY)
    _ticks(ax.xaxis, axes.xticks, axes.xscale, min(max(width / 70, 3), 9))
    _ticks(ax.yaxis, axes.yticks, axes.yscale, min(max(height / 42, 3), 8))


def _ticks(axis, named, scale, number) -> None:
    if named:
        texts = dict(named)
        axis.set_major_locator(FixedLocator(list(texts)))
        axis.set_major_formatter(FuncFormatter(lambda place, _: texts.get(place, "")))
    elif scale == "linear":
        axis.set_major_locator(MaxNLocator(int(number), steps=[1, 2, 2.5, 5, 10]))
        axis.get_major_formatter().set_useOffset(False)
    else:
        axis.set_major_formatter(FuncFormatter(lambda place, _: f"{place:g}"))
    axis.set_minor_locator(NullLocator())


def is_pinned_with(item) -> bool:
    """Whether pinning keeps a grey ghost of the item."""
    return isinstance(item, Curve | Shape) and item.role not in ("ghost", "limit", "ink")
