"""Panels on the end of the stroke: what the hydraulic stop takes up, and how it fills again."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from suspedu.damper.end_stop import refill_limit, refill_share, stop_drops, stop_work
from suspedu.machine import load
from suspedu.machine.forces import force_split
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import REBOUND, leg_forces, newtons, set_damper, warm_fluid
from suspedu.show.view import Axes, Control, Curve, Mark, View, band
from suspedu.units import STANDARD_GRAVITY

STROKES = np.linspace(0.2, 0.3, 101)
LANDINGS = np.linspace(0.0, 5.0, 41)
CONTROLS_END_STOP = (
    Control("velocity", "Velocity of the leg", "m/s", 0.1, 5, 0.1, 2, "held over the last 100 mm"),
    Control("gap", "Gap round the rod piston", "mm", 0.03, 0.25, 0.01, 0.08, "more = softer"),
    Control("zone", "Length of the stop zone", "mm", 20, 80, 5, 50, "more = begins earlier"),
    Control("shims", "Face shims of the stop", "", 1, 4, 1, 2, "more = stiffer at high speed"),
)
AXES_END_STOP = (
    Axes("stroke [mm]", "force of both legs [N]", (200, 300), (0, 10000), "The last 100 mm"),
    Axes("velocity of the leg [m/s]", "work taken up in the zone [J]", (0, 5), (0, 500), "Work of both stops"),
)


@lru_cache(maxsize=4096)
def stopped(gap: float, zone: float, shims: int):
    """The school's cartridge with another end stop: gap, zone [mm], face shims."""
    damper = set_damper()
    stop = damper.end_stop
    port = stop.valve.ports[0]
    stack = replace(port.stack, shims=(port.stack.shims[0],) * shims + port.stack.shims[2:])  # built with two
    valve = replace(stop.valve, leak=replace(stop.valve.leak, gap=gap / 1e3), ports=(replace(port, stack=stack),))
    return replace(damper, end_stop=replace(stop, valve=valve, zone=zone / 1e3))


@lru_cache(maxsize=1)
def _springs() -> np.ndarray:
    """Coils, air, cartridge gas and bumpers of both legs over STROKES [N]."""
    return force_split(load("enduro"), STROKES, None).total


def view_end_stop(velocity, gap, zone, shims) -> View:
    """Force over the last of the stroke at a velocity [m/s], and the end stop's work, for gap, zone [mm] and shims."""
    damper = stopped(gap, zone, int(shims))
    stop, fluid = damper.end_stop, warm_fluid(damper)
    leg = leg_forces(STROKES, velocity, damper)
    now = 2.0 * float(stop_work(velocity, stop, fluid))
    inside = stop.start <= STROKES
    stored = float(np.trapezoid(_springs()[inside], STROKES[inside]))
    items = (
        *_stop_forces(leg),
        Curve("works", LANDINGS, 2.0 * stop_work(LANDINGS, stop, fluid), 1, "second"),
        Mark("here", velocity, now, f"{now:.0f} J", 1, "second"),
    )
    slow = 2.0 * stop.area * float(stop_drops(0.2, stop, fluid)[0])
    return View(items, _stop_numbers(leg, now, stored, slow), _stop_sentence(velocity, zone, now, stored))


def _stop_forces(leg) -> tuple:
    """Springs, valves and end stop on top of each other over STROKES, both legs."""
    mm, springs = STROKES * 1e3, _springs()
    damped = springs + 2.0 * leg.damping_force
    whole = damped + 2.0 * leg.stop_force
    return (
        band("stop part", mm, damped, whole, axes=0, role="second", tint=0.3),
        Curve("springs", mm, springs, 0, "third", "springs"),
        Curve("damped", mm, damped, 0, "main", "and valves"),
        Curve("whole", mm, whole, 0, "second", "and stop"),
    )


def _stop_numbers(leg, work, stored, slow) -> tuple:
    return (
        ("Force of both end stops, at the end", newtons(2.0 * leg.stop_force[-1])),
        ("Pressure in the cup", f"{float(leg.cup[-1]) / 1e5:.0f} bar abs"),
        ("Work of the end stops over the zone", f"{work:.0f} J"),
        ("Work of springs and air over the zone", f"{stored:.0f} J"),
        ("End stop at 0.2 m/s", newtons(slow)),
    )


def _stop_sentence(velocity, zone, work, stored) -> str:
    mass = work / STANDARD_GRAVITY
    return (
        f"At {velocity:g} m/s the two stops take {work:.0f} J out over the last {zone:g} mm, as if a mass of "
        f"{mass:.0f} kg were caught from one metre; springs and air store {stored:.0f} J there and give it back. "
        "Before those last millimetres the rider feels nothing of them."
    )


