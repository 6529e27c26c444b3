"""Draws a view quickly: what stands still is kept, only curves, shapes, marks and texts are drawn anew.

matplotlib draws on an Agg canvas of our own, without pyplot: no global state,
no backend to choose, nothing left over when a panel goes.
"""

from __future__ import annotations

import io

import numpy as np

from suspedu.show.artists import artist_of, can_be_seen, fill_of, ghost_of, renew
from suspedu.show.foot import foot_of, note_place
from suspedu.show.labels import best_place, spread, text_height, text_width
from suspedu.show.layout import LABEL, Frame, figure_of, folded, is_pinned_with, label_room, margins, text_at
from suspedu.show.palette_png import png
from suspedu.show.stamps import Stamps
from suspedu.show.view import Curve, Mark, Shape, View

NOTE = "grey: pinned"


def needs(frame: Frame, view: View) -> tuple:
    """What a drawing must have been made for to show a view: its items and the room of their labels."""
    return tuple(item.name for item in view.items), margins(frame, view)


class Drawing:
    """A picture of one frame that follows the views given to it, as long as their `needs` stay."""

    def __init__(self, frame: Frame, view: View):
        self.frame, self.needs = frame, needs(frame, view)
        self.figure = figure_of(frame, view)
        axes = self.figure.axes
        self.ghosts = [self._added(ghost_of(item, frame.theme), axes[item.axes], 2) for item in view.items]
        self.artists = [self._added(artist_of(item, frame.theme), axes[item.axes], 3) for item in view.items]
        self.texts = [self._text(_text_colour(item, frame.theme)) for item in view.items]
        self.note = self._text(frame.theme.muted)
        self.note.set(text=NOTE, **note_place(frame, text_width(NOTE, LABEL)))
        self.stamps = Stamps(LABEL, frame.scale)
        self.figure.canvas.draw()
        self.still = self.figure.canvas.copy_from_bbox(self.figure.bbox)

    def _added(self, artist, ax, layer):
        artist.set(animated=True, zorder=layer)
        ax.add_artist(artist)
        return artist

    def _text(self, colour):
        text = text_at(self.figure, self.frame, 0, 0, "", color=colour, va="bottom", linespacing=1.15)
        text.set_animated(True)
        return text

    def pixels(self, view: View, pinned: View | None = None) -> np.ndarray:
        """The picture of a view as RGBA [height, width, 4], with grey ghosts of the pinned one."""
        self.show(view, pinned)
        canvas = self.figure.canvas
        canvas.restore_region(self.still)
        renderer = canvas.get_renderer()
        for ghost, artist in zip(self.ghosts, self.artists, strict=True):  # a ghost is hidden by no earlier area
            for each in (ghost, artist):
                if each.get_visible():
                    each.draw(renderer)
        pixels = np.asarray(canvas.buffer_rgba())
        for text in (*self.texts, self.note):
            if text.get_visible():
                self.stamps.printed(pixels, text)
        return pixels

    def show(self, view: View, pinned: View | None = None) -> None:
        """Give all moving artists the data of a view."""
        if needs(self.frame, view) != self.needs:
            raise ValueError("this view has other items, or longer labels, than the drawing was made for")
        for item, artist in zip(view.items, self.artists, strict=True):
            artist.set_visible(can_be_seen(item))
            if artist.get_visible():
                renew(item, artist)
            if isinstance(item, Shape):
                artist.set_facecolor(fill_of(item, self.frame.theme))
        before = {item.name: item for item in pinned.items if is_pinned_with(item)} if pinned else {}
        for item, artist in zip(view.items, self.ghosts, strict=True):
            artist.set_visible(item.name in before)
            if item.name in before:
                renew(before[item.name], artist)
        self.note.set_visible(pinned is not None)
        self._place_texts(view)

    def to_page(self, item, x, y) -> np.ndarray:
        """Page pixels [n, 2] of data points of an item's axes."""
        points = np.column_stack([np.atleast_1d(x), np.atleast_1d(y)]).astype(float)
        return self.figure.axes[item.axes].transData.transform(points) / self.frame.scale

    def room(self, number: int) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of axes `number` on the page [px]."""
        box = self.figure.axes[number].bbox
        return tuple(np.array([box.x0, box.y0, box.x1, box.y1]) / self.frame.scale)

    def place_at(self, x: float, y: float) -> tuple[int, float, float] | None:
        """Axes and data point under a place of the picture, given as shares of it from the upper left; None outside."""
        page = np.array([x * self.frame.width, (1.0 - y) * self.frame.full_height])
        for number, axes in enumerate(self.figure.axes):
            left, bottom, right, top = self.room(number)
            if left <= page[0] <= right and bottom <= page[1] <= top:
                return (number, *map(float, axes.transData.inverted().transform(page * self.frame.scale)))
        return None

    def _place_texts(self, view: View) -> None:
        """Labels of shapes inside them, of curves in the margin at their ends, all others where there is room."""
        taken, waiting, margins = [], [], {}
        for item, text in zip(view.items, self.texts, strict=True):
            words = _words(item, self.frame)
            text.set(text=words, visible=bool(words))
            if words and isinstance(item, Shape):
                taken.append(_centre(text, self.to_page(item, item.x, item.y)))
            elif words:
                anchor = self._anchor(item)
                at_end = isinstance(item, Curve) and item.margin and anchor[0] > self._nearly_right(item.axes)
                (margins.setdefault(item.axes, []) if at_end else waiting).append((item, text, anchor))
        for number, entries in margins.items():
            self._fill_margin(self.room(number), entries)
        clutter = {number: self._clutter(view, number) for number in {item.axes for item, *_ in waiting}}
        for item, text, anchor in waiting:
            self._find_room(text, anchor, self.room(item.axes), taken, clutter[item.axes])

    def _anchor(self, item) -> np.ndarray:
        """The point of a mark, or the last point of a curve inside its axes [px]."""
        page = self.to_page(item, item.x, item.y)
        left, bottom, right, top = self.room(item.axes)
        x, y = page[:, 0], page[:, 1]
        inside = (x >= left - 1) & (x <= right + 1) & (y >= bottom - 1) & (y <= top + 1)
        return page[np.flatnonzero(inside)[-1]] if inside.any() else np.array([right - 4, top - 4])

    def _nearly_right(self, number: int) -> float:
        """From here on the end of a curve is near enough to the margin for its label to stand there [px]."""
        left, _, right, _ = self.room(number)
        return right - 0.08 * (right - left)

    def _fill_margin(self, room, entries) -> None:
        heights = [text_height(text.get_text(), LABEL) for _, text, _ in entries]
        gap = max(heights)
        middles = spread([anchor[1] for *_, anchor in entries], gap, room[1] + gap / 2 - 3, room[3] - gap / 2 + 8)
        for (_, text, _), middle, height in zip(entries, middles, heights, strict=True):
            text.set(x=room[2] + 7, y=middle - height / 2)

    def _clutter(self, view, number) -> np.ndarray:
        """Points of all lines and marks in axes `number` [px]: where texts should not lie."""
        items = [item for item in view.items if item.axes == number and not isinstance(item, Shape)]
        return np.concatenate([_sampled(self.to_page(item, item.x, item.y)) for item in items])

    def _find_room(self, text, anchor, room, taken, clutter) -> None:
        words = text.get_text()
        size = text_width(words, LABEL), text_height(words, LABEL)
        corner = best_place(anchor, size, room, taken, clutter)
        taken.append((corner[0], corner[1], corner[0] + size[0], corner[1] + size[1]))
        text.set(x=corner[0], y=corner[1])

    def png(self, view: View, pinned: View | None = None, level: int = 1) -> bytes:
        """The picture as a small palette PNG."""
        fills = tuple(sorted({item.role for item in view.items if isinstance(item, Shape) and item.tint}))
        return png(self.pixels(view, pinned), self.frame.theme, level, fills)

    def saved(self, kind: str, view: View, pinned: View | None = None, title: str = "", lines=()) -> bytes:
        """The picture as a file to keep, 'png' or 'svg': lines at its foot, its sentence in the file's description."""
        self.show(view, pinned)
        file = io.BytesIO()
        facts = {"Title": title, "Description": view.sentence} | ({"Date": None} if kind == "svg" else {})
        below = foot_of(self.figure, self.frame, lines)
        for text in (words := (*self.texts, self.note)):
            text.set_animated(False)  # matplotlib leaves animated texts of a figure out, even of a file
        self.figure.savefig(file, format=kind, facecolor=self.frame.theme.paper, metadata=facts)
        for text in words:
            text.set_animated(True)
        for text in below:
            text.remove()
        return file.getvalue()


def _words(item, frame: Frame) -> str:
    if isinstance(item, Mark):
        return item.text
    return item.label if isinstance(item, Shape) and not item.folds else folded(item.label, label_room(frame))


def _text_colour(item, theme) -> str:
    return theme.ink if isinstance(item, Shape) else getattr(theme, item.role)


def _centre(text, page) -> tuple:
    """Put a text into the middle of an outline; returns the box it takes."""
    middle = (page.min(axis=0) + page.max(axis=0)) / 2
    size = np.array([text_width(text.get_text(), LABEL), text_height(text.get_text(), LABEL)])
    low = middle - size / 2
    text.set(x=low[0], y=low[1])
    return (*low, *(low + size))


def _sampled(page, spacing: float = 4.0) -> np.ndarray:
    """A line as points close enough together [px] to be seen under a text; gaps left out."""
    points = page[np.isfinite(page).all(axis=1)]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))]) if len(points) else np.zeros(0)
    if not len(points) or along[-1] > 1e5:  # nothing to see, or far outside of the picture
        return points
    places = np.arange(0.0, along[-1] + spacing, spacing)
    return np.column_stack([np.interp(places, along, points[:, i]) for i in (0, 1)])
