"""Speed of the damping tables of many machines that differ in clicks alone, against the exact law of each machine.

    python tests/benchmarks/quick_tables.py

Prints seconds per thousand machines, the ratio to the exact law (of a sample), and the greatest difference in newtons.
"""

from time import process_time

import numpy as np

from suspedu.changes import changed
from suspedu.damper import force_table, quick_force_table, stock_damper
from suspedu.parts.oil import Oil

STROKES, SPEEDS, OIL = np.linspace(0.0, 0.3, 31), np.linspace(-8.0, 8.0, 801), Oil(15e-6, 3.5e-6)
PLACES = (("base.needle.clicks", 25), ("base.ports.adjuster.clicks", 21), ("rebound.needle.clicks", 25))
PARTS = ("damping_force", "stop_force")


def clicked(count: int):
    """Dampers at random clicks."""
    random, found = np.random.default_rng(1), []
    for _ in range(count):
        damper = stock_damper("closed cartridge")
        for place, most in PLACES:
            damper = changed(damper, place, int(random.integers(most)))
        found.append(damper)
    return found


def main(count: int = 1000, sample: int = 20):
    """Measure and print."""
    dampers = clicked(count)
    quick_force_table(STROKES, SPEEDS, stock_damper("closed cartridge"), OIL)  # solves the stacks
    start = process_time()
    for damper in dampers:
        for part in PARTS:
            quick_force_table(STROKES, SPEEDS, damper, OIL, part=part)
    quick = process_time() - start
    start = process_time()
    exact = [force_table(STROKES, SPEEDS, damper, OIL, part="damping_force") for damper in dampers[:sample]]
    law = (process_time() - start) * count / sample
    worst = max(np.max(np.abs(quick_force_table(STROKES, SPEEDS, damper, OIL) - table))
                for damper, table in zip(dampers, exact, strict=False))
    print(f"{count} machines of different clicks, damping and stop: {quick:.2f} s, {quick / count * 1e3:.2f} ms each; "
          f"exact law, damping alone: {law:.0f} s; ratio {law / quick:.0f}; greatest difference {worst:.3f} N "
          f"of up to {np.max(np.abs(exact)):.0f} N")


if __name__ == "__main__":
    main()
