"""Panel on the end of the stroke: what the hydraulic stop takes up."""

from __future__ import annotations

import numpy as np

from suspedu.school.end_stops import LEGS, SLOW, STROKES, EndStopTest, bumper_begins, end_stop_test
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, with_unit
from suspedu.show.view import Axes, Control, Curve, Mark, View, band
from suspedu.units import STANDARD_GRAVITY, from_si, to_si

SMALL, LARGE = 0.5, 10.0  # kg: below the one a mass is told in grams, from the other on in whole kilograms
MOST = 18000  # N that the picture shows: the hardest stop at the fastest velocity


def view_end_stop(velocity, gap, zone, shims) -> View:
    """Force over the last of the stroke at a velocity [m/s], and the end stop's work, for gap, zone [mm] and shims."""
    test = end_stop_test(velocity, to_si(gap, "mm"), to_si(zone, "mm"), int(shims))
    mm = from_si(STROKES, "mm")
    items = (
        band("stop part", mm, test.damped, test.whole, axes=0, role="second", tint=0.3),
        Curve("springs", mm, test.springs, 0, "third", "springs"),
        Curve("damped", mm, test.damped, 0, "main", "and valves"),
        Curve("whole", mm, test.whole, 0, "second", "and stop"),
        Curve("bumper", np.full(2, from_si(bumper_begins(), "mm")), np.array([0.0, MOST]), 0, "limit", "bumper"),
        Curve("works", test.works.x, test.works.y, 1, "second"),
        Mark("here", velocity, test.work, f"{test.work:.0f} J", 1, "second"),
    )
    return View(items, _numbers(test), _sentence(velocity, zone, test))


def _numbers(test: EndStopTest) -> tuple:
    return (
        ("Force of both end stops, at the end", newtons(LEGS * test.leg.stop_force[-1])),
        ("Pressure in the cup", f"{with_unit(test.leg.cup[-1], 'bar')} abs"),
        ("Work of the end stops over the zone", _work(test)),
        ("Work of springs, air and bumper there", f"{test.stored:.0f} J"),
        (f"End stop at {SLOW:g} m/s", newtons(test.slow)),
    )


def _work(test: EndStopTest) -> str:
    """Work of both stops, to a tenth where it is so small that whole joules would not carry the mass."""
    return with_unit(test.work, "J", int(test.work < SMALL * STANDARD_GRAVITY))


def _sentence(velocity, zone, test: EndStopTest) -> str:
    mass = test.work / STANDARD_GRAVITY
    caught = with_unit(mass, "g") if mass < SMALL else with_unit(mass, "kg", int(mass < LARGE))
    return (
        f"At {velocity:g} m/s the two stops take {_work(test)} out over the last {zone:g} mm, as if a mass of "
        f"{caught} were caught from one metre; springs, air and bumper store {test.stored:.0f} J there and give "
        "it back. Before those last millimetres the rider feels nothing of them."
    )


END_STOP = Declared(
    id="end-stop", title="The last millimetres", view=view_end_stop, inside=("works",),
    controls=(Control("velocity", "Velocity of the leg", "m/s", 0.1, 5, 0.1, 2, "held over the last 100 mm"),
              Control("gap", "Gap round the stop's piston", "mm", 0.03, 0.25, 0.01, 0.08, "more = softer"),
              Control("zone", "Length of the stop zone", "mm", 20, 80, 5, 50, "more = begins earlier"),
              Control("shims", "Face shims of the stop", "", 1, 4, 1, 2, "more = stiffer at high speed")),
    axes=(Axes("stroke [mm]", "force of both legs [N]", (200, 300), (0, MOST), "The last 100 mm"),
          Axes("velocity of the leg [m/s]", "work taken up in the zone [J]", (0, 5), (0, 500),
               "Work of both stops")))  # fmt: skip
