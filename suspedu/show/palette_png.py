"""A picture as a small PNG with about fifty colours, made quickly.

The colours of a drawing are known beforehand: the theme's, and their blends
with the paper that smooth edges need. A table from coarse colours to that
palette replaces any search for the best palette at each picture.
"""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from suspedu.numerics import remembered
from suspedu.show.theme import Theme, rgb

BLENDS = (0.15, 0.3, 0.5, 0.72, 1.0)
ROLES = ("ink", "muted", "main", "second", "third", "fourth", "ghost")
TINTS = 20  # steps from paper to the full colour of a filled area
DEPTH = 5  # bits kept of each channel when a colour is looked up


def png(pixels: np.ndarray, theme: Theme, level: int = 1, fills: tuple[str, ...] = ()) -> bytes:
    """PNG bytes of an RGBA picture [height, width, 4] in the theme's palette; `level` 1 is quick, 9 small.

    `fills`: roles whose areas are filled, in tints of 1/20.
    """
    return packed(coded(whole(pixels), theme, fills), theme, level, fills)


def whole(pixels: np.ndarray) -> np.ndarray:
    """An RGBA picture [height, width, 4] as one number per pixel [height, width], the same memory."""
    return pixels.view("<u4")[..., 0]  # red, green, blue from the lowest byte upwards


def coded(numbers: np.ndarray, theme: Theme, fills: tuple[str, ...]) -> np.ndarray:
    """The palette entries of pixels, given as whole numbers [any shape]."""
    coarse = ((numbers & 0xF8) << 7) | ((numbers & 0xF800) >> 6) | ((numbers & 0xF80000) >> 19)
    return _table(theme, fills)[0].take(coarse)


def packed(entries: np.ndarray, theme: Theme, level: int, fills: tuple[str, ...]) -> bytes:
    """PNG bytes of a picture of palette entries [height, width]."""
    image = Image.fromarray(entries)
    image.putpalette(_table(theme, fills)[1])
    file = io.BytesIO()
    image.save(file, "PNG", compress_level=level)
    return file.getvalue()


class Coded:
    """The palette entries of a picture that mostly stays as it was: only pixels that differ are looked up."""

    def __init__(self, still: np.ndarray, theme: Theme):
        self.still, self.theme = whole(still), theme
        self.fills: tuple[str, ...] | None = None

    def entries(self, pixels: np.ndarray, places, fills: tuple[str, ...]) -> np.ndarray:
        """The entries of a picture that was drawn anew in some places (pairs of slices) since it was last asked for."""
        if fills != self.fills:
            self.fills, self.bare = fills, coded(self.still, self.theme, fills)
            self.now, places = self.bare.copy(), [(slice(None), slice(None))]
        for place in places:
            now, there = self.bare[place].copy(), whole(pixels)[place]
            differs = np.flatnonzero(there != self.still[place])
            now.ravel()[differs] = coded(there.ravel()[differs], self.theme, fills)
            self.now[place] = now
        return self.now


@remembered
def colours(theme: Theme, fills: tuple[str, ...] = ()) -> np.ndarray:
    """The palette [n, 3]: paper, grid, blends of each role's colour with the paper, and tints of the filled ones."""
    lines = [(role, tint) for role in ROLES for tint in BLENDS]
    areas = [(role, step / TINTS) for role in fills for step in range(1, TINTS)]
    blends = [rgb(theme.mixed(role, tint)) for role, tint in (*lines, *areas, ("grid", 0.5), ("grid", 1.0))]
    return np.unique(np.rint(np.array([rgb(theme.paper), *blends])), axis=0)


@remembered
def _table(theme: Theme, fills: tuple[str, ...]) -> tuple[np.ndarray, bytes]:
    """The nearest palette entry of each coarse colour, and the palette as bytes."""
    palette = colours(theme, fills).astype(np.float32)
    side = (np.arange(2**DEPTH, dtype=np.float32) + 0.5) * 2 ** (8 - DEPTH) - 0.5
    cells = np.stack(np.meshgrid(side, side, side, indexing="ij"), -1).reshape(-1, 3)
    distance = (palette**2).sum(1) - 2 * cells @ palette.T
    table = distance.argmin(1).astype(np.uint8)
    entries = [*range(len(palette)), int(np.flatnonzero((palette == rgb(theme.paper)).all(1))[0])]
    for entry in entries:  # a palette colour itself is not moved, least of all the paper
        red, green, blue = palette[entry].astype(int) >> (8 - DEPTH)
        table[(red << (2 * DEPTH)) | (green << DEPTH) | blue] = entry
    return table, palette.astype(np.uint8).tobytes()
