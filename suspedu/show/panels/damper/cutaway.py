"""Panel: explain this point. For any stroke, velocity and setting, the cartridge cut open beside its force."""

from __future__ import annotations

import numpy as np

from suspedu.damper import VALVE_WORDS, Damper, Explanation
from suspedu.school.legs import point, school_leg, set_damper
from suspedu.school.valves import force_over_velocity
from suspedu.show.declared import Declared
from suspedu.show.panels.damper.cutaway_picture import BASE, GUIDE, MAY_BE_EMPTY, PISTON, THICK, cutaway_picture
from suspedu.show.panels.damper.cutaway_places import CUP, STUB, piston_height
from suspedu.show.panels.setting import CARTRIDGE, HIGH, LOW, REBOUND
from suspedu.show.panels.words import millimetres, newtons, percent, with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, View, box
from suspedu.units import from_si, to_si

PICTURE = Axes("", "", (-64, 62), (-18, 146), "Cut open; absolute pressures", bare=True, share=1.25)
SPOKEN = {"low-speed": "low-speed shims", "high-speed": "high-speed shims", "mid": "shims", "rebound": "shims"}
PATH_WORDS = {"mid": "shims", "rebound": "shims"}  # what stands beside the picture, where room is short
LINES = 5  # a valve's name and its paths


def view_cutaway(cartridge, stroke, velocity, compression_low, compression_high, rebound) -> View:
    """A cartridge at a stroke [mm] and velocity [m/s] for clicks out: picture, force and its parts."""
    damper = set_damper(cartridge, compression_low=compression_low, compression_high=compression_high, rebound=rebound)
    return view_instant(point(to_si(stroke, "mm"), velocity, damper), damper)


def view_instant(instant: Explanation, damper: Damper) -> View:
    """Any damper at one instant: picture, its force among those of all velocities, and the parts of it."""
    curve, force = force_over_velocity(float(instant.stroke), damper), float(instant.leg.force)
    items = (
        *opened(instant, damper),
        Curve("force", curve.x, curve.y, 1, "main", margin=False),
        Mark("here", float(instant.velocity), force, newtons(force), 1, "second"),
    )
    return View(items, _force_numbers(instant), said(instant))


def opened(instant: Explanation, damper: Damper) -> tuple:
    """The cutaway of an instant with its words: shares of the streams on the left, pressures on the right."""
    travel, leg = school_leg().travel, instant.leg
    foot = piston_height(instant.stroke, travel)
    pressures = {"above": ((foot + PISTON + GUIDE) / 2, leg.rebound_chamber),
                 "below": ((foot + BASE + THICK) / 2, leg.compression_chamber), "reservoir": (2.0, leg.reservoir)}
    closing = bool(instant.velocity > 0)
    return (
        *cutaway_picture(instant, damper, travel),
        *(_words(f"pressure {name}", 44.0, height, f"{name} {with_unit(pressure, 'bar', 1)}")
          for name, (height, pressure) in pressures.items()),
        *_shares(instant, "piston", "mid" if closing else "rebound", foot + PISTON),
        *_shares(instant, "base", "base" if closing else "refill", BASE + THICK),
        *(_leader(name, (24.5, height), (15.0, height)) for name, (height, _) in pressures.items()),
        _leader("piston", (-28.5, foot + PISTON - 1.0), (-18.0, foot + PISTON / 2)),
        _leader("base valve", (-28.5, BASE + THICK - 1.0), (-18.0, BASE + THICK / 2)),
        *_stop_named(foot, pressures["below"][0], damper),
    )  # fmt: skip


def _leader(name: str, start, end) -> Curve:
    """A thin line from words to the part that they name."""
    return Curve(f"leader {name}", *np.column_stack([start, end]).astype(float), 0, "ink", width=0.6, margin=False)


def _stop_named(foot: float, below: float, damper: Damper) -> tuple:
    """The name of the end stop's piston and its line, clear of the words below it; nothing without an end stop."""
    height = foot - STUB + 2.0
    words = max(height, below + 10.0)
    at = np.nan if damper.end_stop is None else height
    return (_words("end stop name", 40.0, words, "" if damper.end_stop is None else "end stop"),
            _leader("end stop", (30.0, words), (CUP - 3.0, at)))


def _words(name, x, y, text):
    return box(name, x - 1, y - 1, 2, 2, tint=None, edge=0.0, role="ink", label=text, folds=False)


def _shares(instant: Explanation, place: str, key: str, top) -> tuple:
    """Shares of the paths of one valve, one to a line, the widest stream first; leaks below one per cent left out."""
    share = {PATH_WORDS.get(name, name): float(path.share) for name, path in instant.valves[key].paths.items()}
    told = [name for name in sorted(share, key=share.get, reverse=True) if share[name] >= 0.01]
    lines = [VALVE_WORDS[key], *([f"{name} {percent(share[name])} %" for name in told] or ["at rest"])][:LINES]
    lines += [""] * (LINES - len(lines))
    return tuple(_words(f"{place} share {at}", -44.0, top - 7.0 * at, line) for at, line in enumerate(lines))


def force_row(leg) -> tuple[str, str]:
    """Key number: the force of the leg."""
    return "Force of one leg", newtons(leg.force)


def stop_row(leg) -> tuple[str, str]:
    """Key number: what the end stop gives of it."""
    return "End-stop part", newtons(leg.stop_force)


def margin_row(leg) -> tuple[str, str]:
    """Key number: how far the oil is from tearing."""
    return "Margin to cavitation", with_unit(max(float(leg.margin), 0.0), "bar", 2)


def _force_numbers(instant: Explanation) -> tuple:
    leg = instant.leg
    below_less_above = float(leg.compression_chamber) - float(leg.rebound_chamber)
    return (force_row(leg), ("Gas part", newtons(leg.gas_force)), ("Damping part", newtons(leg.damping_force)),
            stop_row(leg), ("Pressure below less above the piston", with_unit(below_less_above, "bar", 1)),
            margin_row(leg))


def said(instant: Explanation) -> str:
    """An instant in plain words."""
    leg, speed = instant.leg, float(instant.velocity)
    where = f"{millimetres(instant.stroke)} deep"
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
        told.append(f"{percent(share[name])} % of the {VALVE_WORDS[key]}'s oil goes by its {SPOKEN.get(name, name)}")
    return " and ".join(told)


def _felt(leg, speed) -> str:
    if leg.cavitating:
        lost = "the rider loses support" if speed > 0 else "the fork comes back half undamped"
        return (f"The oil is torn: a void opens, the force stays at {newtons(abs(leg.force))}, and {lost} until the "
                "void has closed again.")  # fmt: skip
    stop = f", {newtons(abs(leg.stop_force))} of it from the end stop" if abs(leg.stop_force) > 1 else ""
    whom = "Against the bump" if speed > 0 else "Against its own spring"
    return f"{whom} this leg sets {newtons(abs(leg.force))}{stop}."


CUTAWAY = Declared(
    id="cutaway", title="Explain this point", height=460, view=view_cutaway, gaps=MAY_BE_EMPTY, inside=("force",),
    controls=(CARTRIDGE, Control("stroke", "Stroke", "mm", 0, from_si(school_leg().travel, "mm"), 5, 150,
                                 "from full extension"),
              Control("velocity", "Velocity of the leg", "m/s", -4, 4, 0.05, 1, "plus = compression, minus = rebound"),
              LOW, HIGH, REBOUND),
    axes=(PICTURE, Axes("velocity of the leg [m/s]", "force of one leg [N]", (-4, 4), (-2800, 3200),
                        "All velocities at this stroke")))  # fmt: skip
