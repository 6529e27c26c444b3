"""Panels on the quarter vehicle with straight-line laws: where it resonates, and what damping trades."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.machine.riding import vehicle
from suspedu.ride.linear import (
    LinearVehicle,
    comfort_damping,
    damping_ratio,
    invariant_points,
    natural_frequencies,
    responses,
    white_noise_intensity,
    white_noise_variances,
)
from suspedu.ride.roughness import mean_roughness
from suspedu.show.panel import Panel
from suspedu.show.panels.rides.riding import ridden_machine
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import to_si

RATE = Control("rate", "Rate at the wheel", "N/mm", 6, 20, 0.2, 12.4, "more = stiffer springs")
DAMPING = Control("damping", "Damping at the wheel", "N*s/m", 200, 4000, 20, 1480, "more = slower, both ways")
WHEEL = Control("unsprung_mass", "Unsprung mass", "kg", 10, 20, 0.5, 15, "wheel, axle, brake, sliding tubes")
BODY = Control("sprung_mass", "Sprung mass on the front", "kg", 60, 95, 1, 75, "machine and rider")
# less damping than here, or more, and the peaks would squash every other curve
CONTROLS_QUARTER_VEHICLE = (BODY, WHEEL, replace(RATE, high=16), replace(DAMPING, low=800, high=3000))
FREQUENCIES = np.geomspace(0.3, 50.0, 240)
TENS = ((0.5, "0.5"), (1, "1"), (2, "2"), (5, "5"), (10, "10"), (20, "20"), (50, "50"))
AXES_QUARTER_VEHICLE = (
    Axes("bumps per second [1/s]", "acceleration over ground's velocity [1/s]", (0.3, 50), (0, 70), "What you feel",
         xscale="log", xticks=TENS),
    Axes("bumps per second [1/s]", "tyre load over ground's height [N/mm]", (0.3, 50), (0, 320), "What the tyre does",
         xscale="log", xticks=TENS),
)  # fmt: skip


def straight_vehicle(sprung_mass, unsprung_mass, rate, damping) -> LinearVehicle:
    """The school enduro's front with straight-line laws: masses [kg], rate [N/mm] and damping [N s/m] at the wheel.

    >>> straight_vehicle(75, 15, 12.4, 1480).rate
    12400.0
    """
    tyre = vehicle(ridden_machine()).tyre
    return LinearVehicle(sprung_mass, unsprung_mass, to_si(rate, "N/mm"), damping, tyre.rate)


def view_quarter_vehicle(sprung_mass, unsprung_mass, rate, damping) -> View:
    """Response over frequency for masses [kg], rate [N/mm] and damping [N s/m] at the wheel."""
    front = straight_vehicle(sprung_mass, unsprung_mass, rate, damping)
    answer, circle = responses(FREQUENCIES, front), 2 * np.pi * FREQUENCIES
    felt = circle * np.abs(answer["sprung"])  # |acceleration/ground velocity| = w^2 |z|/(w |h|)
    tyre, (body, wheel) = np.abs(answer["tyre"]) / 1e3, natural_frequencies(front)
    fixed = invariant_points(front)["acceleration"]
    items = (
        Curve("felt", FREQUENCIES, felt, 0, "main"),
        Mark("fixed", fixed[0], fixed[1], "fixed point", 0, "second"),
        Mark("body", body, float(np.interp(body, FREQUENCIES, felt)), "body", 0, "ink"),
        Curve("tyre", FREQUENCIES, tyre, 1, "main"),
        Mark("wheel", wheel, float(np.interp(wheel, FREQUENCIES, tyre)), "wheel hop", 1, "ink"),
    )
    return View(items, _numbers(front, fixed), _sentence(front, fixed))


def _numbers(front: LinearVehicle, fixed) -> tuple:
    body, wheel = natural_frequencies(front)
    return (("Body swings at", f"{body:.2f} Hz"), ("Wheel hops at", f"{wheel:.1f} Hz"),
            ("Damping ratio of the body", f"{damping_ratio(front):.2f} of critical"),
            ("Fixed point", f"{fixed[1]:.1f} 1/s"), ("Fixed point at", f"{fixed[0]:.1f} Hz"))


def _sentence(front: LinearVehicle, fixed) -> str:
    body, wheel = natural_frequencies(front)
    ratio = damping_ratio(front)
    manner = "swings on after a bump" if ratio < 0.4 else "comes back once and stays" if ratio < 1 else "creeps back"
    return (f"The body swings {body:.1f} times a second on its springs and {manner}; the wheel hops {wheel:.1f} times "
            f"a second between spring and tyre. At {fixed[0]:.1f} Hz no spring and no damper changes what you feel: "
            "only the tyre and the masses do.")


def quarter_vehicle(**start) -> Panel:
    """The panel of the front's answer to bumps of each frequency; start values by name."""
    return Panel(view_quarter_vehicle, CONTROLS_QUARTER_VEHICLE, AXES_QUARTER_VEHICLE, title="The quarter vehicle",
                 start=start)


