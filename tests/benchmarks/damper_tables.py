"""Speed of a whole leg's force table against the plain way, scalar root finding with scipy's brentq, in one run.

    python tests/benchmarks/damper_tables.py

Prints the two times, their ratio, and the greatest difference of the two tables.
"""

from time import perf_counter

import numpy as np
from scipy.optimize import brentq

from suspedu.damper import force_table, stock_damper
from suspedu.damper.fluid import fluid_at
from suspedu.damper.valves import flow
from suspedu.parts.oil import Oil

SPEEDS = np.linspace(-4.0, 4.0, 400)
STROKE = np.array([0.1])


def plain_drop(through, valve, fluid):
    """Pressure drop of one flow by a scalar root finder."""
    if through <= 0.0:
        return 0.0
    return np.exp(brentq(lambda u: flow(np.exp(u), valve, fluid) - through, -15.0, 40.0, xtol=1e-12))


def plain_force(velocity, damper, fluid):
    """Damping force at one velocity, one valve after the other."""
    rod, ring = damper.displaced_area, damper.piston_area - damper.displaced_area
    if velocity > 0.0:
        mid = plain_drop(ring * velocity, damper.mid, fluid)
        return rod * plain_drop(rod * velocity, damper.base, fluid) + ring * mid
    return -(rod * plain_drop(-rod * velocity, damper.refill, fluid)
             + ring * plain_drop(-ring * velocity, damper.rebound, fluid))


def best(function, repeats=5):
    """Shortest of a few runs [s], and the result."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        result = function()
        times.append(perf_counter() - start)
    return min(times), result


def main():
    """Measure and print."""
    oil = Oil(15e-6, 3.5e-6)
    damper = stock_damper("closed cartridge")
    fluid = fluid_at(313.15, oil, damper.air_fraction)
    force_table(STROKE, SPEEDS, damper, oil)  # solves the stacks
    ours, table = best(lambda: force_table(STROKE, SPEEDS, damper, oil, part="damping_force")[0])
    plain, scalar = best(lambda: np.array([plain_force(v, damper, fluid) for v in SPEEDS]), repeats=2)
    print(f"whole leg, {SPEEDS.size} velocities: {ours * 1e3:.1f} ms (asked: 20 ms); scalar brentq "
          f"{plain * 1e3:.0f} ms; ratio {plain / ours:.0f}; greatest difference {np.max(np.abs(table - scalar)):.2g} N")
    grid, _ = best(lambda: force_table(np.linspace(0, 0.3, 61), SPEEDS, damper, oil))
    print(f"grid of 61 strokes by {SPEEDS.size} velocities: {grid * 1e3:.1f} ms, {grid / ours:.1f} times one stroke")


if __name__ == "__main__":
    main()
