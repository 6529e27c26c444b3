"""Panels on the two compression valves: what each clicker reaches, and how far the mid-valve may be taken."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from suspedu.damper import opening_speeds
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import (
    CARTRIDGE,
    HIGH,
    LOW,
    leg_forces,
    newtons,
    point,
    school_leg,
    set_damper,
    with_port,
)
from suspedu.show.view import Axes, Control, Curve, Mark, View, band

PLACE = 0.15  # m of stroke: the damping does not depend on it
READ = SLOW, CHOP, EDGE, LANDING = 0.05, 0.25, 1.0, 3.0  # m/s at which forces are read
SPEEDS = np.concatenate([[0.0], np.geomspace(0.005, 4.0, 72)])
CONTROLS_BASE_VALVE = (LOW, HIGH)
PATHS = {"needle": ("second", "needle"), "low-speed": ("main", "low-speed"), "high-speed": ("third", "high-speed")}
AXES_BASE_VALVE = (
    Axes("velocity of the leg [m/s]", "compression of one leg [N]", (0, 1.2), (0, 480), "Damping force"),
    Axes("velocity of the leg [m/s]", "share of the base valve's oil [%]", (0.01, 4), (0, 100), "Where the oil goes",
         xscale="log", xticks=((0.01, "0.01"), (0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"), (3, "3"))),
)  # fmt: skip


def view_base_valve(compression_low, compression_high) -> View:
    """Compression of one leg over velocity for both clickers [clicks out], and the base valve's shares of flow."""
    force, shares, opens = _base_table(int(compression_low), int(compression_high))
    edges = np.cumsum([np.zeros_like(SPEEDS), *(shares[name] for name in PATHS)], axis=0)
    moving = SPEEDS > 0
    items = (
        Curve("force", SPEEDS, force, 0, "main"),
        *(Mark(f"opens {name}", speed, float(np.interp(speed, SPEEDS, force)), f"{name} open", 0, PATHS[name][0])
          for name, speed in opens.items()),
        *(band(f"share {name}", SPEEDS[moving], low[moving], high[moving], axes=1, role=PATHS[name][0], tint=0.3)
          for name, low, high in zip(PATHS, edges[:-1], edges[1:], strict=True)),
        *(Curve(f"edge {name}", SPEEDS[moving], (low + high)[moving] / 2, 1, PATHS[name][0], PATHS[name][1], 0.01)
          for name, low, high in zip(PATHS, edges[:-1], edges[1:], strict=True)),
    )  # fmt: skip
    return View(items, _base_numbers(force, opens), _base_sentence(force, compression_low, compression_high))


@lru_cache(maxsize=600)
def _base_table(low: int, high: int):
    """Damping force [N] over SPEEDS, shares of the base valve's paths [%], speeds at which its stacks open [m/s]."""
    damper = set_damper(compression_low=low, compression_high=high)
    states = point(PLACE, SPEEDS, damper)
    shares = {name: 100.0 * states.valves["base"].paths[name].share for name in PATHS}
    fitted = school_leg().damper
    found = dict(opening_speeds(damper, fitted.oil, fitted.oil_temperature))
    opens = {name: found[f"base valve: {name} stack"] for name in ("low-speed", "high-speed")}
    return states.leg.damping_force, shares, opens


@lru_cache(maxsize=4)
def _middle_force() -> np.ndarray:
    return _base_table(int(LOW.start), int(HIGH.start))[0]


def _at(force, speed) -> float:
    return float(np.interp(speed, SPEEDS, force))


def _base_numbers(force, opens) -> tuple:
    return (
        *((f"Force at {speed:g} m/s", newtons(_at(force, speed))) for speed in READ),
        ("Low-speed shims open at", f"{opens['low-speed']:.2f} m/s"),
        ("High-speed shims open at", f"{opens['high-speed']:.2f} m/s"),
    )


def _base_sentence(force, low, high) -> str:
    change = {speed: 100.0 * (_at(force, speed) / _at(_middle_force(), speed) - 1.0) for speed in READ}
    start = f"{low:g} clicks out at low speed and {high:g} at high speed"
    if max(map(abs, change.values())) < 0.5:
        return f"{start}: the school's setting, with which the others are compared."
    told = ", ".join(f"{value:+.0f} % at {speed:g} m/s" if abs(value) >= 0.5 else f"the same at {speed:g} m/s"
                     for speed, value in change.items())
    feel = _feel(change[CHOP], "holds the front up", "lets the front dive", "dives as before")
    edges = _feel(change[EDGE], "is harsher on square edges", "is kinder to square edges", "meets edges as before")
    return f"{start}: against the school's setting the force is {told}. It {feel} and {edges}."


def _feel(change, harder, softer, same) -> str:
    return harder if change > 2.0 else (softer if change < -2.0 else same)


def base_valve(**start) -> Panel:
    """The panel of the base valve and its two clickers; start values by name."""
    return Panel(view_base_valve, CONTROLS_BASE_VALVE, AXES_BASE_VALVE, title="Two clickers, one valve", start=start)


