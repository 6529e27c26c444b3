"""What the panels on damping share: the clickers, the school's leg with one of its dampers, and its forces."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, lru_cache

import numpy as np

from suspedu.changes import changed, leads_somewhere
from suspedu.damper import Damper, leg_force, stock_damper
from suspedu.damper.explain import Explanation, explained
from suspedu.damper.forces import LegForce
from suspedu.damper.valves import Fluid, fluid_at
from suspedu.machine import Leg, load
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.show.view import Choice, Control

OUT = "out from gently closed: more = softer"
LOW = Control("compression_low", "Low-speed compression", "clicks", 0, 24, 1, 12, OUT)
HIGH = Control("compression_high", "High-speed compression", "clicks", 0, 20, 1, 10, OUT)
REBOUND = Control("rebound", "Rebound", "clicks", 0, 24, 1, 12, "out from gently closed: more = faster")
CARTRIDGE = Choice("cartridge", "Cartridge", ("closed cartridge", "open cartridge"), "closed cartridge")
SPEED = Control("velocity", "Velocity of the leg", "m/s", -4, 4, 0.05, 1, "plus = compression, minus = rebound")
STROKE = Control("stroke", "Stroke", "mm", 0, 300, 5, 150, "from full extension")


@cache
def school_leg() -> Leg:
    """One leg of the school's enduro machine."""
    return load("enduro").legs[0]


@lru_cache(maxsize=512)
def set_damper(stock: str = "closed cartridge", **clicks) -> Damper:
    """A damper of the school at clicks out; clicks for an adjuster that it does not have change nothing.

    >>> set_damper("open cartridge", rebound=8, compression_high=0).rebound.needle.clicks
    8
    """
    damper = stock_damper(stock)
    for name, at in clicks.items():
        place = ADJUSTERS[name].in_damper
        damper = changed(damper, place, int(at)) if leads_somewhere(damper, place) else damper
    return damper


def with_port(damper: Damper, valve_name: str, **changes) -> Damper:
    """The damper with other parts in the last port of one of its valves."""
    valve = getattr(damper, valve_name)
    ports = (*valve.ports[:-1], replace(valve.ports[-1], **changes))
    return replace(damper, **{valve_name: replace(valve, ports=ports)})


def leg_forces(stroke, velocity, damper: Damper) -> LegForce:
    """Forces of one leg [N] with a damper, at strokes [m] and velocities [m/s], in warm oil under the fork's air."""
    return leg_force(stroke, velocity, damper, **surroundings(stroke))


def point(stroke, velocity, damper: Damper) -> Explanation:
    """Everything behind those forces."""
    return explained(stroke, velocity, damper, **surroundings(stroke))


def surroundings(stroke) -> dict:
    """Oil, its temperature [K] and the fork's air [Pa, absolute] at strokes [m], as `leg_force` takes them."""
    leg = school_leg()
    air = air_pressure_absolute(np.clip(stroke, 0.0, leg.travel), leg.travel, leg.air)
    return {"oil": leg.damper.oil, "temperature": leg.damper.oil_temperature, "air_pressure": air}


def warm_fluid(damper: Damper) -> Fluid:
    """The school's oil as it is in a damper during a gentle ride."""
    fitted = school_leg().damper
    return fluid_at(fitted.oil_temperature, fitted.oil, damper.air_fraction)


def newtons(force) -> str:
    """A force [N] as text, without a minus sign before a zero."""
    return f"{round(float(force)) + 0} N"
