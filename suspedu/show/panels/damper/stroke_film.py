"""Panel: one push and its way back, instant by instant, through the cut-open cartridge; and the same as a film."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.damper.explain import Explanation
from suspedu.damper.forces import LegForce
from suspedu.damper.stroke_walk import Walk, stroke_history, stroke_walk
from suspedu.damper.valves import PathState
from suspedu.show.film import film
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.cutaway import PICTURE, force_numbers, opened, said
from suspedu.show.panels.damper.damper_setting import CARTRIDGE, set_damper, surroundings
from suspedu.show.view import Axes, Control, Curve, Mark, View

KEPT = ("Force of one leg", "End-stop part", "Margin to cavitation")
POINTS, START = 161, 0.06  # instants; m of stroke at which the push begins
CONTROLS_STROKE_FILM = (
    Control("time", "Through the push and back", "%", 0, 100, 1, 25, "arrow keys: step by step"),
    CARTRIDGE,
    Control("depth", "The push goes in by", "mm", 40, 240, 10, 220),
    Control("push", "Fastest on the way in", "m/s", 0.2, 4, 0.2, 3),
    Control("back", "Fastest on the way out", "m/s", 0.2, 3, 0.1, 1.2),
)
AXES_STROKE_FILM = (
    PICTURE,
    Axes("stroke [mm]", "force of one leg [N]", (50, 310), (-2000, 3000), "Force along the way"),
)


@lru_cache(maxsize=64)
def walk(cartridge: str, depth: float, push: float, back: float) -> Walk:
    """States of all valves of a cartridge along a push by a depth [mm] and back, with peak velocities [m/s]."""
    time, stroke, velocity = stroke_history(depth / 1e3, push, back, start=START, points=POINTS)
    around = surroundings(stroke)
    return stroke_walk(time, stroke, velocity, set_damper(cartridge), around["oil"], around["temperature"],
                       air_pressure=around["air_pressure"])  # fmt: skip


def instant(whole: Explanation, at: int) -> Explanation:
    """One instant of an explanation of many."""
    leg = LegForce(*(getattr(whole.leg, name)[at] for name in LegForce.__dataclass_fields__))
    valves = {key: type(valve)(valve.pressure_drop[at], valve.flow[at],
                               {name: PathState(*(getattr(path, part)[at] for part in PathState.__dataclass_fields__))
                                for name, path in valve.paths.items()})
              for key, valve in whole.valves.items()}  # fmt: skip
    return Explanation(whole.stroke[at], whole.velocity[at], leg, valves)


def view_stroke_film(time, cartridge, depth, push, back) -> View:
    """One instant, at a share of the time [%], of a push by a depth [mm] and back with peak velocities [m/s]."""
    done = walk(cartridge, depth, push, back)
    at = round(time / 100.0 * (len(done.time) - 1))
    now, mm, force = instant(done.explanation, at), done.stroke * 1e3, done.explanation.leg.force
    items = (
        *opened(now, set_damper(cartridge)),
        Curve("way", mm, force, 1, "limit", margin=False),
        Curve("gone", np.where(np.arange(len(mm)) <= at, mm, np.nan), force, 1, "main", margin=False),
        Mark("here", mm[at], force[at], f"{done.time[at] * 1e3:.0f} ms", 1, "second"),
    )
    numbers = (
        ("Time", f"{done.time[at] * 1e3:.0f} ms"),
        ("Velocity", f"{now.velocity + 0.0:.2f} m/s"),
        *(number for number in force_numbers(now) if number[0] in KEPT),
        ("Taken out of the motion so far", f"{done.energy[at]:.1f} J"),
    )
    return View(items, numbers, said(now))


def stroke_film(**start) -> Panel:
    """The panel of one push and its way back, to go through by hand; start values by name."""
    title = "One push, and back"
    return Panel(view_stroke_film, CONTROLS_STROKE_FILM, AXES_STROKE_FILM, title=title, start=start, height=460)


def filmed(cartridge: str = "closed cartridge", depth: float = 220, push: float = 3.0, back: float = 1.2, *,
           pictures: int = 61, slower: float = 10.0, kind: str = "gif") -> bytes:
    """The same as a film to keep.

    Parameters: cartridge; depth [mm]; push, back, peak velocities [m/s]; pictures; slower, times slower than life;
    kind, "gif" or "png".
    Returns: bytes of the file.
    """
    shares = np.linspace(0.0, 100.0, pictures)
    views = [view_stroke_film(share, cartridge, depth, push, back) for share in shares]
    times = np.interp(shares / 100.0, np.linspace(0, 1, POINTS), walk(cartridge, depth, push, back).time)
    shown = np.clip(np.append(np.diff(times), 0.1) * slower, 0.02, 2.0)
    return film(views, AXES_STROKE_FILM, durations=shown, kind=kind, height=460)
