"""Panel of shaft speeds on a ride: where the time goes, and where the damper's heat is made."""

from __future__ import annotations

from itertools import pairwise

from suspedu.ride.shares import SPEED_EDGES, heat_shares, speed_shares
from suspedu.ride.simulate import Ride
from suspedu.school.loop import end_of_travel, meets_rim, ridden_as_it_stands
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import headed, options, worn
from suspedu.show.panels.words import percent
from suspedu.show.view import Axes, Choice, Control, View, bar, box
from suspedu.units import to_si

GROUNDS = ("hard braking", "rough ground", "whoops", "square edge", "log", "rock garden")
TICKS = tuple((share, f"{share}") for share in range(0, 101, 20))
CLASSES = ((0, "slow"), (1, "middle"), (2, "fast"))
RANGES = tuple(f"{low:g} to {high:g} m/s" for low, high in pairwise(SPEED_EDGES))
SIDES = {"compression": ("third", -0.2), "rebound": ("fourth", 0.2)}  # not in the colours that knobs on forks carry


def _key(axes: int, side: str, role: str, left: float) -> tuple:
    """A patch of colour above the bars, and what it stands for."""
    blank = {"tint": None, "edge": 0.0, "role": "ink"}
    return (box(f"patch {side} {axes}", left, 106, 0.14, 7, axes=axes, tint=0.7, role=role),
            box(f"name {side} {axes}", left + 0.2, 103, 0.1 * len(side), 13, axes=axes, label=side, **blank))


KEY = tuple(item for axes in (0, 1) for i, (side, (role, _)) in enumerate(SIDES.items())
            for item in _key(axes, side, role, -0.5 + 1.5 * i))  # fmt: skip


def view_shaft_speeds(ground, speed) -> View:
    """Shares of time and of the damper's heat by shaft speed, over a ground at a riding speed [km/h]."""
    done = ridden_as_it_stands(ground, to_si(speed, "km/h"))
    time, heat = speed_shares(done), heat_shares(done)
    bars = tuple(bar(f"{what} {side} {name}", place + off, 100 * shares[side][place], 0.36, axes=axes, role=role)
                 for axes, (what, shares) in enumerate((("time", time), ("heat", heat)))
                 for side, (role, off) in SIDES.items() for place, name in CLASSES)
    both = [shares["compression"] + shares["rebound"] for shares in (time, heat)]
    return View(bars + KEY, _numbers(done, *both), _sentence(ground, speed, done, *both))


def _numbers(done: Ride, time, heat) -> tuple:
    return (("Fastest compression", f"{done.velocity.max():.2f} m/s"),
            ("Fastest rebound", f"{-done.velocity.min():.2f} m/s"),
            ("Time slow", f"{percent(time[0], 1)} %"), ("Time fast", f"{percent(time[2], 1)} %"),
            ("Heat made slow", f"{percent(heat[0], 1)} %"), ("Heat made fast", f"{percent(heat[2], 1)} %"))


def _sentence(ground, speed, done: Ride, time, heat) -> str:
    return (f"{headed(ground)} at {speed:.0f} km/h: the shaft goes in at up to "
            f"{done.velocity.max():.1f} m/s and comes out at up to {-done.velocity.min():.1f} m/s. It is fast for "
            f"{percent(time[2], 1)} % of the time and makes {percent(heat[2])} % of its heat there."
            f"{worn(meets_rim(done), end_of_travel(done) == 'metal')}")


SHAFT_SPEEDS = Declared(
    id="shaft-speeds", title="How fast is the shaft?", view=view_shaft_speeds,
    controls=(Choice("ground", "Ground", options(*GROUNDS), "rock garden"),
              Control("speed", "Riding speed", "km/h", 5, 55, 1, 22, "of the machine, not of the shaft")),
    axes=tuple(Axes(f"shaft: slow {RANGES[0]}, fast over {SPEED_EDGES[2]:g}", label, (-0.6, 2.6), (0, 118), title,
                    xticks=CLASSES, yticks=TICKS)
               for label, title in (("share of the time [%]", "Where the time goes"),
                                    ("share of the damper's heat [%]", "Where the work is done"))))  # fmt: skip
