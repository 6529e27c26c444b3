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
from suspedu.damper.forces import WARM, valve_drops
from suspedu.damper.valves import ValveLaw
from suspedu.numerics import bracketed_root
from suspedu.parts.oil import Oil
from suspedu.units import STANDARD_ATMOSPHERE, InputError

PARTS = ("damping_force", "stop_force")
COARSE = 60  # pressures between which a root is bracketed
NEAR = 5e-5  # of the flow: a tenth of what these tables promise of the force


def quick_force_table(strokes, velocities, damper: Damper, oil: Oil, temperature=WARM, *, part: str = "damping_force",
                      air_pressure=STANDARD_ATMOSPHERE):
    """Damping or stop force over a grid of strokes and velocities, from valves that are remembered.

    Parameters: strokes [n_s, m]; velocities [n_v, m/s]; damper; oil; temperature [K]; part, "damping_force" or
    "stop_force"; air_pressure, absolute, of the fork's air at these strokes [n_s or one, Pa].
    Returns: force [n_s, n_v, N].
    Raises: InputError for another part, and as `leg_force` does.
    Valid for: to 5e-4 of `force_table` at worst, beside a kink; `tests/benchmarks/quick_tables.py` prints it in N.

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
    if part == "damping_force":
        below, above = _chambers(speed, damper, fluid, reservoir)
        return (below - reservoir) * damper.piston_area - (above - reservoir) * damper.ring_area
    if damper.end_stop is None:
        return np.zeros(np.broadcast_shapes(stroke.shape, speed.shape))
    refill = CURVES.drop(damper.displaced_area * np.maximum(-speed, 0.0), damper.refill, fluid)
    around = np.maximum(reservoir - refill, np.minimum(fluid.vapour_pressure, reservoir))  # it counts on rebound alone
    return (cup_pressure(stroke, speed, around, damper.end_stop, fluid, CURVES) - around) * damper.end_stop.area


def _chambers(speed, damper, fluid, reservoir):
    """What `forces.chambers` finds, quicker: where the oil tears, the greater of two pressures holds."""
    base, mid, back, refill = valve_drops(speed, damper, fluid, CURVES)
    floor = np.minimum(fluid.vapour_pressure, reservoir)
    below = np.maximum(reservoir + base - refill, floor)
    above = below - mid + back
    torn = np.any(above < floor, axis=0)
    if torn.any():
        drops = _torn_drops(speed[torn], damper, fluid, reservoir - floor)
        below[:, torn] = np.maximum(below[:, torn], reservoir + drops)
    return below, np.maximum(above, floor)


def _torn_drops(speed, damper, fluid, behind):
    """Base valve's drop at which it and the mid-valve, with the oil torn behind, pass all that the piston sweeps [Pa].

    Q_base(p) + Q_mid(p + p_res - p_vap) = A_p v: from a coarse table to a bracket, from the bracket to the root.
    """
    swept = damper.piston_area * speed
    least, most = _drop(np.array([damper.displaced_area * speed.min(), swept.max()]), damper.base, fluid)
    drop = np.geomspace(0.99 * least, 1.01 * most, COARSE)

    def passed(at):
        return np.log(_flow(at, damper.base, fluid) + _flow(at + behind, damper.mid, fluid))

    table = passed(drop)
    wanted = np.clip(np.log(swept), table[:, :1], table[:, -1:])  # where the oil holds, the least drop stands for less
    right = np.array([np.searchsorted(*each) for each in zip(table, wanted, strict=True)]).clip(1, COARSE - 1)
    return bracketed_root(lambda at: passed(at) - wanted, drop[right - 1], drop[right], tolerance=NEAR)


def _flow(drop, valve, fluid):
    return np.exp(np.interp(np.log(drop), LOG_GRID, log_flow_curve(valve, fluid)))


def _drop(through, valve, fluid):
    flows = np.asarray(through, dtype=float)
    return drops_at(tuple(flows.ravel().tolist()), valve, fluid).reshape(flows.shape)


CURVES = ValveLaw(_flow, _drop)
