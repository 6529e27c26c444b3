"""Panel: explain this point. For any stroke, velocity and setting, the cartridge cut open beside its force."""

from __future__ import annotations

import numpy as np

from suspedu.damper.explain import VALVE_WORDS, Explanation
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.cutaway_picture import BASE, GUIDE, PISTON, THICK, cutaway_picture, piston_height
from suspedu.show.panels.damper.damper_setting import (
    CARTRIDGE,
    HIGH,
    LOW,
    REBOUND,
    SPEED,
    STROKE,
    leg_forces,
    newtons,
    point,
    school_leg,
    set_damper,
)
from suspedu.show.view import Axes, Curve, Mark, View, box

CONTROLS_CUTAWAY = (CARTRIDGE, STROKE, SPEED, LOW, HIGH, REBOUND)
PICTURE = Axes("", "", (-59, 59), (-18, 146), "Cut open; absolute pressures", bare=True, share=1.25)
AXES_CUTAWAY = (
    PICTURE,
    Axes("velocity of the leg [m/s]", "force of one leg [N]", (-4, 4), (-2800, 3200), "All velocities at this stroke"),
)
SPEEDS = np.concatenate([-np.geomspace(4.0, 0.03, 24), [0.0], np.geomspace(0.03, 4.0, 24)])
SPOKEN = {"low-speed": "low-speed shims", "high-speed": "high-speed shims", "mid": "shims", "rebound": "shims"}
PATH_WORDS = {"mid": "shims", "rebound": "shims"}  # what stands beside the picture, where room is short
LINES = 5  # a valve's name and its paths


def view_cutaway(cartridge, stroke, velocity, compression_low, compression_high, rebound) -> View:
    """A cartridge at a stroke [mm] and velocity [m/s] for clicks out: picture, force and its parts."""
    damper = set_damper(cartridge, compression_low=compression_low, compression_high=compression_high, rebound=rebound)
    instant = point(stroke / 1e3, velocity, damper)
    curve = leg_forces(stroke / 1e3, SPEEDS, damper).force
    force = float(instant.leg.force)
    items = (
        *opened(instant, damper),
        Curve("force", SPEEDS, curve, 1, "main", margin=False),
        Mark("here", velocity, force, newtons(force), 1, "second"),
    )
    return View(items, force_numbers(instant), said(instant))


def opened(instant: Explanation, damper) -> tuple:
    """The cutaway of an instant with its words: shares of the streams on the left, pressures on the right."""
    travel = school_leg().travel
    foot, leg = piston_height(instant.stroke, travel), instant.leg
    pressures = {"above": ((foot + PISTON + GUIDE) / 2, leg.rebound_chamber),
                 "below": ((foot + BASE + THICK) / 2, leg.compression_chamber), "reservoir": (2.0, leg.reservoir)}
    closing = bool(instant.velocity > 0)
    return (
        *cutaway_picture(instant, damper, travel),
        *(_words(f"pressure {name}", 42.0, height, f"{name} {pressure / 1e5:.1f} bar")
          for name, (height, pressure) in pressures.items()),
        *_shares(instant, "piston", "mid" if closing else "rebound", foot + PISTON),
        *_shares(instant, "base", "base" if closing else "refill", BASE + THICK),
    )  # fmt: skip


def _words(name, x, y, text):
    return box(name, x - 1, y - 1, 2, 2, tint=None, edge=0.0, role="ink", label=text)


def _shares(instant: Explanation, place: str, key: str, top) -> tuple:
    """Shares of the paths of one valve, one to a line, the widest stream first; leaks below one per cent left out."""
    share = {PATH_WORDS.get(name, name): 100 * float(path.share) for name, path in instant.valves[key].paths.items()}
    lines = [f"{name} {share[name]:.0f} %" for name in sorted(share, key=share.get, reverse=True) if share[name] >= 1]
    lines = [VALVE_WORDS[key], *(lines or ["at rest"])]
    lines += [""] * (LINES - len(lines))
    return tuple(_words(f"{place} share {at}", -41.5, top - 7.0 * at, line) for at, line in enumerate(lines))


def force_numbers(instant: Explanation) -> tuple:
    """The force and its parts, and how far the oil is from tearing."""
    leg = instant.leg
    return (
        ("Force of one leg", newtons(leg.force)),
        ("Gas part", newtons(leg.gas_force)),
        ("Damping part", newtons(leg.damping_force)),
        ("End-stop part", newtons(leg.stop_force)),
        ("Pressure below less above the piston",
         f"{(float(leg.compression_chamber) - float(leg.rebound_chamber)) / 1e5 + 0.0:.1f} bar"),
        ("Margin to cavitation", f"{max(float(leg.margin), 0.0) / 1e5:.2f} bar"),
    )  # fmt: skip


def said(instant: Explanation) -> str:
    """An instant in plain words."""
    leg, speed = instant.leg, float(instant.velocity)
    where = f"{float(instant.stroke) * 1e3:.0f} mm deep"
    if speed == 0.0:
        return f"At rest, {where}, no oil moves: only the gas pushes on the rod, with {newtons(leg.gas_force)}."
    way = "closing" if speed > 0 else "coming back"
    start = f"{where[0].upper()}{where[1:]} and {way} at {round(abs(speed), 2):g} m/s"
    return f"{start}, {_busiest(instant)}. {_felt(leg, speed)}"


def _busiest(instant: Explanation) -> str:
    """Which path of the two valves at work carries most."""
    told = []
    for key in ("base", "mid") if instant.velocity > 0 else ("rebound", "refill"):
        share = {name: float(path.share) for name, path in instant.valves[key].paths.items()}
        name = max(share, key=share.get)
        told.append(f"{100 * share[name]:.0f} % of the {VALVE_WORDS[key]}'s oil goes by its {SPOKEN.get(name, name)}")
    return " and ".join(told)


def _felt(leg, speed) -> str:
    if leg.cavitating:
        lost = "the rider loses support" if speed > 0 else "the fork comes back half undamped"
        return (f"The oil is torn: a void opens, the force stays at {newtons(abs(leg.force))}, and {lost} until the "
                "void has closed again.")  # fmt: skip
    stop = f", {newtons(abs(leg.stop_force))} of it from the end stop" if abs(leg.stop_force) > 1 else ""
    whom = "Against the bump" if speed > 0 else "Against its own spring"
    return f"{whom} this leg sets {newtons(abs(leg.force))}{stop}."


def cutaway(**start) -> Panel:
    """The panel that explains any point of any curve of the school's cartridges; start values by name."""
    title = "Explain this point"
    return Panel(view_cutaway, CONTROLS_CUTAWAY, AXES_CUTAWAY, title=title, start=start, height=460)
