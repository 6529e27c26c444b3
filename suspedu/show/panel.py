"""A panel: controls, a picture that follows them, its sentence and key numbers, live in a notebook.

The page (`panel.js`) sends the values of the controls that the hand turned; this side answers with
a picture and texts. One message is on its way at a time, the newest wins.
"""

from __future__ import annotations

import base64
import dataclasses
import re
import threading
import time
from pathlib import Path

import anywidget
import traitlets

from suspedu.files import write_whole
from suspedu.show.against import against_pin, difference
from suspedu.show.draw import Drawing
from suspedu.show.filming import Filming
from suspedu.show.foot import carried, with_foot
from suspedu.show.kept_drawings import KeptDrawings
from suspedu.show.layout import Frame
from suspedu.show.manner import Manner, nearest_stop
from suspedu.show.pane import most_moved
from suspedu.show.pinning import Pinning
from suspedu.show.playing import Playing
from suspedu.show.scripts import script
from suspedu.show.still import still_of
from suspedu.show.theme import LIGHT, THEMES
from suspedu.show.view import View, start_values
from suspedu.units import InputError

HERE = Path(__file__).parent
LEAST_HEIGHT = 200  # px of a picture that still can be read
STILL_WIDTH = 700  # px, of the picture that stays in the notebook's file
MIME = {"png": "image/png", "svg": "image/svg+xml"}