def end_stop(**start) -> Panel:
    """The panel of the hydraulic stop at the end of the stroke; start values by name."""
    return Panel(view_end_stop, CONTROLS_END_STOP, AXES_END_STOP, title="The last millimetres", start=start)


BACK = np.linspace(0.1, 4.0, 21)
CONTROLS_REFILL = (
    Control("hole", "Refill holes, four of", "mm", 1, 5, 0.1, 4, "bigger = fills more easily"),
    Control("fastest", "Fastest rebound to allow for", "m/s", 1, 4, 0.1, 2.5),
    REBOUND,
    Control("charge", "Charge of the cartridge", "bar", 0, 4, 0.2, 1.8, "gauge"),
)
AXES_REFILL = (
    Axes("speed of coming back [m/s]", "share of the rebound force [%]", (0, 4), (0, 20), "How much it holds down"),
    Axes("speed of coming back [m/s]", "absolute pressure [bar]", (0, 4), (-0.3, 6), "In the cup"),
)


def view_refill(hole, fastest, rebound, charge) -> View:
    """How far the refilling cup holds the fork down, and its pressure, for holes [mm], clicks out, charge [bar]."""
    damper = bored(hole, int(rebound), charge)
    stop, fluid, ring = damper.end_stop, warm_fluid(damper), damper.piston_area - damper.displaced_area
    shares = 100.0 * refill_share(stop, BACK, damper.rebound, ring, fluid)
    around = leg_forces(stop.full_stroke, -BACK, damper).compression_chamber
    cup = np.maximum(around - stop_drops(-BACK, stop, fluid)[1], fluid.vapour_pressure)
    limit, why = smallest_holes(fastest, int(rebound), charge)
    share, pressure = (float(np.interp(fastest, BACK, curve)) for curve in (shares, cup / 1e5))
    numbers = (
        ("Share of the rebound force", f"{share:.1f} %"),
        ("Pressure in the cup", f"{pressure:.2f} bar"),
        ("Smallest holes that will do", f"{limit * 1e3:.1f} mm"),
        ("What sets them", "its force" if why == "force" else "cavitation"),
        ("Rebound force it is measured by", newtons(-float(leg_forces(0.15, -fastest, damper).damping_force))),
    )
    items = _refill_items(fastest, shares, around / 1e5, cup / 1e5, share, pressure)
    return View(items, numbers, _refill_sentence(hole, fastest, share, limit * 1e3, why))


def bored(hole, rebound: int, charge):
    """The school's cartridge with other refill holes [mm], rebound clicks out and charge [bar]."""
    damper = set_damper(rebound=rebound)
    stop = damper.end_stop
    stop = replace(stop, refill=replace(stop.refill, diameter=hole / 1e3))
    return replace(damper, end_stop=stop, pressuriser=replace(damper.pressuriser, charge=charge * 1e5))


@lru_cache(maxsize=1024)
def smallest_holes(fastest, rebound: int, charge) -> tuple[float, str]:
    """Smallest refill holes [m] up to a speed [m/s], and what sets them: it binds at the fastest."""
    damper = bored(CONTROLS_REFILL[0].start, rebound, charge)
    used, ring = np.array([fastest / 2.0, fastest]), damper.piston_area - damper.displaced_area
    around = leg_forces(damper.end_stop.full_stroke, -used, damper).compression_chamber
    return refill_limit(damper.end_stop, used, damper.rebound, ring, warm_fluid(damper), base_pressure=around)


def _refill_items(fastest, shares, around, cup, share, pressure) -> tuple:
    return (
        Curve("five", np.array([0.0, 4.0]), np.full(2, 5.0), 0, "limit", "5 %"),
        Curve("share", BACK, shares, 0, "main"),
        Mark("here", fastest, share, f"{share:.1f} %"),
        Curve("asked", np.full(2, fastest), np.array([0.0, 20.0]), 0, "limit"),
        Curve("around", BACK, around, 1, "third", "outside"),
        Curve("cup", BACK, cup, 1, "main", "in the cup"),
        Mark("cup here", fastest, pressure, f"{pressure:.1f} bar", 1),
    )


def _refill_sentence(hole, fastest, share, limit, why) -> str:
    held = f"hold the fork down with {share:.1f} % of the rebound force"
    start = f"Up to {fastest:g} m/s four holes of {hole:g} mm {held}"
    if hole >= limit:
        return f"{start}, and {limit:.1f} mm would still do: the rider does not feel the stop on the way back."
    trouble = "the cup holds the fork down like a hand" if why == "force" else "the oil in the cup tears"
    return f"{start}, but holes below {limit:.1f} mm are too small: {trouble}."


def refill(**start) -> Panel:
    """The panel of the cup that fills again; start values by name."""
    return Panel(view_refill, CONTROLS_REFILL, AXES_REFILL, title="And back again", start=start)
