"""A film: views one after the other as an animated picture, for a talk or a page without a kernel."""

from __future__ import annotations

import io
from collections.abc import Iterable

import numpy as np
from PIL import Image

from suspedu.show.draw import Drawing, needs
from suspedu.show.layout import Frame
from suspedu.show.palette_png import png
from suspedu.show.theme import LIGHT, Theme
from suspedu.show.view import View
from suspedu.units import InputError, require

FORMATS = {"gif": "GIF", "png": "PNG"}  # an animated PNG is a .png; old viewers show its first picture


def film(views: Iterable[View], axes, *, durations=0.05, kind: str = "gif", height: int = 340, width: int = 700,
         theme: Theme = LIGHT) -> bytes:
    """Bytes of an animation of views that hold the same items.

    Parameters: views; axes, as of their panel; durations, how long each is shown [one, or n; s]; kind, "gif" or "png"
    (animated PNG); height, width of the picture [px]; theme.
    Returns: the file, repeating for ever.
    Raises: InputError for no views, an unknown kind, or a duration that a viewer cannot show.

    >>> from suspedu.show.view import Axes, Mark, View
    >>> steps = [View((Mark("m", x, 0.5),), (), "") for x in (0.2, 0.8)]
    >>> film(steps, (Axes("x", "y", (0, 1), (0, 1)),))[:6]
    b'GIF89a'
    """
    views = list(views)
    if kind not in FORMATS:
        raise InputError(f"kind of film is {kind!r}; allowed: {', '.join(FORMATS)}")
    if not views:
        raise InputError("a film needs at least one view")
    times = np.broadcast_to(require("duration of a picture", durations, 0.02, 60.0, "s"), len(views))
    pictures = pictures_of(views, Frame(views[0].axes or tuple(axes), theme, width, height))
    return _written(pictures, np.maximum(np.rint(times * 1e3), 20).astype(int).tolist(), FORMATS[kind])


def pictures_of(views, frame: Frame) -> list[Image.Image]:
    """One palette picture per view; the drawing is kept as long as its items stay and its labels fit."""
    drawing, pictures = None, []
    for view in views:
        if drawing is None or drawing.needs != needs(frame, view):
            drawing = Drawing(frame, view)
        pictures.append(Image.open(io.BytesIO(png(drawing.pixels(view), frame.theme))))
    return pictures


def _written(pictures, milliseconds, name) -> bytes:
    file = io.BytesIO()
    pictures[0].save(file, name, save_all=True, append_images=pictures[1:], duration=milliseconds, loop=0,
                     **({"disposal": 1, "optimize": False} if name == "GIF" else {}))  # fmt: skip
    return file.getvalue()
