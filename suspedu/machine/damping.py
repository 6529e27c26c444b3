"""Damping of the whole fork: both legs' dampers, in their own oil, under the machine's own air.

Forces come apart as the ride wants them: what the oil gives at a velocity, what the end stop adds, and the push of
the gas behind a closed cartridge, which is a spring.
"""

from __future__ import annotations

import numpy as np

from suspedu.damper import Explanation, explained, leg_force
from suspedu.damper.forces import LegForce
from suspedu.damper.quick_tables import quick_force_table
from suspedu.machine.model import Leg, Machine
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.units import InputError

NO_DAMPER = "this leg has no damper: its file needs a table [legs.damper] with stock = ... and its oil"


def damped_leg(leg: Leg, stroke, velocity) -> LegForce:
    """All that one leg's damper does, at the leg's own setting.

    Parameters: leg; stroke [m] and velocity [m/s], broadcasting.
    Raises: InputError for a leg whose file describes no damper.
    Assumes: the fork's air is squeezed as in riding; it presses on the oil of an open damper.

    >>> from suspedu.machine import load
    >>> leg = load("enduro").legs[0]
    >>> damped_leg(leg, 0.1, np.array([-1.0, 1.0])).damping_force.round(-1).tolist()
    [-450.0, 290.0]
    """
    return leg_force(stroke, velocity, **_surroundings(leg, stroke))


def explained_leg(leg: Leg, stroke, velocity) -> Explanation:
    """Everything behind that: each valve with its paths, their flows, lifts and pressures.

    Parameters: leg; stroke [m] and velocity [m/s], broadcasting. Raises, Assumes: as `damped_leg`.

    >>> from suspedu.machine import load
    >>> point = explained_leg(load("enduro").legs[0], 0.1, 1.0)
    >>> [name for name, path in point.valves["base"].paths.items() if path.open]
    ['leak', 'needle', 'low-speed']
    """
    return explained(stroke, velocity, **_surroundings(leg, stroke))


def _surroundings(leg: Leg, stroke) -> dict:
    """Damper, oil, its temperature [K] and the fork's air [Pa, absolute] of a leg, as the damper's laws take them."""
    if leg.damper is None:
        raise InputError(NO_DAMPER)
    return {"damper": leg.damper.unit, "oil": leg.damper.oil, "temperature": leg.damper.oil_temperature,
            "air_pressure": air_pressure_absolute(stroke, leg.travel, leg.air)}


def quick_damping_table(machine: Machine, strokes, velocities, *, part: str = "damping_force"):
    """The same table for rides, from valves that are worked out once and shared by all machines that have them.

    Parameters: machine; strokes [n_s, m]; velocities [n_v, m/s]; part, "damping_force" or "stop_force".
    Returns: force [n_s, n_v, N], see `damper.quick_tables`.

    >>> from suspedu.machine import load
    >>> quick_damping_table(load("enduro"), [0.1, 0.2], [-1.0, 0.0, 1.0]).shape
    (2, 3)
    """
    first, second = machine.both_legs
    one = _quick(first, strokes, velocities, part)
    return 2.0 * one if second is first else one + _quick(second, strokes, velocities, part)


def _quick(leg: Leg, strokes, velocities, part):
    if leg.damper is None:
        raise InputError(NO_DAMPER)
    fitted, air = leg.damper, air_pressure_absolute(np.asarray(strokes, dtype=float), leg.travel, leg.air)
    return quick_force_table(strokes, velocities, fitted.unit, fitted.oil, fitted.oil_temperature, part=part,
                             air_pressure=air)


def damping_table(machine: Machine, strokes, velocities, *, part: str = "damping_force"):
    """Force of the fork's dampers over a grid, both legs together.

    Parameters: machine; strokes [n_s, m]; velocities [n_v, m/s]; part, a field of `LegForce`: "damping_force" (oil
    alone), "stop_force" (end stop alone), "gas_force" (a spring: the same at all velocities), "force" (all).
    Returns: force [n_s, n_v, N], positive against compression.

    >>> from suspedu.machine import load, refitted
    >>> school = refitted(load("enduro"), "damping rod")
    >>> table = damping_table(school, np.array([0.1, 0.2]), np.array([-1.0, 0.0, 1.0]))
    >>> table[0].round(-1).tolist()
    [-930.0, 0.0, 650.0]
    """
    grid = np.reshape(np.asarray(strokes, dtype=float), (-1, 1)), np.reshape(velocities, (1, -1))
    first, second = machine.both_legs
    one = getattr(damped_leg(first, *grid), part)
    return 2.0 * one if second is first else one + getattr(damped_leg(second, *grid), part)
