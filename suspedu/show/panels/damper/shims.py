"""Panels on shim stacks: build one, see it bend, find its kink and its stress."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.parts.shim_stacks import FATIGUE_LIMIT, Port, Shim, Stack, bent_stack, lift_curve
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.stack_picture import PLACES, stack_picture
from suspedu.show.view import Axes, Control, Curve, Mark, View, bar

PORT = Port(12e-3, 18e-3)  # the pocket in the school's piston
FACE, TAPERED = 20.0, 4  # mm, diameter of the face shims; number of shims behind them

COUNT = Control("face_shims", "Face shims of 20 mm", "", 1, 6, 1, 3, "more = stiffer, one by one")
THICKNESS = Control("thickness", "Thickness of every shim", "mm", 0.10, 0.30, 0.05, 0.15, "thicker = far stiffer")
STEP = Control("taper_step", "Taper: each next one smaller by", "mm", 0, 2.5, 0.25, 2, "more = less help at the edge")
CLAMP = Control("clamp", "Clamp diameter", "mm", 9, 13, 0.5, 10, "wider = stiffer")
GAP = Control("gap", "Crossover shim", "mm", 0, 0.2, 0.05, 0, "its thickness; 0 = none")
DROP = Control("pressure", "Pressure under the stack", "bar", 0, 20, 0.5, 8, "faster stroke = more")
CONTROLS_SHIM_STACK = (COUNT, THICKNESS, STEP, CLAMP, GAP, DROP)
AXES_SHIM_STACK = (
    Axes("from the middle of the bolt [mm]", "bending, steel drawn at 1/6 of this scale [mm]", (0, 11), (-0.15, 0.75),
         "Half of the stack, cut open", share=1.15),
    Axes("pressure under the stack [bar]", "lift at the rim [mm]", (0, 20), (0, 0.6), "Lift"),
)  # fmt: skip


def built_stack(face_shims, thickness, taper_step, clamp, gap=0.0) -> Stack:
    """A stack in workshop units: face shims, a crossover shim if there is a gap, then four tapered shims [all mm].

    >>> [round(shim.diameter * 1e3, 1) for shim in built_stack(2, 0.15, 2, 10, 0.1).shims]
    [20.0, 20.0, 11.0, 18.0, 16.0, 14.0, 12.0]
    """
    steel = thickness * 1e-3
    face = (Shim(FACE * 1e-3, steel),) * int(face_shims)
    crossover = (Shim((clamp + 1.0) * 1e-3, gap * 1e-3),) if gap else ()
    sizes = (max(FACE - taper_step * place, clamp) for place in range(1, TAPERED + 1))
    return Stack((*face, *crossover, *(Shim(size * 1e-3, steel) for size in sizes)), clamp * 1e-3)


def view_shim_stack(face_shims, thickness, taper_step, clamp, gap, pressure) -> View:
    """A stack cut open under a pressure [bar], and its lift over pressure, beside its parts."""
    stack = built_stack(face_shims, thickness, taper_step, clamp, gap)
    curves = {"stack": stack, "no gap": built_stack(face_shims, thickness, taper_step, clamp),
              "face": replace(stack, shims=stack.shims[: int(face_shims)])}  # fmt: skip
    bars = np.linspace(0.0, 20.0, 161)
    lifts = {name: lift_curve(part, PORT)(bars * 1e5) * 1e3 for name, part in curves.items()}
    closes, now = gap_closes(stack), float(lift_curve(stack, PORT)(pressure * 1e5)) * 1e3
    bent = bent_stack(stack, PORT, pressure * 1e5)
    items = (
        *stack_picture(stack, bent, PORT),
        Curve("face alone", bars, lifts["face"], 1, "second", "face alone"),
        Curve("without gap", bars, lifts["no gap"], 1, "third", "no crossover"),
        Curve("lift", bars, lifts["stack"], 1, "main", "this stack"),
        Mark("now", pressure, now, f"{now:.3f} mm", 1),
        _kink(closes, float(lift_curve(stack, PORT)(closes * 1e5)) * 1e3),
    )
    numbers = _stack_numbers(now, pressure, closes, gap, bent)
    return View(items, numbers, _stack_sentence(pressure, now, closes, gap, bent))


def _kink(closes, lift) -> Mark:
    """The corner of the lift curve; without one, or beyond 20 bar, it lies outside of the axes."""
    shown = closes <= 20.0
    place = (closes, lift) if shown else (-1.0, 0.0)
    return Mark("kink", *place, "gap closes" if shown else "", 1, "ink")


def gap_closes(stack: Stack) -> float:
    """Pressure [bar] where a stack's slope falls below the middle of its first and last: the kink; nan without one."""
    curve = lift_curve(stack, PORT)
    rates = curve.rates
    if rates[0] < 1.05 * rates[-1]:
        return float("nan")
    return float(curve.pressure[np.argmax(rates < (rates[0] + rates[-1]) / 2)]) / 1e5


