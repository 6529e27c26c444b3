"""Panel on the shims of a taper: which of them counts."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from suspedu.parts.shim_stacks import Stack, lift_curve
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.shims import CLAMP, PORT, STEP, TAPERED, THICKNESS, built_stack
from suspedu.show.view import Axes, Control, Mark, View, bar

CONTROLS_TAPER = (
    Control("extra", "Swap one shim for a thicker one, by", "mm", 0.05, 0.10, 0.05, 0.05),
    replace(THICKNESS, start=0.2),
    STEP,
    CLAMP,
)
FACES = 2  # face shims in the taper panel
AXES_TAPER = (
    Axes("the one shim that is swapped, counted from the face", "the lift falls by [%]", (0.3, FACES + TAPERED + 0.7),
         (0, 80), "What one thicker shim does"),
)  # fmt: skip


def view_taper(extra, thickness, taper_step, clamp) -> View:
    """By how much the lift falls if one shim of a taper, and only that one, is thicker [mm]."""
    stack = built_stack(FACES, thickness, taper_step, clamp)
    falls = [100.0 * fall for fall in lift_falls(stack, extra)]
    sizes = [shim.diameter * 1e3 for shim in stack.shims]
    items = tuple(
        item
        for place, fall in enumerate(falls, start=1)
        for item in (bar(f"shim {place}", place, fall), Mark(f"fall {place}", place, fall, f"{fall:.1f} %"))
    )
    named = ((f"Shim {place} ({size:g} mm)", f"{fall:.1f} %")
             for place, (size, fall) in enumerate(zip(sizes, falls, strict=True), start=1))  # fmt: skip
    return View(items, tuple(named), _taper_sentence(extra, thickness, sizes, falls))


@lru_cache(maxsize=256)
def lift_falls(stack: Stack, extra: float) -> tuple[float, ...]:
    """Share by which the lift falls for each shim that alone is made thicker [mm]."""
    before = lift_curve(stack, PORT)(1e5)
    return tuple(1.0 - float(lift_curve(thickened(stack, place, extra), PORT)(1e5) / before)
                 for place in range(len(stack.shims)))


def thickened(stack: Stack, place: int, extra: float) -> Stack:
    """The stack with one shim thicker [mm], known by its place; among equal ones the first, since order is the same."""
    shims = list(stack.shims)
    place = [shim.diameter for shim in shims].index(shims[place].diameter)
    shims[place] = replace(shims[place], thickness=shims[place].thickness + extra * 1e-3)
    return replace(stack, shims=tuple(shims))


def _taper_sentence(extra, thickness, sizes, falls) -> str:
    return (
        f"One shim of {thickness + extra:.2f} instead of {thickness:.2f} mm takes {falls[0]:.1f} % of the lift if it "
        f"is a face shim, and {falls[-1]:.1f} % as the last one ({sizes[-1]:g} mm): for the rider's damping, the "
        f"face shim counts {falls[0] / max(falls[-1], 1e-3):.1f} times as much."
    )


def taper(**start) -> Panel:
    """The panel of which shim of a taper counts; start values by name."""
    return Panel(view_taper, CONTROLS_TAPER, AXES_TAPER, title="Which shim counts?", start=start)
