"""Panel on the mid-valve: how far it may be taken, its float, and the balance with the base valve."""

from __future__ import annotations

import numpy as np

from suspedu.school.legs import face_count, set_damper
from suspedu.school.valves import LANDING, MID_SPEEDS, MidValveTest, mid_damper, mid_valve_test
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import CARTRIDGE, CHARGE, HIGH, LOW, slider
from suspedu.show.panels.words import newtons, number, percent, with_unit
from suspedu.show.view import Axes, Control, Curve, View, band
from suspedu.units import from_si, to_si

CHOP, EDGE, HARD = 0.25, 1.0, 3.0  # m/s at which forces are read
SPAN = f"{LANDING:g} to {MID_SPEEDS[-1]:g} m/s"
FLOAT = slider("mid_float", name="float_gap")
BUILT = face_count(set_damper().mid.ports[-1].stack)
SHIMS = Control("face_shims", "Face shims of the mid-valve", "", 1, BUILT + 5, 1, BUILT,
                "more = stiffer once the float is used up")


def view_mid_valve(cartridge, float_gap, face_shims, compression_low, compression_high, charge) -> View:
    """Base and mid-valve's parts of the compression over velocity, and the pressure above the piston."""
    test = mid_valve_test(mid_damper(cartridge, to_si(float_gap, "mm"), int(face_shims), int(compression_low),
                                     int(compression_high), to_si(charge, "bar")))
    whole, base, bars = test.whole.y, test.whole.y - test.mid.y, from_si(test.above, "bar")
    items = (
        band("base part", MID_SPEEDS, np.zeros_like(whole), base, axes=0, role="second", tint=0.3),
        band("mid part", MID_SPEEDS, base, whole, axes=0, role="third", tint=0.3),
        Curve("base", MID_SPEEDS, base, 0, "second", "base"),
        Curve("whole", MID_SPEEDS, whole, 0, "main", "whole"),
        Curve("vacuum", MID_SPEEDS[[0, -1]], np.zeros(2), 1, "limit"),
        Curve("reservoir", MID_SPEEDS, from_si(test.reservoir, "bar"), 1, "limit", "at rest"),
        Curve("held", MID_SPEEDS, np.where(_reached(test.held), bars, np.nan), 1, "main"),
        Curve("torn", MID_SPEEDS, np.where(test.void, bars, np.nan), 1, "second", "" if test.held.all() else "torn",
              margin=False),
    )
    return View(items, _numbers(test), _sentence(test))


def _reached(held: np.ndarray) -> np.ndarray:
    """Where the oil is whole, and the first place where it is not: there the other line begins."""
    return held | np.append(True, held[:-1])


def _numbers(test: MidValveTest) -> tuple:
    tears = test.tears_at
    return (
        *((f"Force at {speed:g} m/s", newtons(test.whole.at(speed))) for speed in (CHOP, EDGE, HARD)),
        ("Mid-valve's share at 1 m/s", f"{percent(test.share.at(1.0))} %"),
        (f"Lowest margin to cavitation, {SPAN}", with_unit(max(test.margin, 0.0), "bar", 2)),
        ("The oil tears at", f"not below {MID_SPEEDS[-1]:g} m/s" if tears is None else f"{tears:.1f} m/s"),
    )


def _sentence(test: MidValveTest) -> str:
    start = (f"At 3 m/s the leg sets {newtons(test.whole.at(HARD))} against a landing, "
             f"{percent(test.share.at(HARD))} % of it from the mid-valve; ")  # fmt: skip
    if test.tears_at is not None:
        return start + (f"but from {test.tears_at:.1f} m/s the oil above the piston is torn, a void opens, and what "
                        "the rider feels is a hole in the stroke and a knock on the way back.")  # fmt: skip
    least, balance = ("far from", "balanced.") if test.easy else ("close to", "at the edge of their balance.")
    return start + (f"from {SPAN} the pressure above the piston never falls below {number(test.margin, 'bar', 1)} bar, "
                    f"{least} tearing: base and mid are {balance}{_slowly(test)}")  # fmt: skip


def _slowly(test: MidValveTest) -> str:
    """The dip of slow motion, told for what it is."""
    if test.dip is None:
        return ""
    speed, pressure = test.dip
    return (f" The dip to {number(pressure, 'bar', 1)} bar at {speed:.2f} m/s is the float's spring, which lifts "
            "before the base valve presses; it passes as the leg gets faster.")  # fmt: skip


MID_VALVE = Declared(
    id="mid-valve", title="How much mid-valve?", view=view_mid_valve, gaps=("held", "torn"), inside=("whole",),
    controls=(CARTRIDGE, FLOAT, SHIMS, LOW, HIGH, CHARGE),
    axes=(Axes("velocity of the leg [m/s]", "compression of one leg [N]", (0, 6), (0, 3400), "Who carries the force"),
          Axes("velocity of the leg [m/s]", "absolute pressure [bar]", (0, 6), (-1, 30),
               "Above the piston")))  # fmt: skip
