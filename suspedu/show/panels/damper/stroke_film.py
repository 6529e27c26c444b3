"""Panel: one push and its way back, instant by instant, through the cut-open cartridge; and the same as a film."""

from __future__ import annotations

import numpy as np

from suspedu.school.legs import set_damper
from suspedu.school.strokes import POINTS, instant_of, push_and_back
from suspedu.show.declared import Declared
from suspedu.show.panels.damper.cutaway import MAY_BE_EMPTY, PICTURE, force_row, margin_row, opened, said, stop_row
from suspedu.show.panels.setting import CARTRIDGE
from suspedu.show.panels.words import number
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import from_si, to_si


def view_stroke_film(time, cartridge, depth, push, back) -> View:
    """One instant, at a share of the time [%], of a push by a depth [mm] and back with peak velocities [m/s]."""
    done = push_and_back(cartridge, to_si(depth, "mm"), push, back)
    at = round(time / 100.0 * (len(done.time) - 1))
    now, mm, force = instant_of(done.explanation, at), from_si(done.stroke, "mm"), done.explanation.leg.force
    clock = f"{number(done.time[at], 'ms')} ms"
    items = (
        *opened(now, set_damper(cartridge)),
        Curve("way", mm, force, 1, "limit", margin=False),
        Curve("gone", np.where(np.arange(len(mm)) <= at, mm, np.nan), force, 1, "main", margin=False),
        Mark("here", mm[at], force[at], clock, 1, "second"),
    )
    numbers = (("Time", clock), ("Velocity", f"{now.velocity + 0.0:.2f} m/s"), force_row(now.leg), stop_row(now.leg),
               margin_row(now.leg), ("Taken out of the motion so far", f"{done.energy[at]:.1f} J"))  # fmt: skip
    return View(items, numbers, said(now))


STROKE_FILM = Declared(
    id="stroke-film", title="One push, and back", height=460, view=view_stroke_film, gaps=(*MAY_BE_EMPTY, "gone"),
    inside=("way",),
    controls=(Control("time", "Through the push and back", "%", 0, 100, 1, 25, "arrow keys: step by step", lasts=5.0),
              CARTRIDGE,
              Control("depth", "The push goes in by", "mm", 40, 240, 10, 220),
              Control("push", "Fastest on the way in", "m/s", 0.2, 4, 0.2, 3),
              Control("back", "Fastest on the way out", "m/s", 0.2, 3, 0.1, 1.2)),
    axes=(PICTURE, Axes("stroke [mm]", "force of one leg [N]", (50, 310), (-2000, 3000),
                        "Force along the way")))  # fmt: skip


def filmed(cartridge: str = "closed cartridge", depth: float = 220, push: float = 3.0, back: float = 1.2, *,
           pictures: int = 61, slower: float = 10.0, kind: str = "gif") -> bytes:
    """The same as a film to keep.

    Parameters: cartridge; depth [mm]; push, back, peak velocities [m/s]; pictures; slower, times slower than life;
    kind, "gif" or "png".
    Returns: bytes of the file.
    """
    from suspedu.show.film import film

    places = np.linspace(0, POINTS - 1, pictures).round().astype(int)
    views = [view_stroke_film(100.0 * at / (POINTS - 1), cartridge, depth, push, back) for at in places]
    times = push_and_back(cartridge, to_si(depth, "mm"), push, back).time[places]
    shown = np.clip(np.append(np.diff(times), 0.1) * slower, 0.02, 2.0)
    return film(views, STROKE_FILM.axes, durations=shown, kind=kind, height=STROKE_FILM.height)