class Panel(Pinning, Filming, Playing, anywidget.AnyWidget):
    """A live panel round a pure function `view(**values) -> View`.

    Parameters: view; controls, a sequence of Control and Choice; axes, a sequence of Axes; title;
    height of each axes' picture [px]; start, values that differ from the controls' own start.
    Raises: InputError for a start value that a control does not allow.
    """

    _esm = script("courier.js", "panel_parts.js", "panel_more.js", "steps_ahead.js", "panel.js")
    _css = HERE / "panel.css"
    title = traitlets.Unicode().tag(sync=True)
    controls = traitlets.List().tag(sync=True)
    themes = traitlets.Dict().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    start = traitlets.Dict().tag(sync=True)
    conditions = traitlets.List().tag(sync=True)  # controls that are no setting: nothing of it changes with them
    home = traitlets.Dict().tag(sync=True)  # where the controls stand that nobody turned
    picture = traitlets.Bytes().tag(sync=True)
    size = traitlets.List().tag(sync=True)
    storeys = traitlets.List().tag(sync=True)  # where those of a picture of several begin and end, from its top [px]
    part = traitlets.Int(0).tag(sync=True)  # which of them the hand moves
    sentence = traitlets.Unicode().tag(sync=True)
    compared = traitlets.Unicode().tag(sync=True)
    numbers = traitlets.List().tag(sync=True)
    problem = traitlets.Unicode().tag(sync=True)
    pinned = traitlets.Bool().tag(sync=True)
    escape = traitlets.Dict().tag(sync=True)  # values that the key Esc brings back
    picked = traitlets.Bool().tag(sync=True)  # whether a click into the picture means something
    movies = traitlets.List().tag(sync=True)  # kinds of film that it offers
    serial = traitlets.Int(0).tag(sync=True)
    work = traitlets.Float(0.0).tag(sync=True)  # what the last answer took of the processor [ms]

    def __init__(self, view, controls, axes, title="", height=340, start=None, manner=None):
        self._view, self._known, self._height = view, tuple(controls), height
        self._screen = {"axes": tuple(axes), "theme": LIGHT, "width": STILL_WIDTH, "scale": 1.0,
                        "height": height}
        self._quick, self._pin, self._drawings, self._lock = False, None, KeptDrawings(), threading.RLock()
        self._manner, self._pinned_at, self._as_given = manner or Manner(), {}, False
        self._films: dict = {}
        self.fault: Exception | None = None  # the last one that a view raised, for its author
        self._start = start_values(controls, start)
        self._now: View = view(**self._start)
        described = [control.described() for control in self._known]
        themes = {name: dataclasses.asdict(theme) for name, theme in THEMES.items()}
        super().__init__(title=title, controls=described, themes=themes, values=self._start, start=self._start,
                         home=self._start, conditions=list(self._manner.shared), picked=bool(self._manner.picks),
                         escape=self._manner.escape, movies=self.movie_kinds())
        self.on_msg(self._heard)

    @traitlets.validate("values")
    def _accepted(self, proposal) -> dict:
        """All values, the ones not given as they are now, with what a move brings along."""
        asked = start_values(self._known, {**self.values, **proposal["value"]})
        if self._as_given or not self.values:
            return asked
        given = {name: asked[name] for name in proposal["value"]}
        found = start_values(self._known, self._manner.brought(self.values, given))
        self.home = self.home | {name: value for name, value in found.items() if asked[name] != value}
        return found

    @traitlets.observe("values")
    def _follow(self, _change=None) -> None:
        self._redraw()

    def _heard(self, _widget, message, _buffers) -> None:
        """A message from the page; whatever it brings, the answer says that it was heard."""
        deeds = {"move": self._moved, "screen": self._seen, "pin": self._pin_or_free, "reset": self._restart,
                 "save": self._send_file, "pick": self._picked, "swap": self._swap,
                 "film": self._film_or_stop, "ahead": self._play_ahead}  # fmt: skip
        with self._lock, self.hold_sync():
            deeds[message["kind"]](message)

    def _moved(self, message) -> None:
        if message["serial"] <= self.serial:
            return  # an older event that came late
        self.serial, self._quick = message["serial"], message["quick"]
        try:
            asked = start_values(self._known, self.values | message["values"])
            if asked == self.values:
                self._redraw()
            self.values = {name: value for name, value in asked.items() if value != self.values[name]}
        except InputError as refusal:  # of a value, or of what a move would bring along
            self.problem = str(refusal)
        self._quick = False

    def _seen(self, message) -> None:
        """The page tells its theme, its pixel ratio, and how wide and high a picture may be."""
        scale, width = min(max(float(message["ratio"]), 1.0), 3.0), min(max(int(message["width"]), 300), 1000)
        least = max(LEAST_HEIGHT, self._manner.least_height)
        height = max(min(int(message.get("height", self._height)), self._height), least)
        self._screen |= {"theme": THEMES[message["theme"]], "scale": scale, "width": width, "height": height}
        self._redraw()

    def _restart(self, _message=None) -> None:
        self._set_all(self._start)
        self.home = self._start

    def _set_all(self, values) -> None:
        """All values as they are given, whatever a move of one would bring along."""
        self._as_given = True
        try:
            self.values = values
        finally:
            self._as_given = False
        self._redraw()

    def _picked(self, message) -> None:
        """A click into the picture, x and y as shares of it from the upper left."""
        place = self._drawing(self._frame(self._now)).place_at(float(message["x"]), float(message["y"]))
        if place and place[0] in self._manner.picks:
            name, x = self._manner.picks[place[0]](place[1], self.values)
            control = next(each for each in self._known if each.name == name)
            self.values = {name: nearest_stop(control, x)}

    def _send_file(self, message) -> None:
        kind = message["format"]
        name = re.sub(r"[^a-z0-9]+", "-", self.title.lower()).strip("-") or "panel"
        self.send({"kind": "file", "name": f"{name}.{kind}", "type": MIME[kind]}, [self.file(kind)])

    def reset(self) -> None:
        """Back to the values of the start; a pin stays."""
        self._restart()

    def move(self, **values) -> Panel:
        """Set some controls by name, in the units that they show; returns the panel."""
        self.values = values
        return self

    def file(self, kind: str = "png") -> bytes:
        """The present picture as the bytes of a 'png' or 'svg' file, twice as sharp as on the page."""
        if kind not in MIME:
            raise InputError(f"picture format is {kind!r}; allowed: {', '.join(MIME)}")
        with self._lock:
            frame, lines = with_foot(self._frame(self._now, quick=True), carried(self))
            frame = dataclasses.replace(frame, scale=2.0)
            return self._drawing(frame).saved(kind, self._now, self._pin, self.title, lines)

    def save(self, path) -> Path:
        """Write the present picture to a .png or .svg file."""
        path = Path(path)
        return write_whole(path, self.file(path.suffix.lstrip(".").lower()))

    def _frame(self, view, quick=False) -> Frame:
        screen = self._screen | {"axes": view.axes or self._screen["axes"]} | ({"scale": 1.0} if quick else {})
        return Frame(**screen)

    def _drawing(self, frame, view=None) -> Drawing:
        """The drawing kept for this frame and what a view needs, or a new one in the place of the oldest."""
        return self._drawings.of(frame, view or self._now)

    def _redraw(self) -> None:
        """Work out the view and show it; on a fault keep the last good picture and say why."""
        with self._lock, self.hold_sync():
            last, began = self._now, time.process_time()
            try:
                self._now = self._viewed()
                frame = self._frame(self._now, self._quick)
                picture = self._drawing(frame).png(self._now, self._pin)
            except Exception as fault:  # anything: it would vanish in the widget's callback
                self.fault, self._now = fault, last
                self.problem = str(fault) if isinstance(fault, InputError) else _unforeseen(fault)
                return
            self.work = 1e3 * (time.process_time() - began)
            self._point_at(most_moved(self._now, last, frame.axes), frame)
            self.problem, self.picture, self.size = "", picture, [frame.width, frame.full_height]
            for name, told in self._told(self._now, self._pin).items():
                setattr(self, name, told)

    def _point_at(self, axes: int | None, frame: Frame) -> None:
        """Tell the page the storeys of the picture, and which of them a move changed most."""
        self.storeys = frame.edges()
        if axes is not None and axes < len(frame.axes):
            self.part = axes

    def _told(self, view: View, pin: View | None) -> dict:
        """Sentence and key numbers of a view, compared with a pinned one."""
        before = dict(pin.numbers) if pin else {}
        numbers = [[label, value, *([before[label], difference(value, before[label])] if label in before else [])]
                   for label, value in view.numbers]  # fmt: skip
        compared = against_pin(view, pin) if pin and not self._manner.against else ""
        return {"sentence": view.sentence, "compared": compared, "numbers": numbers}

    @property
    def text(self) -> str:
        """Sentence and key numbers as plain text: what a reader without the picture gets, and what nbval compares."""
        return "\n".join([f"{self.sentence} {self.compared}".strip(), *(": ".join(row[:2]) for row in self.numbers)])

    def still(self) -> bytes:
        """A small PNG of the present picture for the notebook's file, always in the light theme."""
        with self._lock:
            frame = Frame(self._now.axes or self._screen["axes"], LIGHT, STILL_WIDTH, self._height)
            return self._drawing(frame).png(self._now, self._pin, level=9)

    def _repr_mimebundle_(self, **options):
        data, metadata = super()._repr_mimebundle_(**options)
        picture = self.still()
        page = still_of(self.get_state() | {"size": [STILL_WIDTH]}, picture)
        png = base64.b64encode(picture).decode("ascii")
        return data | {"text/plain": self.text, "image/png": png, "text/html": page}, metadata


def _unforeseen(fault: Exception) -> str:
    return f"These values could not be worked out ({type(fault).__name__}); move a control, or press Reset, to go on."
