"""Panel: three ways to build a fork damper, on one picture: holes alone, an open cartridge, a closed one."""

from __future__ import annotations

from suspedu.school.valves import damping_of_way
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import to_si

KINDS = {"damping rod": ("second", "holes"), "open cartridge": ("third", "open"),
         "closed cartridge": ("main", "closed")}  # fmt: skip
SLOW, FAST = 0.1, 3.0  # m/s: the body moving; a landing, or what comes back from one
FELT = {"compression": ("to hold the front up", "on a landing"),
        "rebound": ("while the front settles", "when the fork shoots back")}


def view_dampers(way, hole, clicks) -> View:
    """Damping of three architectures over velocity for rod holes [mm] and clicks out of the cartridges."""
    forces = {kind: damping_of_way(kind, way, to_si(hole, "mm"), int(clicks)) for kind in KINDS}
    read = {kind: [force.at(speed) for speed in (SLOW, FAST)] for kind, force in forces.items()}
    items = (
        *(Curve(f"{kind} {number}", forces[kind].x, forces[kind].y, number, role, short)
          for number in (0, 1) for kind, (role, short) in KINDS.items()),
        *(Mark(f"{kind} slow", SLOW, read[kind][0], "", 1, role) for kind, (role, _) in KINDS.items()),
    )  # fmt: skip
    numbers = tuple(
        (f"{kind[0].upper()}{kind[1:]} at {speed:g} m/s", newtons(force))
        for kind in KINDS for speed, force in zip((SLOW, FAST), read[kind], strict=True)
    )  # fmt: skip
    return View(items, numbers, _sentence(way, read["damping rod"], read["closed cartridge"]))


def _sentence(way, rod, closed) -> str:
    return (
        f"From {SLOW:g} to {FAST:g} m/s the {way} force grows {rod[1] / rod[0]:.0f} times with plain holes, and "
        f"{closed[1] / closed[0]:.0f} times in the closed cartridge, whose shims give way: the rider gets "
        f"{newtons(closed[0])} {FELT[way][0]} and {newtons(closed[1])} {FELT[way][1]}, against {newtons(rod[0])} and "
        f"{newtons(rod[1])} from the holes."
    )


DAMPERS = Declared(
    id="dampers", title="Three ways to build a damper", view=view_dampers,
    controls=(Choice("way", "Way", {"compression": "compression", "rebound": "rebound"}, "compression"),
              Control("hole", "Holes of the damping rod", "mm", 1.6, 4.0, 0.1, 2.4, "bigger = softer at every speed"),
              Control("clicks", "Low-speed clicker of the cartridges", "clicks", 0, 24, 1, 12,
                      "out from closed: more = softer")),
    axes=(Axes("velocity of the leg [m/s]", "damping force of one leg [N]", (0, 4), (0, 3000), "As the rider meets it"),
          Axes("velocity of the leg [m/s]", "the same [N]", (0.02, 4), (0.2, 60000), "Each step is ten times as much",
               xscale="log", yscale="log", xticks=((0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"), (3, "3")),
               yticks=((1, "1"), (10, "10"), (100, "100"), (1000, "1000"), (10000, "10000")))))  # fmt: skip
