"""The drawings that live panels keep: a few of each, and no more in all than a kernel should hold."""

from __future__ import annotations

import itertools
import threading
import weakref

from suspedu.show.draw import Drawing, needs
from suspedu.show.layout import Frame
from suspedu.show.view import View

EACH = 4  # of one panel: quick, crisp, still, and the ones of the width before
MEGABYTES = 150.0  # of all panels of a kernel: a lesson's five, quick and crisp, take about so much

_all: weakref.WeakSet[KeptDrawings] = weakref.WeakSet()
_lock, _clock = threading.Lock(), itertools.count()


class KeptDrawings:
    """The drawings of one panel, by what they were made for; the one used longest ago makes room."""

    def __init__(self):
        self._kept: dict[tuple, tuple[int, Drawing]] = {}
        with _lock:
            _all.add(self)

    def __len__(self) -> int:
        return len(self._kept)

    def of(self, frame: Frame, view: View) -> Drawing:
        """The drawing for a frame and what a view needs: the kept one, or a new one."""
        key = frame, needs(frame, view)
        found = self._kept.get(key)
        drawing = found[1] if found else Drawing(frame, view)
        with _lock:
            self._kept[key] = next(_clock), drawing
            _make_room(self, key)
        return drawing


def _make_room(own: KeptDrawings, key: tuple) -> None:
    """Let go of the oldest drawings, of this panel and then of any, but never of the one in use."""
    while len(own._kept) > EACH:
        del own._kept[min(own._kept, key=lambda each: own._kept[each][0])]
    while megabytes() > MEGABYTES:
        others = [(used, panel, each) for panel in list(_all) for each, (used, _) in panel._kept.items()
                  if (panel, each) != (own, key)]  # fmt: skip
        if not others:
            return
        _, panel, each = min(others, key=lambda other: other[0])
        del panel._kept[each]


def megabytes() -> float:
    """What all kept drawings take [MB]: of each pixel the canvas, what stands still, and their palette entries."""
    return sum(10e-6 * frame.width * frame.full_height * frame.scale**2 for panel in list(_all)
               for frame, _ in panel._kept)  # fmt: skip