def _stack_numbers(lift, pressure, closes, gap, bent) -> tuple:
    return (
        ("Lift at the rim", f"{lift:.3f} mm"),
        ("Opening under the rim", f"{np.pi * PORT.outer_diameter * 1e3 * lift:.2f} mm2"),
        ("Pressure for each 0.1 mm, so far", f"{0.1 * pressure / lift:.1f} bar" if lift > 1e-6 else "not open"),
        ("The gap closes at", f"{closes:.1f} bar" if closes == closes else ("beyond 200 bar" if gap else "no gap")),
        ("Highest stress", f"{bent.peak_stress / 1e6:.0f} MPa"),
        ("Largest bend over the shim's thickness", f"{bent.deflection_ratio:.2f} times"),
    )


def _stack_sentence(pressure, lift, closes, gap, bent) -> str:
    area = np.pi * PORT.outer_diameter * 1e3 * lift
    line = "Its curve is one straight line: small bumps and big ones meet the same stack."
    opens = f"At {pressure:g} bar the stack lifts {lift:.3f} mm and opens {area:.2f} mm2 for the oil{_strain(bent)}. "
    return opens + (_gap_words(pressure, closes) if gap else line)


def _strain(bent) -> str:
    if bent.fatigue_share > 1.0:
        return f", bent to {bent.fatigue_share:.1f} times its fatigue limit, so it will crack one day"
    return ", bent beyond a shim's own thickness, where a real one is stiffer" if bent.large_deflection else ""


def _gap_words(pressure, closes) -> str:
    if not closes < 20.0:
        return "The gap stays open up to 20 bar: only the face shims work, and the rest is dead weight."
    where = "still open: small bumps feel the face shims alone" if pressure < closes else "shut: now all shims work"
    return f"The gap closes at {closes:.1f} bar and is {where}."


def shim_stack(**start) -> Panel:
    """The panel of a shim stack to build and to bend; start values by name."""
    title = "Build a stack, see it bend"
    return Panel(view_shim_stack, CONTROLS_SHIM_STACK, AXES_SHIM_STACK, title=title, start=start, height=380)


CONTROLS_SHIM_STRESS = CONTROLS_SHIM_STACK
LIMIT = FATIGUE_LIMIT / 1e6
AXES_SHIM_STRESS = (
    Axes("shim, counted from the face", "highest stress, and fatigue limit [MPa]", (0.3, PLACES + 0.7), (0, 1300),
         "Each shim"),
    Axes("from the middle of the bolt [mm]", "highest of any shim [MPa]", (4, 10.5), (0, 1300), "Where on it"),
)  # fmt: skip


def view_shim_stress(face_shims, thickness, taper_step, clamp, gap, pressure) -> View:
    """Highest bending stress of each shim and at each radius of a stack under a pressure [bar]."""
    stack = built_stack(face_shims, thickness, taper_step, clamp, gap)
    bent = bent_stack(stack, PORT, pressure * 1e5)
    stress = np.nan_to_num(np.maximum(np.abs(bent.radial_stress), np.abs(bent.tangential_stress))) / 1e6
    each, along = stress.max(axis=1), stress.max(axis=0)
    worst, mm = int(each.argmax()), bent.stress_radii * 1e3
    heights = np.pad(each, (0, PLACES - len(each)))
    items = (
        *(bar(f"shim {place + 1}", place + 1, height) for place, height in enumerate(heights)),
        Curve("limit", np.array([0.3, PLACES + 0.7]), np.full(2, LIMIT), 0, "limit", "limit"),
        Curve("along", mm, along, 1, "main"),
        Curve("limit along", np.array([4.0, 10.5]), np.full(2, LIMIT), 1, "limit", "limit"),
        Mark("peak", mm[along.argmax()], along.max(), f"{along.max():.0f} MPa", 1),
    )
    return View(items, _stress_numbers(each, bent, mm[along.argmax()]), _stress_sentence(each, worst, bent, pressure))


def _stress_numbers(each, bent, place) -> tuple:
    return (
        ("Highest stress", f"{each.max():.0f} MPa"),
        ("Share of the fatigue limit", f"{100 * bent.fatigue_share:.0f} %"),
        ("It is highest at", f"{place:.1f} mm"),
        ("Face shim", f"{each[0]:.0f} MPa"),
        ("Largest bend over the shim's thickness", f"{bent.deflection_ratio:.2f} times"),
    )


def _stress_sentence(each, worst, bent, pressure) -> str:
    share = bent.fatigue_share
    life = "it may bend so for ever" if share < 1.0 else "it will crack some day, and then the damping is gone"
    return (
        f"At {pressure:g} bar shim {worst + 1} from the face bears most, {each.max():.0f} MPa, which is "
        f"{100 * share:.0f} % of what spring steel stands without end ({LIMIT:.0f} MPa): {life}."
    )


def shim_stress(**start) -> Panel:
    """The panel of the stress in a shim stack; start values by name."""
    title = "Will it crack?"
    return Panel(view_shim_stress, CONTROLS_SHIM_STRESS, AXES_SHIM_STRESS, title=title, start=start)
