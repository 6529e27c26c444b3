"""The school's leg with one of its dampers: set at clicks, with other parts in it, and its forces in warm oil."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.changes import changed, leads_somewhere
from suspedu.damper import Damper, leg_force, stock_damper
from suspedu.damper.explain import Explanation, explained
from suspedu.damper.fluid import Fluid, fluid_at
from suspedu.damper.forces import LegForce
from suspedu.machine import Leg
from suspedu.machine.adjusters import adjuster
from suspedu.numerics import remembered
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.parts.shim_stacks import Stack
from suspedu.school.machines import school_machine

CARTRIDGES = ("closed cartridge", "open cartridge")
DAMPERS = ("damping rod", "open cartridge", "closed cartridge")
MIDDLE = 0.15  # m of stroke at which damping is read: it does not depend on it


def school_leg() -> Leg:
    """One leg of the school's enduro machine."""
    return school_machine().legs[0]


@remembered(size=512)
def set_damper(stock: str = "closed cartridge", **clicks) -> Damper:
    """A damper of the school at clicks out; clicks for an adjuster that it does not have change nothing.

    >>> set_damper("open cartridge", rebound=8, compression_high=0).rebound.needle.clicks
    8
    """
    damper = stock_damper(stock)
    for name, at in clicks.items():
        place = adjuster(name).in_damper
        damper = changed(damper, place, int(at)) if leads_somewhere(damper, place) else damper
    return damper


def with_port(damper: Damper, valve_name: str, **changes) -> Damper:
    """The damper with other parts in the last port of one of its valves."""
    valve = getattr(damper, valve_name)
    ports = (*valve.ports[:-1], replace(valve.ports[-1], **changes))
    return replace(damper, **{valve_name: replace(valve, ports=ports)})


def with_face(stack: Stack, count: int, thickness: float | None = None) -> Stack:
    """A stack with another number of face shims, of another thickness [m]; what lies behind them stays.

    Face shims are the first one and all that are like it.

    >>> from suspedu.parts.shim_stacks import Shim
    >>> stack = Stack((Shim(0.02, 1e-4), Shim(0.02, 1e-4), Shim(0.018, 2e-4)), 0.01)
    >>> [shim.thickness for shim in with_face(stack, 1, 3e-4).shims]
    [0.0003, 0.0002]
    """
    face = stack.shims[0]
    behind = tuple(shim for shim in stack.shims if shim != face)
    return replace(stack, shims=(replace(face, thickness=thickness or face.thickness),) * count + behind)


def face_count(stack: Stack) -> int:
    """How many face shims a stack has: the first one and all that are like it.

    >>> from suspedu.parts.shim_stacks import Shim
    >>> face_count(Stack((Shim(0.02, 1e-4), Shim(0.02, 1e-4), Shim(0.02, 2e-4)), 0.01))
    2
    """
    return stack.shims.count(stack.shims[0])


def leg_forces(stroke, velocity, damper: Damper) -> LegForce:
    """Forces of one leg [N] with a damper, at a stroke [m] and velocity [m/s], in warm oil under the fork's air."""
    return leg_force(stroke, velocity, damper, **surroundings(stroke))


def point(stroke, velocity, damper: Damper) -> Explanation:
    """Everything behind those forces, at a stroke [m] and velocity [m/s]."""
    return explained(stroke, velocity, damper, **surroundings(stroke))


def surroundings(stroke) -> dict:
    """Oil, its temperature [K] and the fork's air [Pa, absolute] at a stroke [m], as `leg_force` takes them."""
    leg = school_leg()
    air = air_pressure_absolute(np.clip(stroke, 0.0, leg.travel), leg.travel, leg.air)
    return {"oil": leg.damper.oil, "temperature": leg.damper.oil_temperature, "air_pressure": air}


def warm_fluid(damper: Damper) -> Fluid:
    """The school's oil as it is in a damper during a gentle ride."""
    fitted = school_leg().damper
    return fluid_at(fitted.oil_temperature, fitted.oil, damper.air_fraction)


def ring_area(damper: Damper) -> float:
    """Area of the piston that looks at the rod [m2]."""
    return damper.piston_area - damper.displaced_area
