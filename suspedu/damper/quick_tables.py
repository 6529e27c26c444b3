"""A damper's force over strokes and velocities for rides and batches: each valve is worked out once, then shared.

A machine of which a clicker moved asks for one new valve, and one of which preload or oil moved for none: what presses
in the reservoir only shifts the chambers, and is asked again whether the oil tears.
"""

from __future__ import annotations

import numpy as np

from suspedu.damper.circuit import Damper, reservoir_pressure
from suspedu.damper.curves import LOG_GRID, drops_at, log_flow_curve
from suspedu.damper.end_stop import cup_pressure
from suspedu.damper.fluid import fluid_at
from suspedu.damper.forces import WARM, chambers
from suspedu.damper.valves import ValveLaw
from suspedu.parts.oil import Oil
from suspedu.units import STANDARD_ATMOSPHERE, InputError

PARTS = ("damping_force", "stop_force")


def quick_force_table(strokes, velocities, damper: Damper, oil: Oil, temperature=WARM, *, part: str = "damping_force",
                      air_pressure=STANDARD_ATMOSPHERE):
    """Damping or stop force over a grid of strokes and velocities, from valves that are remembered.

    Parameters: strokes [n_s, m]; velocities [n_v, m/s]; damper; oil; temperature [K]; part, "damping_force" or
    "stop_force"; air_pressure, absolute, of the fork's air at these strokes [n_s or one, Pa].
    Returns: force [n_s, n_v, N].
    Raises: InputError for another part, and as `leg_force` does.
    Valid for: to 5e-4 of `force_table` at worst, beside a kink; `tests/benchmarks/damper_tables.py` prints it in N.

    >>> from suspedu.damper import stock_damper
    >>> quick_force_table([0.0, 0.2], [-1.0, 0.0, 1.0], stock_damper("damping rod"), Oil(15e-6, 3.5e-6)).shape
    (2, 3)
    """
    if part not in PARTS:
        raise InputError(f"there is no quick table of '{part}'; known: {', '.join(PARTS)}")
    stroke, air = np.reshape(strokes, (-1, 1)), np.reshape(np.asarray(air_pressure, dtype=float), (-1, 1))
    speed = np.asarray(velocities, dtype=float)
    fluid = fluid_at(temperature, oil, damper.air_fraction)
    reservoir = reservoir_pressure(stroke, damper, temperature, air)
    below, above = chambers(speed, damper, fluid, reservoir, CURVES)
    if part == "damping_force":
        return (below - reservoir) * damper.piston_area - (above - reservoir) * damper.ring_area
    if damper.end_stop is None:
        return np.zeros(np.broadcast_shapes(stroke.shape, speed.shape))
    cup = cup_pressure(stroke, speed, below, damper.end_stop, fluid, CURVES)
    return (cup - below) * damper.end_stop.area


def _flow(drop, valve, fluid):
    return np.exp(np.interp(np.log(drop), LOG_GRID, log_flow_curve(valve, fluid)))


def _drop(through, valve, fluid):
    flows = np.asarray(through, dtype=float)
    return drops_at(tuple(flows.ravel().tolist()), valve, fluid).reshape(flows.shape)


CURVES = ValveLaw(_flow, _drop)
