"""Panel on terrain: the ground, and what of it a rolling wheel can follow."""

from __future__ import annotations

import numpy as np

from suspedu.school.loop import GROUNDS, FastestIn, Rolling, fastest_in, loop_ground, rolling, stands_on
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import headed, options, worn
from suspedu.show.panels.setting import TYRE
from suspedu.show.panels.words import number, percent, with_unit
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

KINDS = tuple(name for name in GROUNDS if np.ptp(loop_ground(name).height) > 0.0)  # the flat ones show nothing
SEEN = {  # a window as wide as one eyeful [m], and the wheel's vertical speeds there [m/s]
    "rough ground": ((20, 32), (-3, 3)), "whoops": ((3, 19), (-3, 3)), "braking bumps": ((7, 19), (-4, 4)),
    "square edge": ((3, 5), (-2, 12)), "log": ((3, 5.2), (-12, 12)), "rock garden": ((4, 16), (-13, 14)),
    "dip": ((3, 11), (-4, 4)), "slope landing": ((0, 40), (-5, 3)), "crash": ((4, 30), (-14, 14)),
}  # fmt: skip
FIRST = "square edge"


def _axes(kind: str) -> tuple[Axes, ...]:
    """Axes of a ground: a window of it as wide as one eyeful, and the wheel's vertical speed."""
    (window, speeds), height = SEEN[kind], loop_ground(kind).height
    low, high = from_si(float(height.min()), "mm"), from_si(float(height.max()), "mm")
    room = 0.25 * (high - low)
    return (Axes("distance [m]", "height [mm]", window, (low - room, high + room), "Ground and wheel"),
            Axes("distance [m]", "wheel's vertical speed [m/s]", window, speeds, "How the ground throws the wheel"))


def view_terrain(kind, speed, tyre_pressure) -> View:
    """A ground and the wheel over it, at a riding speed [km/h] and a tyre pressure [bar]."""
    contact = stands_on(to_si(tyre_pressure, "bar"))
    roll, (window, (falls, _)) = rolling(kind, contact), SEEN[kind]
    seen = roll.seen(window)
    metres, lift = roll.distance[seen], roll.climb * to_si(speed, "km/h")
    top = seen[np.argmax(lift[seen])]
    items = (
        Curve("ground", metres, from_si(roll.ground.height[seen], "mm"), 0, "second", "ground"),
        Curve("wheel", metres, from_si(roll.wheel[seen], "mm"), 0, "main", "wheel"),
        Curve("climb", metres, np.where(lift[seen] < falls, np.nan, lift[seen]), 1, "main"),
        Mark("fastest", roll.distance[top], lift[top], f"{lift[top]:.1f} m/s", 1),
    )
    met = fastest_in(kind, to_si(speed, "km/h"), to_si(tyre_pressure, "bar"))
    told = " ".join((_sentence(kind, speed, lift[top], roll.follows(seen)), _of_ride(met)))
    return View(items, _numbers(roll, lift, contact, met), told, _axes(kind))


def _numbers(roll: Rolling, lift, contact, met: FastestIn | None) -> tuple:
    return (("The tyre stands on", with_unit(contact, "mm")),
            ("Height of the ground, r.m.s.", with_unit(roll.ground.statistics["rms"], "mm", 1)),
            ("Steepest climb of the wheel", f"{percent(np.abs(roll.climb).max())} %"),
            ("Fastest lift of the wheel", f"{lift.max():.2f} m/s"),
            ("Fastest compression of the shaft, ridden", f"{met.shaft:.2f} m/s" if met else "not ridden"),
            ("Speed usual at the school", f"{number(roll.ground.speed, 'km/h')} km/h"))


def _sentence(kind, speed, fastest, follows) -> str:
    begins = "the tyre follows nearly all of it" if follows else "the tyre rounds it off"
    fall = ", and on top of it comes the fall onto this ground" if loop_ground(kind).flight else ""
    return (f"{headed(kind)}: {begins}. At {speed:.0f} km/h the ground throws the wheel up with up to "
            f"{fastest:.1f} m/s in this window{fall}.")


def _of_ride(met: FastestIn | None) -> str:
    if met is None:
        return "To brake on these bumps from so fast there is no room: nobody rides that."
    wheel, bars = (f"{'rise' if speed > 0 else 'sink'} at {abs(speed):.1f} m/s" for speed in (met.wheel, met.bars))
    return (f"Ridden, with a tyre that gives way and lets go and a machine that moves too, the shaft goes in at up to "
            f"{met.shaft:.1f} m/s: there the wheel {wheel.replace(' ', 's ', 1)} and the bars {bars}."
            f"{worn(met.rim, met.metal)}")


TERRAIN = Declared(
    id="terrain", title="Ground and wheel", view=view_terrain, axes=_axes(FIRST), gaps=("climb",),
    controls=(Choice("kind", "Ground", options(*KINDS), FIRST),
              Control("speed", "Riding speed", "km/h", 5, 60, 1, 30, "more = the same ground, met in less time"),
              TYRE))  # fmt: skip
