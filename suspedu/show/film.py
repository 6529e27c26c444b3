"""A film: views one after the other as an animated picture, for a talk or a page without a kernel."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator

import numpy as np
from PIL import Image

from suspedu.show.draw import Drawing, needs
from suspedu.show.layout import Frame
from suspedu.show.theme import LIGHT, Theme
from suspedu.show.view import View
from suspedu.units import InputError, require

RATE = 20  # pictures a second of a film that plays
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
    pictures = list(pictures_of(views, Frame(views[0].axes or tuple(axes), theme, width, height)))
    return bytes_of(pictures, times, kind)


def pictures_of(views, frame: Frame, pinned: View | None = None, kept: dict | None = None) -> Iterator[Image.Image]:
    """One palette picture per view, with the ghosts of a pinned one; a drawing is kept as long as views fit it.

    Parameters: views; frame; pinned; kept, drawings of earlier pictures, by what they were made for.
    """
    kept = {} if kept is None else kept
    for view in views:
        key = frame, needs(frame, view)
        if key not in kept:
            kept.clear()
            kept[key] = Drawing(frame, view)
        yield Image.open(io.BytesIO(kept[key].png(view, pinned)))


def bytes_of(pictures: list[Image.Image], durations, kind: str) -> bytes:
    """Bytes of an animation of pictures, repeating for ever.

    Parameters: pictures; durations, how long each is shown [one, or n; s]; kind, "gif" or "png".
    """
    times = np.broadcast_to(np.maximum(np.rint(np.asarray(durations) * 1e3), 20), len(pictures))
    milliseconds, name = times.astype(int).tolist(), FORMATS[kind]
    file = io.BytesIO()
    pictures[0].save(file, name, save_all=True, append_images=pictures[1:], duration=milliseconds, loop=0,
                     **({"disposal": 1, "optimize": False} if name == "GIF" else {}))  # fmt: skip
    return file.getvalue()
