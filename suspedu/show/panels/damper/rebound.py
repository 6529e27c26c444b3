"""Panels on rebound: let the fork go and watch it come back; ride bump after bump and see it pulled down."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.machine import Machine, adjusted, load
from suspedu.machine.coming_back import (
    SPEEDS,
    damping_of,
    damping_ratio,
    fastest_return,
    let_go,
    mean_stroke,
    pull,
    rest_stroke,
    time_constant,
)
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import LOW, REBOUND, newtons
from suspedu.show.panels.setting import RATE
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View, band

WHAT = {"chassis rises (push and let go)": True, "wheel drops (after a bump)": False}
TRAVEL = 300.0  # mm
CONTROLS_REBOUND = (
    Choice("what", "Let go", tuple(WHAT), "chassis rises (push and let go)"),
    Control("depth", "From a stroke of", "mm", 80, 280, 10, 180),
    REBOUND,
    RATE,
)
AXES_REBOUND = (
    Axes("time after letting go [s]", "stroke [mm]", (0, 1.2), (300, -10), "Coming back", share=1.1),
    Axes("speed of coming back [m/s]", "force of both legs [N]", (0, 2), (0, 4200), "Rebound damping"),
)


@lru_cache(maxsize=1024)
def set_fork(coil_rate: float, compression_low: int, rebound: int) -> Machine:
    """The school's enduro on springs of a rate [N/m, each leg], at clicks out."""
    return adjusted(load("enduro"), coil_rate=coil_rate, compression_low=compression_low, rebound=rebound)


def view_rebound(what, depth, rebound, coil_rate) -> View:
    """A fork let go from a depth [mm] for rebound clicks out and a rate [N/mm]: stroke over time, and its damping."""
    machine, body = set_fork(coil_rate * 1e3, LOW.start, int(rebound)), WHAT[what]
    motion = let_go(depth / 1e3, machine, body)
    rest = rest_stroke(machine) * 1e3 if body else 0.0
    speed = -float(motion.velocity.min())
    back, over = _times(motion, depth, rest)
    numbers = (
        ("Time for nine tenths of the way", f"{back:.2f} s" if back is not None else "beyond 1.2 s"),
        ("Fastest on the way", f"{speed:.2f} m/s"),
        ("It swings past its rest by", f"{over:.0f} mm" if body else "does not apply"),
        ("Damping ratio of the chassis, coming up", f"{damping_ratio(machine):.2f}"),
        ("Time constant on the spring", f"{time_constant(machine):.2f} s"),
    )
    return View(_back_items(motion, damping_of(machine), rest, body), numbers, _back_sentence(body, back, over))


def _back_items(motion, damping, rest, body) -> tuple:
    fastest, slow = int(np.argmin(motion.velocity)), SPEEDS <= 0.0
    speed = -float(motion.velocity[fastest])
    out, force = -SPEEDS[slow], -damping[slow]
    return (
        Curve("rest", np.array([0.0, 1.2]), np.full(2, rest), 0, "limit", "at rest" if body else "extended"),
        Curve("stroke", motion.time, motion.stroke * 1e3, 0, "main"),
        Mark("fastest", motion.time[fastest], motion.stroke[fastest] * 1e3, f"{speed:.2f} m/s"),
        Curve("damping", out, force, 1, "main"),
        Mark("at fastest", speed, float(np.interp(speed, out[::-1], force[::-1])), "fastest here", 1),
    )


def _times(motion, depth, rest) -> tuple:
    """Time for nine tenths of the way back [s], None if it takes longer than shown; overshoot [mm]."""
    mm = motion.stroke * 1e3
    arrived = mm <= rest + 0.1 * (depth - rest)
    return (float(motion.time[np.argmax(arrived)]) if arrived.any() else None), max(rest - float(mm.min()), 0.0)


def _back_sentence(body, back, over) -> str:
    took = f"{back:.2f} s" if back is not None else "more than 1.2 s"
    if not body:
        return (f"The wheel needs {took} to go nine tenths of its way down: a bump that comes sooner meets a fork that "
                "is still short, and the rider less travel.")  # fmt: skip
    feel = ("the bars bob, and the front wanders" if over > 5.0 else
            "one small swing and it is still: the rider feels it settle" if over > 1.0 else
            "it comes up without a swing and stays there" if back is not None and back < 0.6 else
            "it creeps up, and the next bump finds the rider low")  # fmt: skip
    swing = f"swings {over:.0f} mm past its rest"
    return f"Let go, the front is nine tenths of the way up after {took} and {swing}: {feel}."


