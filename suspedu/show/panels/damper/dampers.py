"""Panel: three ways to build a fork damper, on one picture: holes alone, an open cartridge, a closed one."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import leg_forces, newtons, set_damper
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View

KINDS = {"damping rod": "second", "open cartridge": "third", "closed cartridge": "main"}
SHORT = {"damping rod": "holes", "open cartridge": "open", "closed cartridge": "closed"}
SPEEDS = np.geomspace(0.02, 4.0, 49)
PLACE, SLOW, FAST = 0.15, 0.1, 3.0  # m of stroke; m/s: the body moving, a landing
CONTROLS_DAMPERS = (
    Choice("way", "Way", ("compression", "rebound"), "compression"),
    Control("hole", "Holes of the damping rod", "mm", 1.6, 4.0, 0.1, 2.4, "bigger = softer at every speed"),
    Control("clicks", "Low-speed clicker of the cartridges", "clicks", 0, 24, 1, 12, "out from closed: more = softer"),
)
AXES_DAMPERS = (
    Axes("velocity of the leg [m/s]", "damping force of one leg [N]", (0, 4), (0, 3000), "As the rider meets it"),
    Axes("velocity of the leg [m/s]", "the same [N]", (0.02, 4), (0.2, 60000), "Each step is ten times as much",
         xscale="log", yscale="log", xticks=((0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"), (3, "3")),
         yticks=((1, "1"), (10, "10"), (100, "100"), (1000, "1000"), (10000, "10000"))),
)  # fmt: skip


@lru_cache(maxsize=512)
def damping(kind: str, way: str, hole: float, clicks: int) -> np.ndarray:
    """Damping force [N], without gas, over SPEEDS: one leg of a kind, holes [mm], clicks out."""
    damper = set_damper(kind, **{"rebound" if way == "rebound" else "compression_low": clicks})
    if kind == "damping rod":
        bored = {name: replace(getattr(damper, name), diameter=hole / 1e3) for name in ("compression_holes",
                                                                                        "rebound_holes")}
        damper = replace(damper, **bored)
    sign = -1.0 if way == "rebound" else 1.0
    return sign * leg_forces(PLACE, sign * SPEEDS, damper).damping_force


def view_dampers(way, hole, clicks) -> View:
    """Damping of three architectures over velocity for rod holes [mm] and clicks out of the cartridges."""
    forces = {kind: damping(kind, way, hole, int(clicks)) for kind in KINDS}
    read = {kind: [float(np.interp(speed, SPEEDS, force)) for speed in (SLOW, FAST)] for kind, force in forces.items()}
    items = tuple(
        Curve(f"{kind} {number}", SPEEDS, forces[kind], number, role, SHORT[kind])
        for number in (0, 1) for kind, role in KINDS.items()
    )  # fmt: skip
    dots = tuple(Mark(f"{kind} slow", SLOW, read[kind][0], "", 1, role) for kind, role in KINDS.items())
    numbers = tuple(
        (f"{kind[0].upper()}{kind[1:]} at {speed:g} m/s", newtons(force))
        for kind in KINDS for speed, force in zip((SLOW, FAST), read[kind], strict=True)
    )  # fmt: skip
    return View((*items, *dots), numbers, _sentence(way, read))


def _sentence(way, read) -> str:
    times = {kind: fast / slow for kind, (slow, fast) in read.items()}
    return (
        f"From {SLOW:g} to {FAST:g} m/s the {way} force grows {times['damping rod']:.0f} times with plain holes, and "
        f"{times['closed cartridge']:.0f} times in the closed cartridge, whose shims give way: the rider gets "
        f"{newtons(read['closed cartridge'][0])} to hold the front up and {newtons(read['closed cartridge'][1])} on a "
        f"landing, against {newtons(read['damping rod'][0])} and {newtons(read['damping rod'][1])} from the holes."
    )


def dampers(**start) -> Panel:
    """The panel of three damper architectures; start values by name."""
    return Panel(view_dampers, CONTROLS_DAMPERS, AXES_DAMPERS, title="Three ways to build a damper", start=start)
