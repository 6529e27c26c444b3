"""Panel on the shims of a taper: which of them counts."""

from __future__ import annotations

from dataclasses import replace

from suspedu.school.stacks import TAPERED, built_stack, lift_falls
from suspedu.show.declared import Declared
from suspedu.show.panels.damper.shim_stack import CLAMP, STEP, THICKNESS
from suspedu.show.view import Axes, Control, Mark, View, bar, roofed
from suspedu.units import from_si

FACES = 2  # face shims in the taper panel
READ = 0.1  # %: what can be read of a fall


def view_taper(extra, thickness, taper_step, clamp) -> View:
    """By how much the lift falls if one shim of a taper, and only that one, is thicker [mm]."""
    stack = built_stack(FACES, thickness, taper_step, clamp)
    falls = [100.0 * fall for fall in lift_falls(stack, extra)]
    sizes = [from_si(shim.diameter, "mm") for shim in stack.shims]
    items = tuple(
        item
        for place, fall in enumerate(falls, start=1)
        for item in (bar(f"shim {place}", place, fall), Mark(f"fall {place}", place, fall, f"{fall:.1f} %"))
    )
    named = ((f"Shim {place} ({size:g} mm)", f"{fall:.1f} %")
             for place, (size, fall) in enumerate(zip(sizes, falls, strict=True), start=1))  # fmt: skip
    axes = roofed(TAPER.axes[0], max(falls), 20, 40, 80)
    return View(items, tuple(named), _sentence(extra, thickness, sizes, falls), (axes,))


def _sentence(extra, thickness, sizes, falls) -> str:
    start = (f"One shim of {thickness + extra:.2f} instead of {thickness:.2f} mm takes {falls[0]:.1f} % of the lift if "
             f"it is a face shim, and ")
    if falls[-1] < READ:
        return f"{start}less than {READ:g} % as the last one ({sizes[-1]:g} mm)."
    times = f"{falls[0] / falls[-1]:.1f}"
    weight = "no more than the last" if times == "1.0" else f"{times} times as much"
    return (f"{start}{falls[-1]:.1f} % as the last one ({sizes[-1]:g} mm): for the rider's damping, the face shim "
            f"counts {weight}.")


TAPER = Declared(
    id="taper", title="Which shim counts?", view=view_taper,
    controls=(Control("extra", "Swap one shim for a thicker one, by", "mm", 0.05, 0.10, 0.05, 0.05),
              replace(THICKNESS, start=0.2), STEP, CLAMP),
    axes=(Axes("the one shim that is swapped, counted from the face", "the lift falls by [%]",
               (0.3, FACES + TAPERED + 0.7), (0, 80), "What one thicker shim does"),))  # fmt: skip
