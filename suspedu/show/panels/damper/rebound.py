"""Panel on rebound: let the fork go and watch it come back."""

from __future__ import annotations

import numpy as np

from suspedu.school import set_machine
from suspedu.school.returning import SHOWN, LettingGo, letting_go
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import RATE, REBOUND
from suspedu.show.panels.words import millimetres, number
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

BODY, WHEEL = "chassis-rises", "wheel-drops"
NOT = "does not apply"
MANNERS = {
    "bobs": "the bars bob, and the front wanders",
    "settles": "one small swing and it is still: the rider feels it settle",
    "stays": "it comes up without a swing and stays there",
    "creeps": "it creeps up, and the next bump finds the rider low",
}


def view_rebound(what, depth, rebound, coil_rate) -> View:
    """A fork let go from a depth [mm] for rebound clicks out and a rate [N/mm]: stroke over time, and its damping."""
    body = what == BODY
    done = letting_go(set_machine(coil_rate=coil_rate, rebound=rebound), to_si(depth, "mm"), body)
    numbers = (
        ("Time for nine tenths of the way", _time(done)),
        ("Fastest on the way", f"{done.fastest:.2f} m/s"),
        ("It swings past its rest by", millimetres(done.over) if body and done.rises else NOT),
        ("Damping ratio of the chassis, coming up", f"{done.ratio:.2f}"),
        ("Time constant on the spring", f"{done.constant:.2f} s"),
    )
    return View(_items(done, body), numbers, _sentence(done, body))


def _items(done: LettingGo, body) -> tuple:
    at, depth = done.fastest_at
    rest = from_si(done.rest, "mm")
    return (
        Curve("rest", np.array([0.0, SHOWN]), np.full(2, rest), 0, "limit", "at rest" if body else "extended"),
        Curve("stroke", done.stroke.x, from_si(done.stroke.y, "mm"), 0, "main"),
        Mark("fastest", at, from_si(depth, "mm"), f"{done.fastest:.2f} m/s"),
        Curve("damping", done.damping.x, done.damping.y, 1, "main"),
        Mark("at fastest", done.fastest, done.damping.at(done.fastest), "fastest here", 1),
    )


def _time(done: LettingGo) -> str:
    if not done.rises:
        return NOT
    return "beyond 1.2 s" if done.back is None else f"{done.back:.2f} s"


def _sentence(done: LettingGo, body) -> str:
    if done.manner == "sinks":
        return (f"From there the front does not come up: with the rider aboard it rests at {millimetres(done.rest)}, "
                "deeper still, and sinks.")
    if body and done.manner == "held":
        return _held(done)
    took = f"{done.back:.2f} s" if done.back is not None else "more than 1.2 s"
    if not body:
        return (f"The wheel needs {took} to go nine tenths of its way down: a bump that comes sooner meets a fork that "
                "is still short, and the rider less travel.")  # fmt: skip
    swing = f" and swings {millimetres(done.over)} past its rest" if done.manner in ("bobs", "settles") else ""
    return f"Let go, the front is nine tenths of the way up after {took}{swing}: {MANNERS[done.manner]}."


def _held(done: LettingGo) -> str:
    short, long = (number(end, "mm") for end in done.held)
    end = done.stroke.y[-1]
    return (f"Let go, the front comes up to {millimetres(end)} in the time that is shown, "
            f"{millimetres(max(end - done.rest, 0.0))} below its rest. What is left is a matter of friction, which may "
            f"hold it anywhere from {short} to {long} mm, and not of rebound.")


REBOUND_PANEL = Declared(
    id="rebound", title="Coming back", view=view_rebound, inside=("damping", "stroke"),
    controls=(Choice("what", "Let go", {BODY: "chassis rises (push and let go)", WHEEL: "wheel drops (after a bump)"},
                     BODY),
              Control("depth", "From a stroke of", "mm", 80, 280, 10, 180), REBOUND, RATE),
    axes=(Axes("time after letting go [s]", "stroke [mm]", (0, SHOWN), (-10, 300), "Coming back", share=1.1),
          Axes("speed of coming back [m/s]", "force of both legs [N]", (0, 2), (0, 4200),
               "Rebound damping")))  # fmt: skip
