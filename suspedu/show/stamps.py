"""Texts as stamps: set once, then printed wherever they are needed.

Setting a short text takes matplotlib about as long as drawing five curves, and
most labels of a panel stay the same while a control moves.
"""

from __future__ import annotations

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.colors import to_rgb

from suspedu.show.labels import text_height, text_width

KEPT = 400  # stamps of one drawing
RIM = 3  # px round a text for strokes that reach out of its box


class Stamps:
    """The texts of one drawing; `size` [page px] and `scale` are those of all its labels."""

    def __init__(self, size: float, scale: float):
        self.size, self.scale, self._masks = size, scale, {}

    def printed(self, pixels: np.ndarray, text) -> None:
        """Print a text (aligned left and bottom) into an RGBA picture at the place where the artist would draw it."""
        words = text.get_text()
        if words not in self._masks:
            if len(self._masks) >= KEPT:
                self._masks.clear()
            self._masks[words] = self._mask(text)
        left, bottom = (round(float(value) * self.scale) - RIM for value in text.get_position())
        _blend(pixels, self._masks[words], left, pixels.shape[0] - bottom, 255 * np.array(to_rgb(text.get_color())))

    def _mask(self, text) -> np.ndarray:
        """How much of the text covers each pixel, 0..1, with the rim on all sides."""
        words, place = text.get_text(), text.get_position()
        width = int(np.ceil(text_width(words, self.size) * self.scale * 1.04)) + 2 * RIM  # hinting differs with scale
        height = int(np.ceil(text_height(words, self.size) * self.scale)) + 2 * RIM
        renderer = RendererAgg(width, height, 100 * self.scale)
        text.set_position((RIM / self.scale, RIM / self.scale))
        text.draw(renderer)
        text.set_position(place)
        return np.asarray(renderer.buffer_rgba())[..., 3] / 255.0


def _blend(pixels, mask, left: int, lower: int, colour) -> None:
    """Lay a colour over a part of the picture, as thick as the mask says; what lies outside is cut off."""
    upper, right = lower - mask.shape[0], left + mask.shape[1]
    rows, columns = slice(max(upper, 0), max(lower, 0)), slice(max(left, 0), max(right, 0))
    part = pixels[rows, columns, :3]
    cover = mask[rows.start - upper :, columns.start - left :][: part.shape[0], : part.shape[1], None]
    part[...] = np.rint(part + cover * (colour - part))
