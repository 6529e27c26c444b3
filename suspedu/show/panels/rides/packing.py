"""Panel on packing: a row of whoops, and a fork that comes back too slowly, in time, or too fast."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.machine.riding import ride
from suspedu.ride.outcomes import bumper_from, outcomes
from suspedu.ride.simulate import Ride
from suspedu.ride.terrain import RUN_IN, Terrain, whoops
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import REBOUND
from suspedu.show.panels.rides.riding import ridden_machine, thinned
from suspedu.show.panels.setting import RATE, millimetres
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import from_si

COUNT = 11
ROWS = {"tall: 300 mm every 4 m, 32 km/h": (0.3, 4.0, 9.0), "round: 200 mm every 4.5 m, 29 km/h": (0.2, 4.5, 8.0),
        "short: 150 mm every 2.5 m, 29 km/h": (0.15, 2.5, 8.0)}  # height [m], spacing [m], speed [m/s]
CONTROLS_PACKING = (Choice("row", "Row of whoops", tuple(ROWS), next(iter(ROWS))), REBOUND,
                    Control("coil_rate", "Spring rate, each leg", "N/mm", 3.4, 4.6, 0.1, 4.0, RATE.direction))
CLICKS = np.arange(0, 25, 2)


def _axes(row: str) -> tuple[Axes, ...]:
    return (Axes("distance [m]", "stroke [mm]", (0, whoop_row(row).length), (0, 300), "Stroke of the fork"),
            Axes("rebound [clicks out]", "hardest hit [m/s2]", (0, 24), (0, 160), "Slow or fast?"))


@lru_cache(maxsize=8)
def whoop_row(row: str) -> Terrain:
    """One of `ROWS` as a terrain: eleven humps and flat ground after them."""
    height, spacing, speed = ROWS[row]
    return whoops(height, spacing, COUNT, speed, length=2 * RUN_IN + COUNT * spacing + 12)


@lru_cache(maxsize=256)
def over_whoops(row: str, rebound: float, coil_rate: float) -> Ride:
    """The school enduro over a row of whoops, at clicks out and a rate [N/mm]."""
    return ride(ridden_machine("enduro", rebound=rebound, coil_rate=coil_rate), whoop_row(row))


def left_over(done: Ride) -> np.ndarray:
    """Least stroke on the way over each hump [m]: how much of the last blow the fork still carries."""
    spacing = (done.terrain.quiet_from - RUN_IN) / COUNT
    hump = np.floor((done.distance - RUN_IN) / spacing)
    return np.array([done.stroke[hump == number].min() for number in range(COUNT)])


@lru_cache(maxsize=8)
def _hits(row: str) -> np.ndarray:
    """Hardest hit [m/s2] over CLICKS, on the school's own springs."""
    return np.array([outcomes(over_whoops(row, clicks, 4.0), ["harshness"])["harshness"] for clicks in CLICKS])


def view_packing(row, rebound, coil_rate) -> View:
    """Stroke over a row of whoops at rebound clicks out and a rate [N/mm], and the hardest hit over the clicks."""
    done = over_whoops(row, rebound, coil_rate)
    felt = outcomes(done, ("harshness", "kick", "ride_height", "deepest", "airborne"))
    left = left_over(done)[1:].mean()
    x, stroke = thinned(done, done.stroke)
    ends = np.array([0.0, done.terrain.length])
    items = (
        Curve("stroke", x, stroke * 1e3, 0, "main"),
        Curve("rest", ends, np.full(2, done.static_stroke * 1e3), 0, "limit", "at rest"),
        Curve("bumper", ends, np.full(2, bumper_from(done) * 1e3), 0, "limit", "bumper"),
        Curve("hits", CLICKS, _hits(row), 1, "second", "4.0 N/mm"),
        Mark("now", rebound, felt["harshness"], f"{felt['harshness']:.0f} m/s2", 1),
    )
    return View(items, _numbers(felt, left), _sentence(done, felt, left), _axes(row))


def _numbers(felt, left) -> tuple:
    return (("Comes back to, on average", millimetres(left)),
            ("Mean stroke", millimetres(felt["ride_height"])),
            ("Deepest stroke", millimetres(felt["deepest"])), ("Hardest hit", f"{felt['harshness']:.1f} m/s2"),
            ("Fastest throw upwards", f"{felt['kick']:.2f} m/s"),
            ("Tyre in the air", f"{100 * felt['airborne']:.1f} %"))


def _sentence(done: Ride, felt, left) -> str:
    speed = from_si(done.terrain.speed, "km/h")
    spare = (done.fork.travel - felt["deepest"]) * 1e3
    end = "and bottoms" if felt["deepest"] > bumper_from(done) else f"and keeps {spare:.0f} mm in hand"
    return (f"At {speed:.0f} km/h the fork comes back to {left * 1e3:.0f} mm before it is hit again, works at "
            f"{felt['ride_height'] * 1e3:.0f} mm on average {end}. The hardest hit is {felt['harshness']:.0f} m/s2 and "
            f"the bars are thrown up with {felt['kick']:.1f} m/s.")


def packing(**start) -> Panel:
    """The panel of rebound over a row of whoops; start values by name."""
    axes = _axes(start.get("row", next(iter(ROWS))))
    return Panel(view_packing, CONTROLS_PACKING, axes, title="Packing", start=start)
