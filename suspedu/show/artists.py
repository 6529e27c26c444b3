"""The matplotlib artists of a view's items, and how they are given the present data."""

from __future__ import annotations

from functools import singledispatch

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from suspedu.show.labels import POINTS_PER_PIXEL
from suspedu.show.palette_png import TINTS
from suspedu.show.theme import DASHES, WIDTHS
from suspedu.show.view import Curve, Mark, Shape


@singledispatch
def artist_of(item, theme):
    """The matplotlib artist of an item, still without data."""
    raise TypeError(f"a view holds curves, shapes and marks, not {type(item).__name__}")


@artist_of.register
def _(item: Curve | Mark, theme):
    return Line2D([], [], solid_capstyle="round", dash_capstyle="butt", solid_joinstyle="round", **look_of(item, theme))


@artist_of.register
def _(item: Shape, theme):
    return Polygon(np.zeros((1, 2)), joinstyle="round", **look_of(item, theme))


@singledispatch
def look_of(item, theme) -> dict:
    """What of an artist follows from the item's role and style; a move may change it."""
    raise TypeError(f"nothing is known of the look of {type(item).__name__}")


@look_of.register
def _(item: Curve, theme):
    dashes = (0, DASHES[item.role]) if item.role in DASHES else "-"
    return {"color": getattr(theme, item.role), "linestyle": dashes,
            "linewidth": WIDTHS[item.role] * item.width * POINTS_PER_PIXEL}


@look_of.register
def _(item: Shape, theme):
    edge = getattr(theme, item.role) if item.edge else "none"
    return {"facecolor": fill_of(item, theme), "edgecolor": edge, "linewidth": item.edge, "hatch": item.hatch or None}


@look_of.register
def _(item: Mark, theme):
    return {"linestyle": "none", "marker": "o", "markersize": 8 * POINTS_PER_PIXEL,
            "color": getattr(theme, item.role), "markeredgecolor": theme.paper, "markeredgewidth": 1.0}


def fill_of(item: Shape, theme) -> str:
    """The colour of an area, in the tints that the palette of pictures holds; none for an outline alone."""
    return "none" if item.tint is None else theme.mixed(item.role, round(item.tint * TINTS) / TINTS)


def can_be_seen(item) -> bool:
    """Whether an item leaves anything on the picture: an outline without width, or without edge and fill, does not."""
    if not isinstance(item, Shape):
        return True
    return bool(np.ptp(item.x) > 0.0) and (item.tint is not None or item.edge > 0.0)


def ghost_of(item, theme):
    """The grey artist that shows an item as it was when pinned."""
    if isinstance(item, Shape):
        return Polygon(np.zeros((1, 2)), facecolor="none", edgecolor=theme.ghost, linewidth=1.3, linestyle=(0, (4, 2)))
    return Line2D([], [], color=theme.ghost, linewidth=WIDTHS["ghost"] * POINTS_PER_PIXEL, linestyle="-")


@singledispatch
def renew(item, artist) -> None:
    """Give an artist the present data of its item."""
    artist.set_data(np.atleast_1d(item.x), np.atleast_1d(item.y))


@renew.register
def _(item: Shape, artist) -> None:
    artist.set_xy(np.column_stack([item.x, item.y]))
