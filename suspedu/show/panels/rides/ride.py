"""Panels of a ride: what the ground does to wheel, chassis and fork, and how fast the shaft moves."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np

from suspedu.ride.outcomes import SPEED_EDGES, bumper_from, outcomes, speed_shares
from suspedu.ride.simulate import Ride
from suspedu.ride.terrain import TERRAINS
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import HIGH, LOW, REBOUND
from suspedu.show.panels.rides.riding import ridden, ridden_machine, thinned, usual_speed
from suspedu.show.panels.setting import OIL, PRELOAD, millimetres
from suspedu.show.view import Axes, Choice, Control, Curve, View, bar, box
from suspedu.units import from_si, to_si

CONTROLS_RIDE = (Choice("ground", "Ground", tuple(TERRAINS), "whoops"),
                 Control("pace", "Pace", "%", 50, 110, 5, 100, "100 = as the school rides this ground"),
                 PRELOAD, OIL, LOW, HIGH, REBOUND)  # fmt: skip
FELT = ("comfort", "harshness", "airborne", "ride_height", "deepest", "margin")
HEIGHTS = {"rough ground": (-120, 120), "whoops": (-150, 350), "braking bumps": (-150, 150), "log": (-110, 160),
           "square edge": (-30, 130), "rock garden": (-120, 260), "jump": (-400, 2400),
           "hard braking": (-180, 60)}  # mm  # fmt: skip


def _axes(ground: str) -> tuple[Axes, ...]:
    """Axes of a ride over a ground, as long as the ground is."""
    length = (0, 46.0 if ground == "hard braking" else TERRAINS[ground]().length)
    return (Axes("distance [m]", "height against the start [mm]", length, HEIGHTS[ground], "Ground and chassis"),
            Axes("distance [m]", "stroke [mm]", length, (0, 300), "Stroke of the fork"))


def view_ride(ground, pace, preload, oil_height, compression_low, compression_high, rebound) -> View:
    """The school enduro over a ground at a pace [%], at a setting in workshop units and clicks out."""
    machine = ridden_machine("enduro", preload=preload, oil_height=oil_height, compression_low=compression_low,
                             compression_high=compression_high, rebound=rebound)
    speed = usual_speed(ground) * pace / 100
    done = ridden(machine, ground, speed)
    felt = outcomes(done, FELT)
    x, road, body, stroke = thinned(done, done.road, done.sprung_height - done.sprung_height[0], done.stroke)
    ends = np.array(_axes(ground)[0].xlim, dtype=float)
    items = (
        Curve("ground", x, (road - road[0]) * 1e3, 0, "second", "ground"),
        Curve("chassis", x, body * 1e3, 0, "main", "chassis"),
        Curve("stroke", x, stroke * 1e3, 1, "main"),
        Curve("rest", ends, np.full(2, done.static_stroke * 1e3), 1, "limit", "at rest"),
        Curve("bumper", ends, np.full(2, bumper_from(done) * 1e3), 1, "limit", "bumper"),
    )
    return View(items, _felt_numbers(felt), _told(ground, speed, done, felt), _axes(ground))


def _felt_numbers(felt) -> tuple:
    return (("Shake, weighted", f"{felt['comfort']:.2f} m/s2"), ("Hardest hit", f"{felt['harshness']:.1f} m/s2"),
            ("Tyre in the air", f"{100 * felt['airborne']:.1f} %"), ("Mean stroke", millimetres(felt["ride_height"])),
            ("Deepest stroke", millimetres(felt["deepest"])), ("Travel left", millimetres(max(felt["margin"], 0.0))))


def _told(ground, speed, done: Ride, felt) -> str:
    low = felt["ride_height"] - done.static_stroke
    where = f"{abs(low) * 1e3:.0f} mm {'deeper' if low > 0 else 'higher'} than at rest"
    end = "and runs into its end with a crash" if felt["margin"] < 0 else (
        "and bottoms" if felt["deepest"] > bumper_from(done) else f"and keeps {felt['margin'] * 1e3:.0f} mm in hand")
    return (f"{ground[0].upper()}{ground[1:]} at {from_si(speed, 'km/h'):.0f} km/h: the fork works {where}, uses "
            f"{felt['deepest'] * 1e3:.0f} mm {end}. The bars shake with {felt['comfort']:.1f} m/s2 and the tyre is off "
            f"the ground {100 * felt['airborne']:.0f} % of the time.")


def ride(**start) -> Panel:
    """The panel of a ride of the school's enduro; start values by name."""
    axes = _axes(start.get("ground", "whoops"))
    return Panel(view_ride, CONTROLS_RIDE, axes, title="The ride", start=start)


