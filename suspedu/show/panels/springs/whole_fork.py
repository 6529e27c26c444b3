"""Panel of the first day: the whole fork of a machine, drawn and in numbers.

It grows with the course: a part that comes later adds its controls to
`CONTROLS_WHOLE_FORK`, its items and its numbers to those of the springs.
"""

from __future__ import annotations

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.forces import bottom_out_force, force_curve, stored_work
from suspedu.machine.statics import fork_load, free_sag, front_load, hanging_stroke, rider_sag
from suspedu.show.panel import Panel
from suspedu.show.panels.damper.damper_setting import HIGH, LOW, REBOUND
from suspedu.show.panels.damper.fork_damping import AXES_DAMPING, READ, at_read, damping_items, fork_damping
from suspedu.show.panels.setting import (
    AIM_SLACK,
    FREE_AIM,
    MACHINE_NAMES,
    OIL,
    PRELOAD,
    RATE,
    RIDER,
    RIDER_AIM,
    millimetres,
    set_machine,
)
from suspedu.show.panels.springs.fork_picture import BORE, caption, fork_picture, oil_level, top_height
from suspedu.show.view import Axes, Choice, Curve, Mark, View, band, box

CONTROLS_WHOLE_FORK = (
    Choice("machine", "Machine", tuple(MACHINE_NAMES), "School enduro 300"),
    RIDER,
    RATE,
    PRELOAD,
    OIL,
    LOW,
    HIGH,
    REBOUND,
)
# The last millimetres are a wall: the curve leaves the axes there, and the key numbers say how high it goes.
AXES_WHOLE_FORK = (
    Axes("", "", (-115, 400), (-150, 930), "One leg, cut open", bare=True, share=1.0),
    Axes("stroke [mm]", "force of both legs [N]", (0, 300), (0, 4000), "Springs", share=1.45,
         xticks=((0, "0"), (100, "100"), (200, "200"), (300, "300"))),
    AXES_DAMPING,
)
LEGS = {"hanging": 0.0, "alone": 160.0, "rider on": 320.0}  # where each is drawn


def view_whole_fork(machine, rider_mass, coil_rate, preload, oil_height, compression_low=LOW.start,
                    compression_high=HIGH.start, rebound=REBOUND.start) -> View:
    """A machine's fork for a rider [kg], rate [N/mm], preload [mm], oil height [mm] and clicks out."""
    name, setting = machine, {"rider_mass": rider_mass, "coil_rate": coil_rate, "preload": preload}
    fork = set_machine(MACHINE_NAMES[name], oil_height=oil_height, **setting)
    sags = {"hanging": 0.0, "alone": float(free_sag(fork)), "rider on": float(rider_sag(fork))}
    damping = fork_damping(MACHINE_NAMES[name], int(compression_low), int(compression_high), int(rebound))
    items = (*_picture(fork, sags), *_force_items(fork, sags), *damping_items(damping, 2))
    return View(items, _numbers(fork, sags, damping), _sentence(fork, sags, damping))


def _picture(fork: Machine, sags) -> tuple:
    """The same leg three times, with a line at the height at which the hanging wheel leaves it."""
    leg, start = fork.legs[0], float(hanging_stroke(fork))
    level = top_height(leg, start)
    drawn = [item for state, at in LEGS.items() for item in fork_picture(leg, start + sags[state], at, state)]
    line = Curve("level", np.array([-60.0, 380.0]), np.array([level, level]), 0, "limit", margin=False)
    words = (caption(state, at, state) for state, at in LEGS.items())
    sunk = (caption(f"sag, {state}", LEGS[state], millimetres(sags[state]), row=1) for state in ("alone", "rider on"))
    return (*drawn, line, *words, *sunk, *_pointed_at("air", oil_level(leg) + 75, "third"), *_pointed_at("oil", 150))


def _pointed_at(word: str, height: float, role: str = "main") -> tuple:
    """A dot in the hanging leg, and its word to the left of the tube."""
    beside = box(f"word {word}", -115, height - 20, 65, 40, tint=None, edge=0.0, role="ink", label=word)
    return Mark(word, -BORE + 4, height, "", 0, role), beside


def _force_items(fork: Machine, sags) -> tuple:
    """Force of riding, coil below and air on top of it, and the two loads at rest with where they settle."""
    curve, start = force_curve(fork, exponent=None), float(hanging_stroke(fork))
    mm, none = curve.stroke * 1e3, np.zeros_like(curve.stroke)
    loads = [float(fork_load(fork, front_load(fork, rider))) for rider in (False, True)]
    return (
        band("coil part", mm, none, curve.coil, axes=1, role="second", tint=0.25),
        band("air part", mm, curve.coil, curve.coil + curve.air + curve.gas, axes=1, role="third", tint=0.3),
        Curve("coils", mm, curve.coil, 1, "second", "coils"),
        Curve("total", mm, curve.total, 1, "main", "with air, gas"),
        # settled slowly, the air is a few newtons softer than in this curve of riding: less than the dot is wide
        *(Mark(f"load {state}", (start + sags[state]) * 1e3, load, f"{state}: {load:.0f} N", 1, "ink")
          for state, load in reversed(list(zip(("alone", "rider on"), loads, strict=True)))),
    )


def _numbers(fork: Machine, sags, damping) -> tuple:
    there, back = at_read(damping)
    return (
        ("Free sag", millimetres(sags["alone"], 1)),
        ("Rider sag", millimetres(sags["rider on"], 1)),
        ("Force that bottoms it", f"{bottom_out_force(fork, None):.0f} N"),
        ("Work it takes up on the way", f"{stored_work(fork, fork.travel, None):.0f} J"),
        (f"Damping on the way in, at {READ:g} m/s", f"{there:.0f} N"),
        (f"Damping on the way out, at {READ:g} m/s", f"{-back:.0f} N"),
    )


def _sentence(fork: Machine, sags, damping) -> str:
    there, back = at_read(damping)
    work = float(stored_work(fork, fork.travel, None))
    free, rider = sags["alone"], sags["rider on"]
    return (
        f"{fork.name} sinks {millimetres(free)} by itself and {millimetres(rider)} with its rider of "
        f"{fork.rider.mass:.0f} kg: {_opinion(free / fork.travel, rider / fork.travel)} To bottom it, springs and "
        f"air must be fed {work:.0f} J, as much as lifting {work / 9.80665:.0f} kg by one metre. "
        f"Moving, at {READ:g} m/s, the dampers hold {there:.0f} N against a bump and {-back:.0f} N against coming back."
    )


def _opinion(free, rider) -> str:
    """What a mechanic of the school would say to the two sags, as shares of the travel."""
    deep, high = rider - RIDER_AIM, free - FREE_AIM
    if max(abs(deep), abs(high)) <= AIM_SLACK:
        return "both as the school likes them."
    if abs(deep - high) > AIM_SLACK:
        return f"the spring is too {'soft' if deep > high else 'stiff'} for this rider."
    return f"it rides {'low: more' if deep + high > 0 else 'tall: less'} preload would put it right."


def whole_fork(**start) -> Panel:
    """The panel of the whole fork of one of the school's machines; start values by name."""
    return Panel(view_whole_fork, CONTROLS_WHOLE_FORK, AXES_WHOLE_FORK, title="The whole fork", height=400, start=start)
