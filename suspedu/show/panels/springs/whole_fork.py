"""Panel of the first day: the whole fork of a machine, drawn and in numbers."""

from __future__ import annotations

import numpy as np

from suspedu.machine import Machine, pressure_caution
from suspedu.machine.forces import bottom_out_force, force_curve, stored_work
from suspedu.machine.statics import fork_load, free_sag, front_load, hanging_stroke, rider_sag
from suspedu.school import set_machine
from suspedu.school.sag import spring_verdict
from suspedu.school.tables import Tabulated
from suspedu.school.valves import fork_damping
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import HIGH, LOW, MACHINE, OIL, PRELOAD, RATE, REBOUND, RIDER
from suspedu.show.panels.springs.fork_picture import caption, fork_picture, named_parts, top_height
from suspedu.show.panels.words import millimetres, newtons
from suspedu.show.view import Axes, Curve, Mark, View, band, box, roofed
from suspedu.units import STANDARD_GRAVITY, from_si

LEGS = {"hanging": 0.0, "alone": 160.0, "rider on": 320.0}  # where each is drawn
ROOFS = 6000, 9000, 12000, 16000  # N that the axis of force may end at
READ = 0.25  # m/s at which in and out are read: chop
OPINIONS = {
    "right": "both as the school likes them.",
    "stiffer": "the spring is too soft for this rider.",
    "softer": "the spring is too stiff for this rider.",
    "none": "with this oil no spring that is sold suits this rider.",
    "more": "the spring suits, with more preload.",
    "less": "the spring suits, with less preload.",
}


def view_whole_fork(machine, rider_mass, coil_rate, preload, oil_height, compression_low, compression_high,
                    rebound) -> View:
    """A machine's fork for a rider [kg], rate [N/mm], preload [mm], oil height [mm] and clicks out."""
    fork = set_machine(machine, rider_mass=rider_mass, coil_rate=coil_rate, preload=preload, oil_height=oil_height)
    sags = {"hanging": 0.0, "alone": float(free_sag(fork)), "rider on": float(rider_sag(fork))}
    damping = fork_damping(machine, int(compression_low), int(compression_high), int(rebound))
    items = (*_picture(fork, sags), *_force_items(fork, sags), *_damping_items(damping))
    leg, springs, moving = WHOLE_FORK.axes
    axes = leg, roofed(springs, float(force_curve(fork, exponent=None).total[-1]), *ROOFS), moving
    return View(items, _numbers(fork, sags, damping), _sentence(fork, sags, damping), axes)


def _picture(fork: Machine, sags) -> tuple:
    """The same leg three times, with a line at the height at which the hanging wheel leaves it."""
    leg, start = fork.legs[0], float(hanging_stroke(fork))
    level = top_height(leg, start)
    drawn = [item for state, at in LEGS.items() for item in fork_picture(leg, start + sags[state], at, state)]
    line = Curve("level", np.array([-60.0, 380.0]), np.array([level, level]), 0, "limit", margin=False)
    words = (caption(state, at, state) for state, at in LEGS.items())
    sunk = (caption(f"sag, {state}", LEGS[state], millimetres(sags[state]), row=1) for state in ("alone", "rider on"))
    parts = (item for word, at in named_parts(leg, start).items() for item in _pointed_at(word, *at))
    return (*drawn, line, *words, *sunk, *parts)


def _pointed_at(word: str, place: float, height: float) -> tuple:
    """A line from a part of the hanging leg to its word, to the left of the tube."""
    beside = box(f"word {word}", -272, height - 20, 200, 40, tint=None, edge=0.0, role="ink", label=word, folds=False)
    line = Curve(f"leader {word}", np.array([-66.0, place]), np.array([height, height]), 0, "ink", width=0.7,
                 margin=False)
    return line, Mark(f"point {word}", place, height, "", 0, "ink"), beside


def _force_items(fork: Machine, sags) -> tuple:
    """Force of riding, coil below and air on top of it, and the two loads at rest with where they settle."""
    curve, start = force_curve(fork, exponent=None), float(hanging_stroke(fork))
    mm, none = from_si(curve.stroke, "mm"), np.zeros_like(curve.stroke)
    loads = [float(fork_load(fork, front_load(fork, rider))) for rider in (False, True)]
    return (
        band("coil part", mm, none, curve.coil, axes=1, role="second", tint=0.25),
        band("air part", mm, curve.coil, curve.coil + curve.air + curve.gas, axes=1, role="third", tint=0.3),
        Curve("coils", mm, curve.coil, 1, "second", "coils"),
        Curve("total", mm, curve.total, 1, "main", "with air, gas"),
        # settled slowly, the air is a few newtons softer than in this curve of riding: less than the dot is wide
        *(Mark(f"load {state}", from_si(start + sags[state], "mm"), load, f"{state}: {load:.0f} N", 1, "ink")
          for state, load in reversed(list(zip(("alone", "rider on"), loads, strict=True)))),
    )


def _damping_items(damping: Tabulated) -> tuple:
    """The damping of both legs over velocity, and the two points at which it is read."""
    return (
        Curve("damping", damping.x, damping.y, 2, "main", margin=False),
        Mark("in", READ, damping.at(READ), "in", 2, "second"),
        Mark("out", -READ, damping.at(-READ), "out", 2, "second"),
    )


def _numbers(fork: Machine, sags, damping: Tabulated) -> tuple:
    return (
        ("Free sag", millimetres(sags["alone"], 1)),
        ("Rider sag", millimetres(sags["rider on"], 1)),
        ("Force that bottoms it", newtons(bottom_out_force(fork, None))),
        ("Work it takes up on the way", f"{stored_work(fork, fork.travel, None):.0f} J"),
        (f"Damping on the way in, at {READ:g} m/s", newtons(damping.at(READ))),
        (f"Damping on the way out, at {READ:g} m/s", newtons(-damping.at(-READ))),
    )


def _sentence(fork: Machine, sags, damping: Tabulated) -> str:
    work, free, rider = float(stored_work(fork, fork.travel, None)), sags["alone"], sags["rider on"]
    return (
        f"{fork.name} sinks {millimetres(free)} by itself and {millimetres(rider)} with its rider of "
        f"{fork.rider.mass:.0f} kg: {OPINIONS[spring_verdict(fork, (free, rider)).word]} To bottom it, springs and "
        f"air must be fed {work:.0f} J, as much as lifting {work / STANDARD_GRAVITY:.0f} kg by one metre. "
        f"Moving, at {READ:g} m/s, the dampers hold {newtons(damping.at(READ))} against a bump and "
        f"{newtons(-damping.at(-READ))} against coming back. {pressure_caution(fork)}"
    ).rstrip()


WHOLE_FORK = Declared(
    id="whole-fork", title="The whole fork", height=400, view=view_whole_fork,
    controls=(MACHINE, RIDER, RATE, PRELOAD, OIL, LOW, HIGH, REBOUND),
    axes=(Axes("", "", (-276, 400), (-150, 930), "One leg, cut open", bare=True, share=1.3),
          Axes("stroke [mm]", "force of both legs [N]", (0, 300), (0, 4000), "Springs", share=1.45,
               xticks=((0, "0"), (100, "100"), (200, "200"), (300, "300"))),
          Axes("velocity [m/s]", "damping force [N]", (-2, 2), (-2600, 1800), "Damping", share=0.75)))  # fmt: skip
