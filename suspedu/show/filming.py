"""A panel's film: one of its controls run through its range, kept as a GIF, an animated PNG, or an MP4."""

from __future__ import annotations

import asyncio
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import numpy as np
from PIL import Image

from suspedu.files import write_whole
from suspedu.show.film import RATE, bytes_of, pictures_of
from suspedu.show.layout import Frame
from suspedu.show.theme import LIGHT
from suspedu.show.view import Control, View
from suspedu.units import InputError, require

MOVIES = {"gif": "image/gif", "png": "image/png", "mp4": "video/mp4"}
WIDTH = 860  # px of a film, even as MP4 wants it


class Filming:
    """The part of a panel that makes films of it; `Panel` has the rest."""

    _task: asyncio.Task | None = None

    def movie_kinds(self) -> list[str]:
        """Kinds of film that the page offers: none for a panel without one, "mp4" where ffmpeg is."""
        if not any(getattr(control, "lasts", 0.0) for control in self._known):
            return []
        return ["gif", "mp4"] if shutil.which("ffmpeg") else ["gif"]

    @property
    def filmed_control(self) -> Control:
        """The control that a film runs through: the first that lasts.

        Raises: InputError for a panel without one.
        """
        found = [control for control in self._known if getattr(control, "lasts", 0.0)]
        if not found:
            raise InputError(f"'{self.title}' has nothing that a film could run through")
        return found[0]

    def frames(self, seconds: float | None = None) -> Iterator[Image.Image]:
        """The pictures of a film at its rate, each when it is asked for; what is pinned stays in them."""
        control = self.filmed_control
        length = control.lasts if seconds is None else seconds
        count = round(require("length of the film", length, 0.1, 120.0, "s") * RATE)
        implied, values = self._manner.implied.get(control.name, _nothing), dict(self.values)
        for place in np.linspace(control.low, control.high, count):
            given = values | {control.name: float(place)}
            view, pin = self._beside_the_pin(given | implied(given))
            frame = Frame(view.axes or self._screen["axes"], LIGHT, WIDTH, self._height)
            yield from pictures_of([view], frame, pin, self._films)

    def _beside_the_pin(self, values: dict) -> tuple[View, View | None]:
        """The view of some values, compared with the pinned setting under the same conditions; and that one's view."""
        view, manner = self._view(**values), self._manner
        if not self.pinned:
            return view, None
        pin = self._view(**manner.pinned_under(self._pinned_at, values)) if manner.shared else self._pin
        return (manner.against(view, pin) if manner.against else view), pin

    def film(self, path, seconds: float | None = None) -> Path:
        """Write a film of the panel to a .gif, .png (animated) or, where ffmpeg is, .mp4 file.

        Parameters: path; seconds that it lasts, the control's own if None.
        Raises: InputError for another kind of file, a panel without a film, or a missing ffmpeg.
        """
        path = Path(path)
        kind = path.suffix.lstrip(".").lower()
        check_movie(kind)
        return write_whole(path, movie(list(self.frames(seconds)), kind))

    def _film_or_stop(self, message) -> None:
        """The page asks for a film, or for an end of the one in the making."""
        if self._task and not self._task.done():
            self._task.cancel()
            return
        making = self._filmed(message["format"])
        try:
            self._task = asyncio.get_running_loop().create_task(making)
        except RuntimeError:  # no loop runs: nobody could stop it either
            asyncio.run(making)

    async def _filmed(self, kind: str) -> None:
        """Make a film a picture at a time, so that the hand and a cancel are heard between two; then send it."""
        try:
            check_movie(kind)
            count, pictures = round(self.filmed_control.lasts * RATE), []
            for picture in self.frames():
                pictures.append(picture)
                if len(pictures) % 5 == 0:
                    self.send({"kind": "film", "done": len(pictures) / count})
                await asyncio.sleep(0)
            name = re.sub(r"[^a-z0-9]+", "-", self.title.lower()).strip("-") or "panel"
            self.send({"kind": "file", "name": f"{name}.{kind}", "type": MOVIES[kind]}, [movie(pictures, kind)])
            self.send({"kind": "film", "done": None})
        except asyncio.CancelledError:
            self.send({"kind": "film", "done": None})
        except Exception as fault:  # it would vanish in the task
            self.fault, self.problem = fault, str(fault)
            self.send({"kind": "film", "done": None})


def _nothing(_values) -> dict:
    return {}


def check_movie(kind: str) -> None:
    """Refuse a kind of film that cannot be made here.

    Raises: InputError for an unknown kind, or for "mp4" where there is no ffmpeg.
    """
    if kind not in MOVIES:
        raise InputError(f"kind of film is {kind!r}; allowed: {', '.join(MOVIES)}")
    if kind == "mp4" and shutil.which("ffmpeg") is None:
        raise InputError("an MP4 is made by ffmpeg, which is not on this computer: install it, or keep a GIF")


def movie(pictures: list[Image.Image], kind: str) -> bytes:
    """Bytes of a film of pictures at its rate.

    Raises: InputError where ffmpeg refuses.
    """
    return mp4_of(pictures) if kind == "mp4" else bytes_of(pictures, 1.0 / RATE, kind)


def mp4_of(pictures: list[Image.Image]) -> bytes:
    """Bytes of an MP4 that every browser plays, made by ffmpeg from raw pictures.

    Raises: InputError where ffmpeg refuses.
    """
    width, height = (2 * (side // 2) for side in pictures[0].size)  # its colours come in blocks of two by two
    with tempfile.TemporaryDirectory() as folder, suppress(FileNotFoundError):
        file = Path(folder) / "film.mp4"
        given = ["-f", "rawvideo", "-pix_fmt", "rgb24", "-s", f"{width}x{height}", "-r", str(RATE), "-i", "-"]
        asked = ["-an", "-c:v", "libx264", "-pix_fmt", "yuv420p", str(file)]
        command = ["ffmpeg", "-loglevel", "error", "-y", *given, *asked]
        raw = b"".join(picture.convert("RGB").crop((0, 0, width, height)).tobytes() for picture in pictures)
        done = subprocess.run(command, input=raw, capture_output=True, check=False)
        if done.returncode == 0:
            return file.read_bytes()
        raise InputError(f"ffmpeg refused: {done.stderr.decode(errors='replace').strip()[:200]}")
    raise InputError("ffmpeg left no film")