GROUNDS = ("hard braking", "rough ground", "whoops", "square edge", "log", "rock garden")
CONTROLS_SHAFT_SPEEDS = (Choice("ground", "Ground", GROUNDS, "rock garden"),
                         Control("speed", "Riding speed", "km/h", 5, 55, 1, 22, "of the machine, not of the shaft"))
SHARES = tuple((share, f"{share}") for share in range(0, 101, 20))
CLASSES = ((0, "slow"), (1, "middle"), (2, "fast"))
RANGES = tuple(f"{low:g} to {high:g} m/s" for low, high in pairwise(SPEED_EDGES))
AXES_SHAFT_SPEEDS = tuple(
    Axes(f"shaft: slow {RANGES[0]}, fast over {SPEED_EDGES[2]:g}", label, (-0.6, 2.6), (0, 118), title,
         xticks=CLASSES, yticks=SHARES)
    for label, title in (("share of the time [%]", "Where the time goes"),
                         ("share of the damper's heat [%]", "Where the work is done")))  # fmt: skip
SIDES = {"compression": ("main", -0.2), "rebound": ("second", 0.2)}


def _key(axes: int, side: str, role: str, left: float) -> tuple:
    """A patch of colour above the bars, and what it stands for."""
    blank = {"tint": None, "edge": 0.0, "role": "ink"}
    return (box(f"patch {side} {axes}", left, 106, 0.14, 7, axes=axes, tint=0.7, role=role),
            box(f"name {side} {axes}", left + 0.2, 103, 1.1, 13, axes=axes, label=side, **blank))


KEY = tuple(item for axes in (0, 1) for i, (side, (role, _)) in enumerate(SIDES.items())
            for item in _key(axes, side, role, -0.5 + 1.5 * i))  # fmt: skip


def view_shaft_speeds(ground, speed) -> View:
    """Shares of time and of the damper's heat by shaft speed, over a ground at a riding speed [km/h]."""
    done = _as_it_stands(ground, to_si(speed, "km/h"))
    time, heat = speed_shares(done), heat_shares(done)
    bars = tuple(bar(f"{what} {side} {name}", place + off, 100 * shares[side][place], 0.36, axes=axes, role=role)
                 for axes, (what, shares) in enumerate((("time", time), ("heat", heat)))
                 for side, (role, off) in SIDES.items() for place, name in CLASSES)
    return View(bars + KEY, _speed_numbers(done, time, heat), _speed_sentence(ground, speed, done, time, heat))


@lru_cache(maxsize=64)
def _as_it_stands(ground: str, speed: float) -> Ride:
    return ridden(ridden_machine(), ground, speed)


def heat_shares(done: Ride) -> dict[str, np.ndarray]:
    """Share of the heat of damper and end stop made in each range of shaft speed, by side; together they make 1."""
    heat, v = np.diff(done.energies[:, :2].sum(axis=1)), (done.velocity[1:] + done.velocity[:-1]) / 2
    edges = np.array([*SPEED_EDGES[:-1], np.inf])
    sides = {"compression": v >= 0, "rebound": v < 0}
    return {side: np.histogram(np.abs(v[mask]), edges, weights=heat[mask])[0] / heat.sum()
            for side, mask in sides.items()}


def _speed_numbers(done: Ride, time, heat) -> tuple:
    slow_time, _, fast_time = 100 * (time["compression"] + time["rebound"])
    slow_heat, _, fast_heat = 100 * (heat["compression"] + heat["rebound"])
    return (("Fastest compression", f"{done.velocity.max():.2f} m/s"),
            ("Fastest rebound", f"{-done.velocity.min():.2f} m/s"),
            ("Time slow", f"{slow_time:.1f} %"), ("Time fast", f"{fast_time:.1f} %"),
            ("Heat made slow", f"{slow_heat:.1f} %"), ("Heat made fast", f"{fast_heat:.1f} %"))


def _speed_sentence(ground, speed, done: Ride, time, heat) -> str:
    fast = [100 * sum(side[2] for side in shares.values()) for shares in (time, heat)]
    return (f"{ground[0].upper()}{ground[1:]} at {speed:.0f} km/h: the shaft goes in at up to "
            f"{done.velocity.max():.1f} m/s and comes out at up to {-done.velocity.min():.1f} m/s. It is fast for "
            f"{fast[0]:.1f} % of the time and makes {fast[1]:.0f} % of its heat there.")


def shaft_speeds(**start) -> Panel:
    """The panel of shaft speeds on a ride of the school's enduro; start values by name."""
    return Panel(view_shaft_speeds, CONTROLS_SHAFT_SPEEDS, AXES_SHAFT_SPEEDS, title="How fast is the shaft?",
                 start=start)
