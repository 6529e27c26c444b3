"""Colours and dashes of the pictures, for light and dark pages.

The four roles keep apart for readers who see red, green or blue weakly
(a test simulates it), and differ in dashes too, so that a grey print works.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

DASHES = {"second": (6, 2.2), "third": (1.6, 1.6), "fourth": (7, 2, 1.6, 2), "limit": (3, 3)}
WIDTHS = {"main": 2.6, "second": 2.3, "third": 2.6, "fourth": 2.3, "ghost": 1.8, "limit": 1.2, "ink": 1.4}


@dataclass(frozen=True)
class Theme:
    """Colours of one page theme, as '#rrggbb'."""

    name: str
    paper: str
    ink: str
    muted: str
    grid: str
    main: str
    second: str
    third: str
    fourth: str
    ghost: str
    limit: str

    def mixed(self, role: str, tint: float) -> str:
        """The colour of a role, thinned with paper: 0 is paper, 1 the full colour."""
        colour, paper = rgb(getattr(self, role)), rgb(self.paper)
        return "#{:02x}{:02x}{:02x}".format(*np.rint(paper + min(max(tint, 0.0), 1.0) * (colour - paper)).astype(int))


LIGHT = Theme("light", paper="#fcfbf8", ink="#23272e", muted="#5d636c", grid="#e6e4de", main="#1c5fc4",
              second="#c2431b", third="#1c5344", fourth="#94207e", ghost="#8e8f8d", limit="#5d636c")  # fmt: skip
DARK = Theme("dark", paper="#1b1e22", ink="#eceae4", muted="#a9adb3", grid="#33373d", main="#a4c6f0",
             second="#ea8035", third="#3ed296", fourth="#cd6fe2", ghost="#75797f", limit="#a9adb3")  # fmt: skip
THEMES = {"light": LIGHT, "dark": DARK}


def rgb(colour: str) -> np.ndarray:
    """Red, green and blue of '#rrggbb', each 0..255."""
    return np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], dtype=float)
