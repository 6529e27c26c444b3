"""Panel on the quarter vehicle with straight-line laws: what is felt and what the tyre does at each frequency."""

from __future__ import annotations

from dataclasses import replace

from suspedu.school.quarter import FREQUENCIES, FrontResponse, front_response, straight_vehicle
from suspedu.show.declared import Declared
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

RATE = Control("rate", "Rate at the wheel", "N/mm", 6, 20, 0.2, 12.4, "more = stiffer springs")
DAMPING = Control("damping", "Damping at the wheel", "N*s/m", 200, 4000, 20, 1200, "more = slower, both ways")
WHEEL = Control("unsprung_mass", "Unsprung mass", "kg", 10, 20, 0.5, 15, "wheel, axle, brake, sliding tubes")
BODY = Control("sprung_mass", "Sprung mass on the front", "kg", 60, 95, 1, 75, "machine and rider")
TENS = ((0.5, "0.5"), (1, "1"), (2, "2"), (5, "5"), (10, "10"), (20, "20"), (50, "50"))
MANNERS = {"swings": "swings on after a bump", "returns": "comes back once and is still", "creeps": "creeps back"}


def view_quarter_vehicle(sprung_mass, unsprung_mass, rate, damping) -> View:
    """Response over frequency for masses [kg], rate [N/mm] and damping [N s/m] at the wheel."""
    found = front_response(straight_vehicle(sprung_mass, unsprung_mass, to_si(rate, "N/mm"), damping))
    items = (
        Curve("felt", FREQUENCIES, found.felt.y, 0, "main"),
        Mark("fixed", *found.fixed, "fixed point", 0, "second"),
        Mark("body", found.body, found.felt.at(found.body), "body", 0, "ink"),
        Curve("tyre", FREQUENCIES, from_si(found.tyre.y, "N/mm"), 1, "main"),
        Mark("wheel", found.wheel, from_si(found.tyre.at(found.wheel), "N/mm"), "wheel hop", 1, "ink"),
    )
    return View(items, _numbers(found), _sentence(found))


def _numbers(found: FrontResponse) -> tuple:
    return (("Body swings at", f"{found.body:.2f} Hz"), ("Wheel hops at", f"{found.wheel:.1f} Hz"),
            ("Damping ratio of the body", f"{found.ratio:.2f} of critical"),
            ("Fixed point", f"{found.fixed[1]:.1f} 1/s"), ("Fixed point at", f"{found.fixed[0]:.1f} Hz"))


def _sentence(found: FrontResponse) -> str:
    return (f"The body swings {found.body:.1f} times a second on its springs and {MANNERS[found.manner]}; the wheel "
            f"hops {found.wheel:.1f} times a second between spring and tyre. At {found.fixed[0]:.1f} Hz no spring and "
            "no damper changes what you feel: only the tyre and the masses do.")


QUARTER_VEHICLE = Declared(
    id="quarter-vehicle", title="The quarter vehicle", view=view_quarter_vehicle,
    # less damping than here, or more, and the peaks would squash every other curve
    controls=(BODY, WHEEL, replace(RATE, high=16), replace(DAMPING, low=800, high=3000)),
    axes=(Axes("bumps per second [1/s]", "acceleration over ground's velocity [1/s]", (0.3, 50), (0, 70),
               "What you feel", xscale="log", xticks=TENS),
          Axes("bumps per second [1/s]", "tyre load over ground's height [N/mm]", (0.3, 50), (0, 320),
               "What the tyre does", xscale="log", xticks=TENS)))  # fmt: skip