def rebound(**start) -> Panel:
    """The panel of a fork that is pushed down and let go; start values by name."""
    return Panel(view_rebound, CONTROLS_REBOUND, AXES_REBOUND, title="Coming back", start=start)


CONTROLS_PULLED_DOWN = (
    REBOUND,
    LOW,
    Control("height", "The fork works by", "mm", 10, 100, 5, 60, "from its shortest to its longest"),
    Control("spacing", "A bump every", "m", 1, 6, 0.1, 3),
    Control("speed", "Machine's speed", "m/s", 2, 16, 0.5, 10),
)
SCHOOL_RATE = RATE.start * 1e3
RIDDEN = np.linspace(2.0, 16.0, 29)
AXES_PULLED_DOWN = (
    Axes("time [s]", "stroke [mm]", (0, 1), (300, 0), "Bump after bump", share=1.1),
    Axes("machine's speed [m/s]", "mean stroke [mm]", (2, 16), (220, 40), "How low it rides"),
)


def view_pulled_down(rebound, compression_low, height, spacing, speed) -> View:
    """Where a fork settles that works by a height [mm] at every bump [m apart] at a speed [m/s], for clicks out."""
    half, machine = height / 2e3, set_fork(SCHOOL_RATE, int(compression_low), int(rebound))
    asked = 2.0 * np.pi * RIDDEN / spacing * half
    lows = mean_stroke(half, pull(asked, machine), machine) * 1e3
    peak = 2.0 * np.pi * speed / spacing * half
    pulled = float(pull(peak, machine))
    low, rest = float(mean_stroke(half, pulled, machine)), rest_stroke(machine)
    time = np.linspace(0.0, 1.0, 201)
    items = (
        Curve("rest", np.array([0.0, 1.0]), np.full(2, rest * 1e3), 0, "limit", "at rest"),
        Curve("wave", time, (low + half * np.sin(2 * np.pi * speed / spacing * time)) * 1e3, 0, "main"),
        Curve("mean", np.array([0.0, 1.0]), np.full(2, low * 1e3), 0, "second", "mean"),
        band("travel left", np.array([0.0, 1.0]), np.full(2, (low + half) * 1e3), np.full(2, TRAVEL), axes=0,
             role="third", tint=0.15),
        Curve("low over speed", RIDDEN, lows, 1, "second"),
        Curve("rest over speed", np.array([2.0, 16.0]), np.full(2, rest * 1e3), 1, "limit", "at rest"),
        Mark("here", speed, low * 1e3, f"{round((low - rest) * 1e3) + 0:+d} mm", 1, "second"),
    )
    can = float(fastest_return(low, machine))
    numbers = _pulled_numbers(low, rest, half, pulled, peak, can)
    return View(items, numbers, _pulled_sentence(low, rest, half, peak, can))


def _pulled_numbers(low, rest, half, pulled, peak, can) -> tuple:
    return (
        ("Mean damping force", newtons(pulled)),
        ("Lower than at rest", f"{round((low - rest) * 1e3) + 0} mm"),
        ("Mean stroke", f"{low * 1e3:.0f} mm"),
        ("Travel left at the deepest", f"{TRAVEL - (low + half) * 1e3:.0f} mm"),
        ("Speed that the bumps ask for", f"{peak:.2f} m/s"),
        ("Fastest return on the springs", f"{can:.2f} m/s"),
    )


def _pulled_sentence(low, rest, half, peak, can) -> str:
    sunk = (low - rest) * 1e3
    start = (f"Rebound takes more out than compression, so bump after bump the front rides {sunk:.0f} mm lower than at "
             f"rest, with {TRAVEL - (low + half) * 1e3:.0f} mm left; ")  # fmt: skip
    if sunk < 1.0:
        start = ("At this pace the dampers hardly pull, and the front rides where it rests; " if sunk > -1.0 else
                 f"Compression takes more out than rebound: the front rides {-sunk:.0f} mm higher than at rest; ")
    return start + (
        f"the springs can bring the wheel back at {can:.2f} m/s and the bumps ask for {peak:.2f}: "
        + ("the tyre keeps up." if can >= peak else "the wheel comes too late and leaves the ground.")
    )


def pulled_down(**start) -> Panel:
    """The panel of packing, bump after bump; start values by name."""
    return Panel(view_pulled_down, CONTROLS_PULLED_DOWN, AXES_PULLED_DOWN, title="Pulled down", start=start)
