"""Panel on a damper that a machine pushes to and fro: the loop of its force, and what air in the oil does to it."""

from __future__ import annotations

from suspedu.school.legs import set_damper
from suspedu.school.pushing import PushedLoop, pushed_loop
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, with_unit
from suspedu.show.view import Axes, Control, Curve, View
from suspedu.units import from_si

AMPLITUDE, SET = 0.03, 12  # m; rebound clicks out
BLED = 100 * set_damper().air_fraction  # % of air that stays in the school's oil after bleeding


def view_pushed_loop(air, frequency) -> View:
    """A cycle pushed so many times a second, with air in the oil [%]."""
    found, bled = (pushed_loop(AMPLITUDE, frequency, max(part, BLED) / 100, SET) for part in (air, 0.0))
    loop = found.loop
    items = (
        Curve("steady", loop.velocity, found.steady, 0, "limit", margin=False),
        Curve("over velocity", loop.velocity, loop.force, 0, "main", margin=False),
        Curve("steady over stroke", from_si(loop.stroke, "mm"), found.steady, 1, "limit", margin=False),
        Curve("over stroke", from_si(loop.stroke, "mm"), loop.force, 1, "second", margin=False),
    )
    return View(items, _numbers(found), _sentence(air, found, bled))


def _numbers(found: PushedLoop) -> tuple:
    force = found.loop.force
    return (("Work of a cycle", f"{found.work:.1f} J"), ("The force comes late by", with_unit(found.late, "ms", 2)),
            ("Largest force, going in", newtons(force.max())), ("Largest force, coming out", newtons(-force.min())),
            ("Fastest", f"{found.loop.velocity.max():.2f} m/s"))  # fmt: skip


def _sentence(air, found: PushedLoop, bled: PushedLoop) -> str:
    late, work = with_unit(found.late, "ms", 2), found.work
    oil = f"With {air:g} % of air in its oil" if air else f"Bled, with {BLED:g} % of air in its oil,"
    start = f"{oil} a cycle takes {work:.1f} J out, and the force comes {late} late"
    if not air:
        return f"{start}."
    return f"{start}; bled, it would be {bled.work:.1f} J and {with_unit(bled.late, 'ms', 2)}."


PUSHED_LOOP = Declared(
    id="pushed-loop", title="Pushed to and fro", view=view_pushed_loop, inside=("over velocity", "over stroke"),
    controls=(Control("air", "Air in the oil", "%", 0, 10, 1, 0, "of its volume, before it is pressed; 0 = bled"),
              Control("frequency", "Pushes", "in a second", 1, 6, 1, 4, "30 mm to either side of the middle")),
    axes=(Axes("velocity [m/s]", "force of one leg [N]", (-1.2, 1.2), (-500, 400), "Over velocity"),
          Axes("stroke [mm]", "force of one leg [N]", (110, 190), (-500, 400), "Over stroke")))  # fmt: skip
