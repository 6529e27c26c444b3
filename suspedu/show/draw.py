"""Draws a view quickly: what stands still is kept, only curves, shapes, marks and texts are drawn anew.

matplotlib draws on an Agg canvas of our own, without pyplot: no global state,
no backend to choose, nothing left over when a panel goes.
"""

from __future__ import annotations

import io

import numpy as np

from suspedu.show.artists import artist_of, can_be_seen, ghost_of, look_of, renew
from suspedu.show.foot import foot_of, note_place
from suspedu.show.labels import best_place, points_along, spread, text_height, text_width
from suspedu.show.layout import LABEL, Frame, figure_of, folded, is_pinned_with, label_room, margins, text_at
from suspedu.show.palette_png import Coded, packed
from suspedu.show.pane import Pane
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
        self.looks: list = [None] * len(view.items)
        self.texts = [self._text(_text_colour(item, frame.theme)) for item in view.items]
        self.note = self._text(frame.theme.muted)
        self.note.set(text=NOTE, **note_place(frame, text_width(NOTE, LABEL)))
        self.stamps = Stamps(LABEL, frame.scale)
        self.figure.canvas.draw()
        self.still = np.array(self.figure.canvas.buffer_rgba())
        self.panes = [Pane(number, frame, view) for number in range(len(frame.axes))]
        self.coded, self.uncoded, self.spilled, self.blank = Coded(self.still, frame.theme), [], False, True

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
        self._check(view)
        self.blank |= self.note.get_visible() != (pinned is not None)
        self.note.set_visible(pinned is not None)
        pairs = _pairs(view, pinned)
        found = [(pane, pane.unchanged(chosen)) for pane in self.panes if (chosen := pane.chosen(pairs))]
        changed = [(pane, count) for pane, count in found if self.blank or count < len(pane.members)]
        for pane, _ in changed:
            self._renew(pane, pairs)
        spilled = any(pane.spilled(self.texts) for pane in self.panes) or pinned is not None
        if changed and (spilled or self.spilled):  # a text lies on a neighbour, or between the axes
            self.blank, changed = True, found
        self.spilled = spilled
        return self._drawn(changed)

    def _drawn(self, changed) -> np.ndarray:
        """The picture with some panes drawn anew, each given with how many of its items are as they were."""
        canvas = self.figure.canvas
        pixels, still = np.asarray(canvas.buffer_rgba()), self.still
        if self.blank:
            pixels[...] = still
        for pane, unchanged in changed:
            self._draw_pane(pane, pixels, still, unchanged)
        for text in [self.texts[place] for pane, _ in changed for place in pane.members] + [self.note] * self.blank:
            if text.get_visible():
                self.stamps.printed(pixels, text)
        self.uncoded += [(slice(None), slice(None))] if self.blank else [pane.place for pane, _ in changed]
        self.blank = False
        return pixels

    def _draw_pane(self, pane: Pane, pixels, still, unchanged: int) -> None:
        renderer = self.figure.canvas.get_renderer()
        begun = pane.begun(pixels, still, unchanged)
        for count, place in enumerate(pane.members):
            if count == unchanged > begun:
                pane.keep(pixels, count)
            for each in (self.ghosts[place], self.artists[place]):  # a ghost is hidden by no earlier area
                if count >= begun and each.get_visible():
                    each.draw(renderer)

    def _check(self, view: View) -> None:
        if needs(self.frame, view) != self.needs:
            raise ValueError("this view has other items, or longer labels, than the drawing was made for")

    def show(self, view: View, pinned: View | None = None) -> None:
        """Give all moving artists the data of a view; the picture is then drawn anew as a whole."""
        self._check(view)
        self.note.set_visible(pinned is not None)
        for pane in self.panes:
            self._renew(pane, _pairs(view, pinned))
            pane.shown = None
        self.blank = True

    def _renew(self, pane: Pane, pairs) -> None:
        """Give the artists of one pane their present data, and its texts their places."""
        for place, (item, before) in zip(pane.members, pane.chosen(pairs), strict=True):
            artist, ghost = self.artists[place], self.ghosts[place]
            artist.set_visible(can_be_seen(item))
            if artist.get_visible():
                renew(item, artist)
                self._dress(place, item)
            ghost.set_visible(before is not None)
            if before is not None:
                renew(before, ghost)
        pane.shown = pane.chosen(pairs)
        self._place_texts([(pairs[place][0], self.texts[place]) for place in pane.members])

    def _dress(self, place: int, item) -> None:
        """Give an artist the colours and strokes of its item, where a move changed them."""
        look = look_of(item, self.frame.theme)
        if look != self.looks[place]:
            self.looks[place] = look
            self.artists[place].set(**look)
            self.texts[place].set_color(_text_colour(item, self.frame.theme))

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

    def _place_texts(self, entries) -> None:
        """Labels of shapes inside them, of curves in the margin at their ends, all others where there is room."""
        taken, waiting, margin = [], [], []
        for item, text in entries:
            words = _words(item, self.frame)
            text.set(text=words, visible=bool(words))
            if words and isinstance(item, Shape):
                taken.append(_centre(text, self.to_page(item, item.x, item.y)))
            elif words:
                anchor = self._anchor(item)
                at_end = isinstance(item, Curve) and item.margin and anchor[0] > self._nearly_right(item.axes)
                (margin if at_end else waiting).append((item, text, anchor))
        if margin:
            self._fill_margin(self.room(margin[0][0].axes), margin)
        clutter = self._clutter([item for item, _ in entries]) if waiting else None
        for item, text, anchor in waiting:
            self._find_room(text, anchor, self.room(item.axes), taken, clutter)

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

    def _clutter(self, items) -> np.ndarray:
        """Points of all lines and marks of one axes [px]: where texts should not lie."""
        return np.concatenate([points_along(self.to_page(item, item.x, item.y)) for item in items
                               if not isinstance(item, Shape)])  # fmt: skip

    def _find_room(self, text, anchor, room, taken, clutter) -> None:
        words = text.get_text()
        size = text_width(words, LABEL), text_height(words, LABEL)
        corner = best_place(anchor, size, room, taken, clutter)
        taken.append((corner[0], corner[1], corner[0] + size[0], corner[1] + size[1]))
        text.set(x=corner[0], y=corner[1])

    def png(self, view: View, pinned: View | None = None, level: int = 1) -> bytes:
        """The picture as a small palette PNG."""
        fills = tuple(sorted({item.role for item in view.items if isinstance(item, Shape) and item.tint}))
        pixels = self.pixels(view, pinned)
        places, self.uncoded = self.uncoded, []
        return packed(self.coded.entries(pixels, places, fills), self.frame.theme, level, fills)

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


def _pairs(view: View, pinned: View | None) -> list[tuple]:
    """Each item of a view with the pinned one that leaves a ghost under it, or None."""
    before = {item.name: item for item in pinned.items if is_pinned_with(item)} if pinned else {}
    return [(item, before.get(item.name)) for item in view.items]


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
