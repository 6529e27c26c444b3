"""Panel: what a cold morning and a hot ride do to the damping of a leg."""

from __future__ import annotations

from dataclasses import replace

from suspedu.school.oils import COLD, HOT, ROOM, SLOW, damping_in_oil
from suspedu.show.declared import Declared
from suspedu.show.panels.oil.viscosity import INDEX, VISCOSITY, oil_of
from suspedu.show.panels.words import number, percent
from suspedu.show.view import Axes, Choice, Control, Curve, View

LOOKS = {COLD: "second", ROOM: "main", HOT: "third"}
NAMES = {kelvin: f"{number(kelvin, 'degC')} °C" for kelvin in LOOKS}
LITTLE = 0.1  # share of the force: less is met, but little (guess of the course)
READ_AT = (0.05, 1.0)  # m/s: the body moving, and a bump
MEETS = {"rebound": "a front that comes up too slowly or too fast", "compression": "dive and wallow"}
EDGE = 3.0  # m/s that a square edge brings about, ridden in the computer


def view_cold_and_hot(viscosity_40, index, direction, clicks) -> View:
    """Damping of one leg of the school's enduro at 5, 20 and 70 degC, for an oil [mm2/s, index] and clicks out."""
    oil = oil_of(viscosity_40, index)
    forces = {at: damping_in_oil(oil, at, direction, int(clicks)) for at in LOOKS}
    change = {at: force.against(forces[ROOM]) for at, force in forces.items()}
    items = (
        *(Curve(NAMES[at], SLOW, forces[at].y[: len(SLOW)], 0, role, NAMES[at]) for at, role in LOOKS.items()),
        *(Curve(f"change {NAMES[at]}", change[at].x, 100.0 * change[at].y, 1, role, NAMES[at])
          for at, role in LOOKS.items()),
    )  # fmt: skip
    numbers = tuple((f"{NAMES[at]} at {speed:g} m/s", f"{forces[at].at(speed):.1f} N")
                    for speed in READ_AT for at in LOOKS)  # fmt: skip
    left, right = COLD_AND_HOT.axes
    return View(items, numbers, _sentence(forces, direction),
                (replace(left, title=f"One leg, {direction}, slow part"), right))


def _on_edges(slow, edge) -> str:
    if edge < LITTLE:
        return "a little"
    return "less, but still," if edge < slow else "just as much"


def _sentence(forces, direction) -> str:
    slow, fast, edge = ([forces[at].at(speed) / forces[ROOM].at(speed) - 1.0 for at in (COLD, HOT)]
                        for speed in (*READ_AT, EDGE))
    met = max(map(abs, fast))
    return (
        f"Where the leg moves at {READ_AT[0]:g} m/s, {direction} is {percent(slow[0], sign='+')} % against 20 °C on a "
        f"morning of 5 °C and {percent(slow[1], sign='+')} % at 70 °C; at {READ_AT[1]:g} m/s it is "
        f"{percent(fast[0], 1, '+')} and {percent(fast[1], 1, '+')} %, and at {EDGE:g} m/s "
        f"{percent(edge[0], 1, '+')} and {percent(edge[1], 1, '+')} %. "
        f"The rider meets oil temperature as {MEETS[direction]}{', on bumps too' if met >= LITTLE else ''}, and "
        f"{_on_edges(max(map(abs, slow)), max(map(abs, edge)))} on square edges."
    )


COLD_AND_HOT = Declared(
    id="cold-and-hot", title="Cold morning, hot ride", view=view_cold_and_hot,
    controls=(VISCOSITY, INDEX,
              Choice("direction", "Direction", {"rebound": "rebound", "compression": "compression"}, "rebound"),
              Control("clicks", "Its clicker", "clicks", 2, 24, 1, 12,
                      "out from gently closed: more = softer; of compression the low-speed one")),
    axes=(Axes("velocity of the leg [m/s]", "damping force [N]", (0, 0.3), (0, 450), "One leg, slow part", share=1.2),
          Axes("velocity of the leg [m/s]", "force against 20 °C [%]", (0.02, 3), (-90, 200),
               "Cold and hot against 20 °C", xscale="log",
               xticks=((0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"), (3, "3")))))  # fmt: skip