CONTROLS_DAMPING_COMPROMISE = (DAMPING, RATE, WHEEL,
                               Control("speed", "Riding speed", "km/h", 10, 60, 1, 30, "over rough ground of class C"))
AXES_DAMPING_COMPROMISE = (
    Axes("damping at the wheel [N s/m]", "against the best [%]", (0, 4000), (0, 150), "Three wishes, three dampings"),
    Axes("shake of the chassis [m/s2]", "swing of the tyre's load [N]", (0, 6), (0, 700), "Comfort against grip"),
)  # fmt: skip
SWEEP = np.linspace(DAMPING.low, DAMPING.high, 196)
WISHES = {"acceleration": ("main", "comfort"), "tyre": ("second", "grip"), "travel": ("third", "travel")}


def view_damping_compromise(damping, rate, unsprung_mass, speed) -> View:
    """R.m.s. of comfort, grip and travel over damping [N s/m], for a rate [N/mm], unsprung mass [kg], speed [km/h]."""
    at = {c: straight_vehicle(BODY.start, unsprung_mass, rate, c) for c in (*SWEEP, damping)}
    ground = white_noise_intensity(mean_roughness("C"), to_si(speed, "km/h"))
    found = {c: {k: v**0.5 for k, v in white_noise_variances(front, ground).items()} for c, front in at.items()}
    table = {wish: np.array([found[c][wish] for c in SWEEP]) for wish in WISHES}
    now, least = found[damping], {wish: values.min() for wish, values in table.items()}
    items = (
        *(Curve(wish, SWEEP, _within(100 * (table[wish] / least[wish] - 1)), 0, *style)
          for wish, style in WISHES.items()),
        Curve("here", np.full(2, damping), np.array([0.0, 150.0]), 0, "limit"),
        Curve("trade", table["acceleration"], table["tyre"], 1, "main", margin=False),
        *_ends(table),
        Mark("now", now["acceleration"], now["tyre"], "now", 1, "ink"),
    )
    return View(items, _wishes(now, at[damping], table), _compromise(now, least, at[damping], table))


def _within(values) -> np.ndarray:
    return np.where(values <= 150.0, values, np.nan)


def _ends(table):
    """The two ends of the trade-off: most comfort and most grip."""
    for name, wish in (("most comfort", "acceleration"), ("most grip", "tyre")):
        best = int(np.argmin(table[wish]))
        yield Mark(name, table["acceleration"][best], table["tyre"][best], name, 1, "second")


def _wishes(now, front: LinearVehicle, table) -> tuple:
    grip = SWEEP[np.argmin(table["tyre"])]
    return (("Shake, r.m.s.", f"{now['acceleration']:.2f} m/s2"), ("Tyre load swing, r.m.s.", f"{now['tyre']:.0f} N"),
            ("Travel, r.m.s.", f"{now['travel'] * 1e3:.1f} mm"),
            ("Most comfort at", f"{comfort_damping(front):.0f} N s/m"), ("Most grip at", f"{grip:.0f} N s/m"))


def _compromise(now, least, front: LinearVehicle, table) -> str:
    cost = {wish: 100 * (now[wish] / least[wish] - 1) for wish in WISHES}
    side = "above both" if front.damping > SWEEP[np.argmin(table["tyre"])] else (
        "below both" if front.damping < comfort_damping(front) else "between the two")
    return (f"This damping costs {cost['acceleration']:.0f} % of comfort and {cost['tyre']:.0f} % of grip against the "
            f"best of each. It lies {side}, and more damping always uses less travel: none is best for all three.")


def damping_compromise(**start) -> Panel:
    """The panel of comfort, grip and travel over damping; start values by name."""
    return Panel(view_damping_compromise, CONTROLS_DAMPING_COMPROMISE, AXES_DAMPING_COMPROMISE,
                 title="What damping trades", start=start)