FLOAT = Control("float_gap", "Float of the mid-valve", "mm", 0.05, 0.6, 0.05, 0.15, "more = the shims bite later")
SHIMS = Control("face_shims", "Face shims of the mid-valve", "", 1, 8, 1, 3, "more = stiffer once the float is used up")
CHARGE = Control("charge", "Charge of a closed cartridge", "bar", 0, 4, 0.2, 1.8, "gauge; more = later to tear")
CONTROLS_MID_VALVE = (CARTRIDGE, FLOAT, SHIMS, LOW, HIGH, CHARGE)
FORCE_LIMIT, CHAMBER = 2400, (-0.8, 16)
AXES_MID_VALVE = (
    Axes("velocity of the leg [m/s]", "compression of one leg [N]", (0, 4), (0, FORCE_LIMIT), "Who carries the force"),
    Axes("velocity of the leg [m/s]", "absolute pressure [bar]", (0, 4), CHAMBER, "Above the piston"),
)


def mid_damper(cartridge, float_gap, face_shims, low, high, charge):
    """The school's cartridge with another mid-valve and charge: float [mm], shims, clicks out, charge [bar]."""
    damper = set_damper(cartridge, compression_low=low, compression_high=high)
    port = damper.mid.ports[-1]
    face, taper = port.stack.shims[0], port.stack.shims[3:]  # built with three face shims
    stack = replace(port.stack, shims=(face,) * int(face_shims) + taper)
    damper = with_port(damper, "mid", stack=stack, floating=replace(port.floating, gap=float_gap / 1e3))
    if cartridge == "closed cartridge":
        damper = replace(damper, pressuriser=replace(damper.pressuriser, charge=charge * 1e5))
    return damper


MID_SPEEDS = np.concatenate([[0.0], np.geomspace(0.02, 4.0, 59)])


def view_mid_valve(cartridge, float_gap, face_shims, compression_low, compression_high, charge) -> View:
    """Base and mid-valve's parts of the compression over velocity, and the pressure above the piston."""
    damper = mid_damper(cartridge, float_gap, face_shims, compression_low, compression_high, charge)
    leg = leg_forces(PLACE, MID_SPEEDS, damper)
    ring = damper.piston_area - damper.displaced_area
    mid = (leg.compression_chamber - leg.rebound_chamber) * ring
    whole, bars = leg.damping_force, leg.rebound_chamber / 1e5
    held = np.where(leg.cavitating, np.nan, bars)
    void = leg.cavitating | np.append(leg.cavitating[1:], False)  # from the last whole point on
    torn = np.where(void, bars, np.nan)
    none = np.zeros_like(whole)
    items = (
        band("base part", MID_SPEEDS, none, whole - mid, axes=0, role="second", tint=0.3),
        band("mid part", MID_SPEEDS, whole - mid, whole, axes=0, role="third", tint=0.3),
        Curve("base", MID_SPEEDS, whole - mid, 0, "second", "base"),
        Curve("whole", MID_SPEEDS, whole, 0, "main", "whole"),
        Curve("vacuum", np.array([0.0, 4.0]), np.zeros(2), 1, "limit"),
        Curve("reservoir", MID_SPEEDS, leg.reservoir / 1e5 + none, 1, "limit", "at rest"),
        Curve("held", MID_SPEEDS, held, 1, "main"),
        Curve("torn", MID_SPEEDS, torn, 1, "second", "torn" if leg.cavitating.any() else "", margin=False),
    )
    return View(items, *_mid_told(leg, mid, whole))


def _mid_told(leg, mid, whole) -> tuple:
    tears = float(MID_SPEEDS[np.argmax(leg.cavitating)]) if leg.cavitating.any() else None
    share = 100.0 * mid[1:] / whole[1:]
    read = {speed: float(np.interp(speed, MID_SPEEDS, whole)) for speed in (CHOP, EDGE, LANDING)}
    lowest = float(np.min(leg.margin)) / 1e5
    numbers = (
        *((f"Force at {speed:g} m/s", newtons(force)) for speed, force in read.items()),
        ("Mid-valve's share at 1 m/s", f"{float(np.interp(1.0, MID_SPEEDS[1:], share)):.0f} %"),
        ("Lowest margin to cavitation", f"{max(lowest, 0.0):.2f} bar"),
        ("The oil tears at", "not below 4 m/s" if tears is None else f"{tears:.1f} m/s"),
    )
    return numbers, _mid_sentence(float(np.interp(3.0, MID_SPEEDS[1:], share)), lowest, tears, read)


def _mid_sentence(share, lowest, tears, read) -> str:
    force = newtons(read[LANDING])
    start = f"At 3 m/s the leg sets {force} against a landing, {share:.0f} % of it from the mid-valve; "
    if tears is not None:
        return start + (f"but from {tears:.1f} m/s the oil above the piston is torn, a void opens, and what the rider "
                        "feels is a hole in the stroke and a knock on the way back.")  # fmt: skip
    least = "far from tearing" if lowest > 2.0 else "close to tearing"
    return start + f"the pressure above the piston never falls below {lowest:.1f} bar, {least}: base and mid are " + (
        "balanced." if lowest > 2.0 else "at the edge of their balance.")  # fmt: skip


def mid_valve(**start) -> Panel:
    """The panel of the mid-valve, its float, and the balance with the base valve; start values by name."""
    return Panel(view_mid_valve, CONTROLS_MID_VALVE, AXES_MID_VALVE, title="How much mid-valve?", start=start)
