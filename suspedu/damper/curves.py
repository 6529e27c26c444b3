"""Valves as curves that are worked out once: what rides, batches and loops ask, thousands of times, of the same steel.

Flows of single paths are remembered on one grid of pressures, so a valve of which one clicker moved costs a sum.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from suspedu.damper.fluid import Fluid
from suspedu.damper.ports import Path
from suspedu.damper.valves import Valve
from suspedu.numerics import remembered

PER_DECADE = 1000  # a kink between two pressures of the grid then costs less than 4e-4 of the slope's jump
GRID = np.geomspace(1.0, 1e9, 9 * PER_DECADE + 1)  # Pa
LOG_GRID = np.log(GRID)
KEPT = 160  # curves of 72 kB each: the clicks of a machine, and a little more


@remembered(size=KEPT)
def path_curve(path: Path, fluid: Fluid):
    """Flow of one path on the grid of pressures.

    Parameters: path; fluid. Returns: flow [grid, m3/s], kept.

    >>> from suspedu.damper.paths import Hole
    >>> round(float(np.interp(1e5, GRID, path_curve(Hole(2e-3, 5e-3), Fluid(850.0, 0.01)))) * 1e6, 1)  # cm3/s
    32.8
    """
    return path.flow(GRID, fluid)


@remembered(size=KEPT)
def log_flow_curve(valve: Valve, fluid: Fluid):
    """Logarithm of the flow of a valve [m3/s] on the grid of pressures.

    Parameters: valve; fluid. Returns: ln Q [grid], kept.

    >>> from suspedu.damper import stock_damper
    >>> log_flow_curve(stock_damper("damping rod").base, Fluid(850.0, 0.012))[[0, -1]].round(1).tolist()
    [-17.3, -4.4]
    """
    return np.log(sum(path_curve(path, fluid) for _, path in valve.paths))


def flow_curve(valve: Valve, fluid: Fluid) -> Callable[[float], float]:
    """Flow of a valve over its pressure drop, in scalar arithmetic: what an integrator asks thousands of times.

    Parameters: valve; fluid.
    Returns: function of one pressure drop [scalar, Pa, not negative] that gives flow [m3/s].
    Valid for: to 5e-4 of the law at worst, beside a kink; below 1 Pa in proportion.

    >>> from suspedu.damper import flow, stock_damper
    >>> base, thin = stock_damper("closed cartridge").base, Fluid(850.0, 0.012)
    >>> round(flow_curve(base, thin)(4e5) / float(flow(4e5, base, thin)), 4)
    1.0
    """
    curve, per_step = log_flow_curve(valve, fluid).tolist(), 1.0 / (LOG_GRID[1] - LOG_GRID[0])
    least, last = math.exp(curve[0]), len(curve) - 2

    def through(drop: float) -> float:
        if drop <= GRID[0]:
            return least * drop / GRID[0]
        place = min(math.log(drop) * per_step, last + 1.0)
        index = min(int(place), last)
        return math.exp(curve[index] + (place - index) * (curve[index + 1] - curve[index]))

    return through


@remembered(size=512)
def drops_at(through: tuple[float, ...], valve: Valve, fluid: Fluid):
    """Pressure drops of a valve at the flows of a whole table, remembered per valve.

    Parameters: through, flows [m3/s], not negative, as a tuple so that they can be looked up; valve; fluid.
    Returns: pressure drop [Pa], as many, kept.
    Valid for: to 5e-4 of `pressure_drop` at worst, beside a kink; below 1 Pa in proportion.

    >>> from suspedu.damper import pressure_drop, stock_damper
    >>> base, thin = stock_damper("closed cartridge").base, Fluid(850.0, 0.012)
    >>> round(float(drops_at((0.0, 1e-4), base, thin)[1] / pressure_drop(1e-4, base, thin)), 4)
    1.0
    """
    flows, known = np.array(through), log_flow_curve(valve, fluid)
    inside = np.clip(flows, *np.exp(known[[0, -1]]))
    drop = np.exp(np.interp(np.log(inside), known, LOG_GRID))  # straight between: 1e-6 on this grid, but for kinks
    return np.where(flows > inside, drop * (flows / inside) ** 2, drop * np.minimum(flows / inside, 1.0))
