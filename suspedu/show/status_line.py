"""A line that is read aloud when it changes, for a box of ipywidgets; it keeps the box's keys from the notebook.

ipywidgets' own controls let a key through: with a button focused, `d d` would delete the cell.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import anywidget
import traitlets

from suspedu.show.scripts import script

HERE = Path(__file__).parent
PATIENCE = 10.0  # s for a page to save its notebook; one that cannot do so says so at once


class StatusLine(anywidget.AnyWidget):
    """A child of a VBox: shows `value`, and gives the box its accessible `name`, its look and quiet keys."""

    _esm = script("status_line.js")
    _css = HERE / "status_line.css"
    name = traitlets.Unicode().tag(sync=True)
    value = traitlets.Unicode().tag(sync=True)

    def __init__(self, **traits):
        self._waiting, self._patience = None, None
        super().__init__(**traits)
        self.on_msg(self._heard)

    def save_notebook(self, then: Callable[[str, str], None]) -> None:
        """Have the page save its notebook; `then` gets its path ("" where that is not known) and what went wrong."""
        self._waiting = then
        self._patience = threading.Timer(PATIENCE, self._answer, ("", ""))
        self._patience.daemon = True
        self._patience.start()
        self.send({"kind": "save"})

    def _heard(self, _widget, message, _buffers) -> None:
        if message.get("kind") == "saved":
            self._answer(str(message.get("path", "")), str(message.get("fault", "")))

    def _answer(self, path: str, fault: str) -> None:
        then, self._waiting = self._waiting, None
        if then is not None:
            self._patience.cancel()
            then(path, fault)
