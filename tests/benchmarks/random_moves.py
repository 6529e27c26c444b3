"""A long hour in one kernel: random moves over all panels and forms, as a page makes them. What grows, what goes wrong?

    python tests/benchmarks/random_moves.py [--moves 360] [--minutes 60] [--seed 1] [--trace]

Prints the resident memory as it goes, as it is and after what is free was given back, and what lives: figures,
drawings, answers of remembered laws. Growth counts from the end of the warm-up: a third of the moves or of the minutes,
whichever comes first. Asked: at most 50 MB, and no fault of a view. `--trace` names the lines whose memory grew most;
it takes three times as long.
"""

from __future__ import annotations

import argparse
import contextlib
import ctypes
import gc
import os
import random
import tempfile
import time
import tracemalloc
from collections import Counter
from pathlib import Path

from matplotlib.figure import Figure

from suspedu.show import panels
from suspedu.show.declared import Declared
from suspedu.show.draw import Drawing
from suspedu.show.forms import notes_form, own_machine_form, which_adjuster_form

WARM = 1 / 3  # of the moves or of the minutes
PAGES = [{"theme": theme, "ratio": ratio, "width": width, "height": 470}
         for theme in ("light", "dark") for ratio in (1, 2) for width in (420, 820, 1000)]  # fmt: skip
TYPED = ("", "4", "12", "0.9", "many", "100")


def resident() -> float:
    """Memory of this process that is in use [MB]."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def given_back() -> float:
    """The same after unused memory went back to the system [MB]."""
    gc.collect()
    with contextlib.suppress(OSError, AttributeError):  # another C library
        ctypes.CDLL("libc.so.6").malloc_trim(0)
    return resident()


def alive() -> str:
    """What there is of the things that a leak would be made of."""
    kinds = Counter(type(each).__name__ for each in gc.get_objects() if isinstance(each, Figure | Drawing))
    laws = [each for each in gc.get_objects() if type(each).__name__ == "_lru_cache_wrapper"]
    return f"{dict(kinds)}, {sum(law.cache_info().currsize for law in laws)} answers kept"


class Hand:
    """Random moves of live panels; every one is answered."""

    def __init__(self, seed: int):
        self.draw, self.serial = random.Random(seed), 0
        self.names = [name for name in dir(panels) if isinstance(getattr(panels, name), Declared)]
        self.live = {name: getattr(panels, name)() for name in self.names}
        self.forms = [own_machine_form(), which_adjuster_form(), notes_form()]
        self.faults: Counter = Counter()
        for shown in self.live.values():
            shown.send = lambda content, buffers=None: None  # no page listens

    def move(self) -> None:
        """One deed of a reader: mostly a slider, now and then a button, a form, another width or theme."""
        name = self.draw.choice(self.names)
        deed = self.draw.choices(("slide", "button", "screen", "ahead", "save", "form"), (88, 5, 3, 2, 1, 1))[0]
        getattr(self, deed)(name, self.live[name])
        self.told(name, self.live[name])

    def told(self, name: str, shown) -> None:
        if shown.fault is not None:
            self.faults[f"{name}: {shown.fault!r}"] += 1
            shown.fault = None

    def hear(self, shown, **message) -> None:
        shown._heard(shown, message, [])

    def slide(self, _name: str, shown) -> None:
        """A slider moved to a place of its raster, or an option chosen; then the hand rests."""
        control = self.draw.choice(shown._known)
        if hasattr(control, "options"):
            value = self.draw.choice(list(control.options))
        else:
            steps = int((control.high - control.low) / control.step)
            value = round(control.low + control.step * self.draw.randint(0, steps), 9)
        for quick in (True, False):
            self.serial += 1
            self.hear(shown, kind="move", serial=self.serial, quick=quick, values={control.name: value})

    def button(self, _name: str, shown) -> None:
        kind = self.draw.choice(("pin", "reset", "swap") if shown.pinned else ("pin", "reset"))
        self.hear(shown, kind=kind)

    def screen(self, _name: str, shown) -> None:
        self.hear(shown, kind="screen", **self.draw.choice(PAGES))

    def ahead(self, _name: str, shown) -> None:
        for control in shown._known:
            if getattr(control, "lasts", 0.0):
                self.hear(shown, kind="ahead", control=control.name, ticket=1, values=dict(shown.values),
                          first=control.low, step=control.step, count=5)  # fmt: skip

    def save(self, _name: str, shown) -> None:
        shown.file(self.draw.choice(("png", "svg")))
        shown._repr_mimebundle_()

    def form(self, _name: str, _shown) -> None:
        """Something typed into a field of a form; it is followed as from the page."""
        form = self.draw.choice(self.forms)
        form.fill(**{self.draw.choice(list(form.values)): self.draw.choice(TYPED)})
        if form.fault is not None:
            self.faults[f"{type(form).__name__}: {form.fault!r}"] += 1
            form.fault = None


def told_growth(before, after) -> None:
    for line in after.compare_to(before, "lineno")[:12]:
        print(f"  {line.size_diff / 1e6:+7.2f} MB  {line.traceback}")


def run(moves: int, minutes: float, seed: int, trace: bool) -> None:
    """Move, and print every twelfth part of the way."""
    hand, begun, warm, before, told = Hand(seed), time.monotonic(), None, None, 0
    for count in range(1, moves + 1):
        hand.move()
        part = max(count / moves, (time.monotonic() - begun) / (60 * minutes))
        if int(12 * part) > told or part >= 1:
            told = int(12 * part)
            print(f"{count:6d} moves, {(time.monotonic() - begun) / 60:5.1f} min: {resident():7.1f} MB, given back "
                  f"{given_back():7.1f} MB; {alive()}", flush=True)  # fmt: skip
        if warm is None and part >= WARM:
            warm, before = given_back(), tracemalloc.take_snapshot() if trace else None
        if part >= 1:
            break
    print(f"growth after the warm-up: {given_back() - warm:.1f} MB (asked: at most 50);"
          f" faults: {dict(hand.faults) or 'none'}")  # fmt: skip
    if trace and before:
        told_growth(before, tracemalloc.take_snapshot())


def main() -> None:
    """Run it in a folder of its own."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--moves", type=int, default=360)
    parser.add_argument("--minutes", type=float, default=60.0, help="stop after so long, however many were made")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--trace", action="store_true")
    args = parser.parse_args()
    if args.trace:
        tracemalloc.start()
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        run(args.moves, args.minutes, args.seed, args.trace)


if __name__ == "__main__":
    main()
