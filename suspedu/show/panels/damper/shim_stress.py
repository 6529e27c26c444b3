"""Panel on the stress in a shim stack: which shim bears most, where, and for how long."""

from __future__ import annotations

import numpy as np

from suspedu.school.stacks import StackStress, built_stack, stack_stress
from suspedu.show.declared import Declared
from suspedu.show.panels.damper.shim_stack import STACK
from suspedu.show.panels.damper.stack_picture import PLACES
from suspedu.show.panels.words import number, percent, with_unit
from suspedu.show.view import Axes, Curve, Mark, View, bar
from suspedu.units import from_si, to_si


def view_shim_stress(face_shims, thickness, taper_step, clamp, gap, pressure) -> View:
    """Highest bending stress of each shim and at each radius of a stack [mm] under a pressure [bar]."""
    found = stack_stress(built_stack(face_shims, thickness, taper_step, clamp, gap), to_si(pressure, "bar"))
    limit, peak = from_si(found.limit, "MPa"), with_unit(found.each.max(), "MPa")
    heights = np.pad(from_si(found.each, "MPa"), (0, PLACES - len(found.each)))
    items = (
        *(bar(f"shim {place + 1}", place + 1, height) for place, height in enumerate(heights)),
        Curve("limit", np.array([0.3, len(found.each) + 0.7]), np.full(2, limit), 0, "limit", "limit"),
        Curve("along", from_si(found.along.x, "mm"), from_si(found.along.y, "MPa"), 1, "main"),
        Curve("limit along", np.array([4.0, 10.5]), np.full(2, limit), 1, "limit", "limit"),
        Mark("peak", from_si(found.peak_radius, "mm"), heights.max(), peak, 1),
    )
    return View(items, _numbers(found, peak), _sentence(found, peak, pressure), _axes(len(found.each)))


def _axes(shims: int) -> tuple[Axes, Axes]:
    """The axes for a stack of so many shims."""
    return (Axes("shim, counted from the face", "highest stress, and fatigue limit [MPa]", (0.3, shims + 0.7),
                 (0, 1300), "Each shim"),
            Axes("from the middle of the bolt [mm]", "highest of any shim [MPa]", (4, 10.5), (0, 1300), "Where on it"))


def _numbers(found: StackStress, peak) -> tuple:
    return (
        ("Highest stress", peak),
        ("Share of the fatigue limit", f"{percent(found.bent.fatigue_share)} %"),
        ("It is highest at", with_unit(found.peak_radius, "mm", 1)),
        ("Face shim", with_unit(found.each[0], "MPa")),
        ("Largest bend over the shim's thickness", f"{found.bent.deflection_ratio:.2f} times"),
        ("Pressure held by stretching, not by bending", f"{percent(1.0 - found.bent.bending_share)} %"),
    )


def _sentence(found: StackStress, peak, pressure) -> str:
    share = found.bent.fatigue_share
    life = "it may bend so for ever" if share < 1.0 else "it will crack some day, and then the damping is gone"
    return (
        f"At {pressure:g} bar shim {found.worst} from the face bears most, {peak}, which is "
        f"{percent(share)} % of what spring steel stands without end ({number(found.limit, 'MPa')} MPa): {life}."
    )


SHIM_STRESS = Declared(
    id="shim-stress", title="Will it crack?", controls=STACK, view=view_shim_stress,
    axes=_axes(PLACES))
