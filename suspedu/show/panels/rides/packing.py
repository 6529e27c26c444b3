"""Panel on packing: a row of whoops, and a fork that comes back too slowly, in time, or too fast."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.ride.outcomes import bumper_from, outcomes
from suspedu.ride.simulate import Ride
from suspedu.school.packing import ROWS, comes_back_to, over_clicks, over_whoops, whoop_row
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import ending, thinned
from suspedu.show.panels.setting import RATE, REBOUND
from suspedu.show.panels.words import millimetres, number, percent
from suspedu.show.view import Axes, Choice, Curve, Mark, View
from suspedu.units import from_si

WORDS = {name: f"{name}: {number(row.height, 'mm')} mm every {row.spacing:g} m, {number(row.speed, 'km/h')} km/h"
         for name, row in ROWS.items()}  # fmt: skip
FELT = ("harshness", "kick", "ride_height", "deepest", "airborne")
FIRST = "tall"


def _axes(row: str) -> tuple[Axes, ...]:
    return (Axes("distance [m]", "stroke [mm]", (0, whoop_row(row).length), (0, 300), "Stroke of the fork"),
            Axes("rebound [clicks out]", "mean stroke [mm]", (-0.5, 24.5), (40, 120), "Slow or fast?"))


def view_packing(row, rebound, coil_rate) -> View:
    """Stroke over a row of whoops at rebound clicks out and a rate [N/mm], and the mean stroke over the clicks."""
    done, lows = over_whoops(row, rebound, coil_rate), over_clicks(row, "ride_height")
    felt, ends = outcomes(done, FELT), np.array([0.0, done.terrain.length])
    x, stroke = thinned(done, done.stroke)
    items = (
        Curve("stroke", x, from_si(stroke, "mm"), 0, "main"),
        *(Curve(name, ends, np.full(2, from_si(height, "mm")), 0, "limit", words) for name, height, words in (
            ("rest", done.static_stroke, "at rest"), ("bumper", bumper_from(done), "bumper"))),
        Curve("lows", lows.x, from_si(lows.y, "mm"), 1, "second", "4.0 N/mm"),
        Mark("now", rebound, from_si(felt["ride_height"], "mm"), millimetres(felt["ride_height"]), 1),
    )
    return View(items, _numbers(felt, comes_back_to(done)), _sentence(done, felt), _axes(row))


def _numbers(felt, left) -> tuple:
    return (("Comes back to, on average", millimetres(left)),
            ("Mean stroke", millimetres(felt["ride_height"])),
            ("Deepest stroke", millimetres(felt["deepest"])), ("Hardest hit, bars", f"{felt['harshness']:.1f} m/s²"),
            ("Fastest throw upwards", f"{felt['kick']:.2f} m/s"),
            ("Tyre in the air", f"{percent(felt['airborne'], 1)} %"))


def _sentence(done: Ride, felt) -> str:
    return (f"At {number(done.terrain.speed, 'km/h')} km/h the fork comes back to "
            f"{number(comes_back_to(done), 'mm')} mm before it is hit again, works at "
            f"{number(felt['ride_height'], 'mm')} mm on average and {ending(done)}. The hardest hit on the bars is "
            f"{felt['harshness']:.0f} m/s² and they are thrown up with {felt['kick']:.1f} m/s.")


PACKING = Declared(
    id="packing", title="Packing", view=view_packing, axes=_axes(FIRST),
    controls=(Choice("row", "Row of whoops", WORDS, FIRST), REBOUND, replace(RATE, low=3.4, high=4.6, step=0.1)))
