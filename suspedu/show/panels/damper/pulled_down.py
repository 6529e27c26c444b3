"""Panel on packing in its simplest: bump after bump, and the fork is pulled down."""

from __future__ import annotations

import numpy as np

from suspedu.school import set_machine
from suspedu.school.returning import PullingDown, pulling_down
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import LOW, REBOUND
from suspedu.show.panels.words import millimetres, newtons, number
from suspedu.show.view import Axes, Control, Curve, Mark, View, band
from suspedu.units import from_si, to_si

TRAVEL = 300.0  # mm
SECOND = np.array([0.0, 1.0])


def view_pulled_down(rebound, compression_low, height, spacing, speed) -> View:
    """Where a fork settles that works by a height [mm] at every bump [m apart] at a speed [m/s], for clicks out."""
    machine = set_machine(compression_low=compression_low, rebound=rebound)
    done = pulling_down(machine, to_si(height, "mm"), spacing, speed)
    return View(_items(done, spacing, speed), _numbers(done), _sentence(done))


def _items(done: PullingDown, spacing, speed) -> tuple:
    half, rest, mean = (from_si(length, "mm") for length in (done.half, done.rest, done.mean))
    time, lows = np.linspace(0.0, 1.0, 201), done.over_speed
    return (
        Curve("rest", SECOND, np.full(2, rest), 0, "limit", "at rest"),
        Curve("wave", time, mean + half * np.sin(2 * np.pi * speed / spacing * time), 0, "main"),
        Curve("mean", SECOND, np.full(2, mean), 0, "second", "mean"),
        band("travel left", SECOND, np.full(2, mean + half), np.full(2, TRAVEL), axes=0, role="third", tint=0.15),
        Curve("low over speed", lows.x, from_si(lows.y, "mm"), 1, "second"),
        Curve("rest over speed", lows.x[[0, -1]], np.full(2, rest), 1, "limit", "at rest"),
        Mark("here", speed, mean, f"{round(mean - rest) + 0:+d} mm", 1, "second"),
    )


def _numbers(done: PullingDown) -> tuple:
    return (
        ("Mean damping force", newtons(done.pulled)),
        ("Lower than at rest", millimetres(done.sunk)),
        ("Mean stroke", millimetres(done.mean)),
        ("Travel left at the deepest", millimetres(done.left)),
        ("Speed that the bumps ask for", f"{done.asked:.2f} m/s"),
        ("Fastest return on the springs", f"{done.can:.2f} m/s"),
    )


def _sentence(done: PullingDown) -> str:
    sunk = number(abs(done.sunk), "mm")
    start = {
        "lower": f"Rebound takes more out than compression, so bump after bump the front rides {sunk} mm lower than at "
                 f"rest, with {number(done.left, 'mm')} mm left; ",
        "level": "At this pace the dampers hardly pull, and the front rides where it rests; ",
        "higher": f"Compression takes more out than rebound, {newtons(done.going_in)} against "
                  f"{newtons(done.coming_out)} on average: the front rides {sunk} mm higher than at rest{_why(done)}; ",
    }[done.manner]  # fmt: skip
    end = "the tyre keeps up." if done.keeps_up else "the wheel comes too late and leaves the ground."
    return (f"{start}the springs can bring the wheel back at {done.can:.2f} m/s and the bumps ask for "
            f"{done.asked:.2f}: {end}")  # fmt: skip


def _why(done: PullingDown) -> str:
    """Why compression can be the stronger: from which speed on rebound would be, and what the oil has to pass."""
    from_speed = "at no speed" if done.evens is None else f"only from {done.evens:.2f} m/s on"
    return (". Going in, the oil has two narrow valves to pass, in the base and on the piston, and coming out one; at "
            f"these clicks rebound is the stronger one {from_speed}") if done.evens != 0.0 else ""


PULLED_DOWN = Declared(
    id="pulled-down", title="Pulled down", view=view_pulled_down, inside=("low over speed",),
    controls=(REBOUND, LOW,
              Control("height", "The fork works by", "mm", 10, 100, 5, 60, "from its shortest to its longest"),
              Control("spacing", "A bump every", "m", 1, 6, 0.1, 3),
              Control("speed", "Machine's speed", "m/s", 2, 16, 0.5, 10)),
    axes=(Axes("time [s]", "stroke [mm]", (0, 1), (0, TRAVEL), "Bump after bump", share=1.1),
          Axes("machine's speed [m/s]", "mean stroke [mm]", (2, 16), (40, 220), "How deep it rides")))  # fmt: skip
