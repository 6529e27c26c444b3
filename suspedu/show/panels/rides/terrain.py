"""Panel on terrain: the ground, and what of it a rolling wheel can follow."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.ride.ground import tyre_envelope
from suspedu.ride.terrain import RUN_IN, STEP, TERRAINS, Terrain
from suspedu.ride.terrain import terrain as terrain_named
from suspedu.show.panel import Panel
from suspedu.show.panels.setting import set_machine
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

KINDS = tuple(name for name in TERRAINS if name != "hard braking")  # braking is done on flat ground
CONTROLS_TERRAIN = (
    Choice("kind", "Ground", KINDS, "square edge"),
    Control("speed", "Riding speed", "km/h", 5, 60, 1, 30, "more = the same ground, met in less time"),
    Control("contact_length", "Tyre contact length", "mm", 40, 200, 5, 110, "more = softer or lower tyre pressure"),
)
WINDOWS = {"rough ground": (20, 32), "whoops": (RUN_IN - 1, 19), "braking bumps": (7, 19), "square edge": (3, 5),
           "log": (3, 5.2), "rock garden": (RUN_IN, 16), "jump": (RUN_IN, 30)}  # fmt: skip
FASTEST = {"rough ground": (-3, 3), "whoops": (-3, 3), "braking bumps": (-4, 4), "square edge": (-2, 12),
           "log": (-12, 12), "rock garden": (-13, 14), "jump": (-14, 14)}  # fmt: skip


def _axes(kind: str) -> tuple[Axes, ...]:
    """Axes of a ground: a window of it as wide as one eyeful, and the wheel's vertical speed."""
    window, height = WINDOWS[kind], _ground(kind).height
    low, high = 1e3 * float(height.min()), 1e3 * float(height.max())
    room = 0.25 * (high - low)
    return (Axes("distance [m]", "height [mm]", window, (low - room, high + room), "Ground and wheel"),
            Axes("distance [m]", "wheel's vertical speed [m/s]", window, FASTEST[kind], "What the fork must follow"))


def _ground(kind: str) -> Terrain:
    return terrain_named(kind)


@lru_cache(maxsize=128)
def _followed(kind: str, contact_length: float) -> np.ndarray:
    """Height of the wheel [m] over the ground, from where it rolls on the flat."""
    return tyre_envelope(_ground(kind).height, set_machine().tyre.radius, to_si(contact_length, "mm"))


def view_terrain(kind, speed, contact_length) -> View:
    """A ground and the wheel over it, at a riding speed [km/h] with a contact length of the tyre [mm]."""
    ground, followed = _ground(kind), _followed(kind, contact_length)
    metres = np.arange(len(followed)) * STEP
    climb = np.gradient(followed, STEP) * to_si(speed, "km/h")
    near = (metres >= WINDOWS[kind][0]) & (metres <= WINDOWS[kind][1])
    seen = np.flatnonzero(near)[:: max(1, near.sum() // 600)]
    top = seen[np.argmax(climb[seen])]
    items = (
        Curve("ground", metres[seen], ground.height[seen] * 1e3, 0, "second", "ground"),
        Curve("wheel", metres[seen], followed[seen] * 1e3, 0, "main", "wheel"),
        Curve("climb", metres[seen], np.where(climb[seen] < FASTEST[kind][0], np.nan, climb[seen]), 1, "main"),
        Mark("fastest", metres[top], climb[top], f"{climb[top]:.1f} m/s", 1),
    )
    return View(items, _numbers(ground, followed, climb), _sentence(kind, speed, ground, climb, top), _axes(kind))


def _numbers(ground: Terrain, followed, climb) -> tuple:
    steepest = np.abs(np.gradient(followed, STEP)).max()
    return (("Height of the ground, r.m.s.", f"{ground.statistics['rms'] * 1e3:.1f} mm"),
            ("Steepest climb of the wheel", f"{100 * steepest:.0f} %"),
            ("Fastest lift of the wheel", f"{climb.max():.2f} m/s"),
            ("Speed usual at the school", f"{from_si(ground.speed, 'km/h'):.0f} km/h"))


def _sentence(kind, speed, ground: Terrain, climb, top) -> str:
    begins = ("the tyre rounds it off" if kind in ("square edge", "log", "rock garden")
              else "the tyre follows nearly all of it")
    return (f"{kind[0].upper()}{kind[1:]}: {begins}. At {speed:.0f} km/h the wheel is thrown up with up to "
            f"{climb[top]:.1f} m/s in this window: that, and not the riding speed, is what the fork's shaft meets.")


def terrain(**start) -> Panel:
    """The panel of the school's grounds and the wheel that rolls over them; start values by name."""
    axes = _axes(start.get("kind", "square edge"))
    return Panel(view_terrain, CONTROLS_TERRAIN, axes, title="Ground and wheel", start=start)
