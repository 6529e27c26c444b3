"""The quick law of a test: force along a stroke from step to step, with valves as short tables.

The same physics as `damper.loops`, to about a per cent of the greatest force, several hundred times as fast: what a
search that asks for a thousand tests can afford.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from suspedu.damper import Fluid, Valve, fluid_at, reservoir_pressure
from suspedu.damper.circuit import Damper
from suspedu.damper.ports import marched
from suspedu.numerics import remembered
from suspedu.parts.friction import friction_force
from suspedu.recordings.rig import Rig
from suspedu.units import STANDARD_ATMOSPHERE, require

PER_DECADE = 100
DROPS = np.geomspace(1.0, 1e8, 8 * PER_DECADE + 1)  # Pa
LOG_DROPS = np.log(DROPS)
ON_SHIMS = np.geomspace(1.0, 1e8, 1601)  # Pa on the shims of a port, from which it is marched
SHUT = 1e-30  # m3/s: no flow, where a logarithm is taken
LANDS = 0.1e-3  # m: seat lands between which a port's flow is read off those of two neighbours
NEAR = 1.0  # Pa, to which pressures are found
SOFTEST = 200.0  # Pa, as in `damper.loops`
QUICK = 1.4  # polytropic exponent of air in a fast stroke


class OilNumbers(NamedTuple):
    """The oil as the loop takes it, SI."""

    air: float
    modulus: float
    exponent: float
    atmosphere: float
    softest: float
    floor: float


class LogGrid(NamedTuple):
    """The even grid of logarithms of drops: where it starts [Pa], points for each unit of the logarithm."""

    least: float
    per_step: float


class Room(NamedTuple):
    """Both chambers as the loop takes them, SI: areas, oil columns, air pocket, and how near is near."""

    oil: OilNumbers
    table: LogGrid
    pocket: float
    area: float
    ring: float
    lower: float
    upper: float
    near: float


class Curves(NamedTuple):
    """Logarithms of the four valves' flows on the grid."""

    base: np.ndarray
    refill: np.ndarray
    mid: np.ndarray
    rebound: np.ndarray


class BenchMotion(NamedTuple):
    """A stroke over time, for the march: arrays of one length; where it starts anew the damper is taken as settled."""

    time: np.ndarray  # s
    stroke: np.ndarray  # m, from full extension
    velocity: np.ndarray  # m/s
    acceleration: np.ndarray  # m/s2


def predicted_force(motion: BenchMotion, rig: Rig):
    """Force that a test bench reads along a motion: damper, gas, friction of the seals and moving mass.

    F = (p_c - p_res) A_p - (p_r - p_res) (A_p - A_r) + F_gas + F_friction + m a

    Parameters: motion; rig.
    Returns: force [n, N], positive against compression.
    Raises: InputError for a stroke that reaches the hydraulic stop, or leaves the oil column or the gas no room.
    Valid for: to 1 % of the greatest force of `damper.loop_along` at 64 steps a cycle, to a half at 128.

    >>> from suspedu.damper import stock_damper
    >>> time = np.linspace(0.0, 2.0, 257)
    >>> turn = 2.0 * np.pi * time
    >>> motion = BenchMotion(time, 0.15 - 0.025 * np.cos(turn), 0.157 * np.sin(turn), 0.987 * np.cos(turn))
    >>> force = predicted_force(motion, Rig(stock_damper("closed cartridge")))
    >>> [round(float(edge), -1) for edge in (force.max(), force.min())]
    [120.0, -90.0]
    """
    damper = rig.damper
    _fits(motion.stroke, damper)
    fluid = fluid_at(rig.temperature, rig.oil, damper.air_fraction)
    reservoir = reservoir_pressure(motion.stroke, damper, rig.temperature)
    compression, rebound = _chambers(motion, rig, fluid, reservoir)
    gas = (reservoir - damper.reservoir.outside_pressure(reservoir)) * damper.displaced_area
    damping = (compression - reservoir) * damper.piston_area - (rebound - reservoir) * damper.ring_area
    return gas + damping + friction_force(motion.velocity, rig.seals) + rig.moving.mass * motion.acceleration


def _fits(stroke, damper: Damper) -> None:
    """Refuse a motion that the damper cannot make, or that meets its stop: a test of the valves ends before it."""
    stop = damper.end_stop
    most = damper.compression_column - 5e-3 if stop is None else stop.full_stroke - stop.zone
    require("greatest stroke of the test", float(np.max(stroke)), 0.0, most, "mm",
            "the hydraulic stop works from here on" if stop else "the piston would meet the base valve")
    require("least stroke of the test", float(np.min(stroke)), 0.0, most, "mm", "strokes count from full extension")


def _chambers(motion: BenchMotion, rig: Rig, fluid: Fluid, reservoir):
    """Absolute pressures of both chambers along a motion [Pa], none below the vapour pressure."""
    from suspedu.recordings import kernel  # it loads the compiler, so it waits for the first march

    damper = rig.damper
    oil = OilNumbers(damper.air_fraction, rig.oil.bulk_modulus, QUICK, STANDARD_ATMOSPHERE, SOFTEST,
                     fluid.vapour_pressure)
    room = Room(oil, LogGrid(1.0, 1.0 / (LOG_DROPS[1] - LOG_DROPS[0])), rig.moving.pocket, damper.piston_area,
                damper.ring_area, damper.compression_column, damper.rebound_column, NEAR)
    curves = Curves(*(short_curve(valve, fluid) for valve in (damper.base, damper.refill, damper.mid, damper.rebound)))
    found = np.empty((2, len(motion.time)))
    found[:, 0] = reservoir[0]
    kernel.march(motion.time, motion.velocity, reservoir, motion.stroke, room, curves, found)
    if not np.all(np.isfinite(found)):
        raise ArithmeticError("the chamber pressures could not be followed along this test")
    return np.maximum(found, fluid.vapour_pressure)


def short_curve(valve: Valve, fluid: Fluid):
    """Logarithm of a valve's flow on the short grid of drops, SI.

    Parameters: valve; fluid. Returns: ln Q [grid, -], Q in m3/s.
    """
    return np.log(sum(_near_flow(path, fluid) for _, path in valve.paths))


def _near_flow(path, fluid):
    """Flow of one path on the grid; of a port with a land between two even ones, between theirs."""
    if path.kind != "port":
        return path.flow(DROPS, fluid)
    place = path.land / LANDS
    below, share = int(place + 1e-9), place - int(place + 1e-9)
    if share < 1e-6:
        return np.exp(_log_port_flow(path, fluid))
    low, high = (_log_port_flow(replace(path, land=count * LANDS), fluid) for count in (below, below + 1))
    return np.exp((1.0 - share) * low + share * high)


@remembered(size=64)
def _log_port_flow(port, fluid):
    """Logarithm of a port's flow on the grid, marched from pressures on its shims: no root is asked for."""
    inside = [kink * rise for kink in port.kinks for rise in (1.0, 1.001) if ON_SHIMS[0] < kink < ON_SHIMS[-1]]
    at = marched(np.unique(np.concatenate([ON_SHIMS, inside])), port, fluid)
    rising = np.maximum.accumulate(at.drop)
    return np.interp(LOG_DROPS, np.log(rising), np.log(np.maximum(at.flow, SHUT)))

