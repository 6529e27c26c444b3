"""One push and its way back through a cartridge of the school, instant by instant."""

from __future__ import annotations

from dataclasses import fields

from suspedu.damper import Damper, Explanation, LegForce, PathState, ValveState, Walk, stroke_history, stroke_walk
from suspedu.numerics import remembered
from suspedu.school.legs import set_damper, surroundings

POINTS, START = 161, 0.06  # instants; m of stroke at which the push begins
SAME = 1.0  # Pa: pressures closer than this are one


@remembered(size=64)
def push_and_back(cartridge: str, depth: float, push: float, back: float) -> Walk:
    """States of all valves of a cartridge along a push by a depth [m] and back, with peak velocities [m/s].

    >>> round(push_and_back("closed cartridge", 0.22, 3.0, 1.2).energy[-1])
    243
    """
    time, stroke, velocity = stroke_history(depth, push, back, start=START, points=POINTS)
    around = surroundings(stroke)
    return stroke_walk(time, stroke, velocity, set_damper(cartridge), around["oil"], around["temperature"],
                       air_pressure=around["air_pressure"])  # fmt: skip


def instant_of(whole: Explanation, at: int) -> Explanation:
    """One instant of an explanation of many."""
    valves = {key: ValveState(valve.pressure_drop[at], valve.flow[at],
                              {name: _at(path, PathState, at) for name, path in valve.paths.items()})
              for key, valve in whole.valves.items()}  # fmt: skip
    return Explanation(whole.stroke[at], whole.velocity[at], _at(whole.leg, LegForce, at), valves)


def _at(state, kind, at: int):
    return kind(*(getattr(state, field.name)[at] for field in fields(kind)))


def torn_chambers(leg: LegForce) -> set[str]:
    """Chambers in which the oil is torn at one instant: of "above", "below" and "cup", those of the lowest pressure."""
    pressures = {"above": leg.rebound_chamber, "below": leg.compression_chamber, "cup": leg.cup}
    least = min(map(float, pressures.values()))
    return {name for name, pressure in pressures.items() if leg.cavitating and float(pressure) - least < SAME}


def gas_left(damper: Damper, stroke: float) -> float:
    """Share of its gas volume that the rod leaves a damper at a stroke [m]; none where it has no gas of its own [-].

    >>> round(gas_left(set_damper(), 0.3), 2), gas_left(set_damper("open cartridge"), 0.3)
    (0.69, 0.0)
    """
    volume = getattr(damper.reservoir, "gas_volume", None)
    return 1.0 - damper.displaced_area * float(stroke) / volume if volume else 0.0
