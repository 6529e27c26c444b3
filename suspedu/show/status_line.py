"""A line that is read aloud when it changes, for a box of ipywidgets; it keeps the box's keys from the notebook.

ipywidgets' own controls let a key through: with a button focused, `d d` would delete the cell.
"""

from __future__ import annotations

from pathlib import Path

import anywidget
import traitlets

from suspedu.show.scripts import script

HERE = Path(__file__).parent


class StatusLine(anywidget.AnyWidget):
    """A child of a VBox: shows `value`, and gives the box its accessible `name`, its look and quiet keys."""

    _esm = script("status_line.js")
    _css = HERE / "status_line.css"
    name = traitlets.Unicode().tag(sync=True)
    value = traitlets.Unicode().tag(sync=True)
