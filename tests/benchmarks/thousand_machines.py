"""A thousand machines that differ in clicks, preload and oil height, ridden for 10 s with all outcomes.

    python tests/benchmarks/thousand_machines.py [--count 1000]

Prints the seconds with a line of progress, what of them tables and rides are, and the ratio to the exact way: each
machine's tables from the law itself (of a sample), then the same rides. Asked: 5 s on 2 cores.
"""

from __future__ import annotations

import argparse
import os
import sys
from time import perf_counter, process_time

import numpy as np

from suspedu.machine import adjusted, fork_law, load, ride, ride_all
from suspedu.machine.damping import damping_table
from suspedu.machine.riding import SPEEDS
from suspedu.ride.engine import prepare
from suspedu.ride.outcomes import outcomes
from suspedu.ride.terrain import rough_ground

GROUND = rough_ground("D", length=120.0, speed=12.0)  # 10 s
SAMPLE = 10


def machines(count: int) -> list:
    """Machines at random clicks, preloads and oil heights."""
    dice, bike = np.random.default_rng(1), load("enduro")
    return [adjusted(bike, compression_low=int(dice.integers(25)), compression_high=int(dice.integers(21)),
                     rebound=int(dice.integers(25)), preload=dice.uniform(0.0, 0.02),
                     oil_height=dice.uniform(0.09, 0.15)) for _ in range(count)]


def shown(done: int, total: int) -> None:
    """Progress on one line of the terminal, every hundredth part."""
    if done % max(1, total // 100) == 0:
        print(f"\r{done} of {total} ridden", end="" if done < total else "\n", file=sys.stderr, flush=True)


def spent(job, items) -> float:
    """Processor seconds that a job takes for one item, on one core."""
    start = process_time()
    for item in items:
        job(item)
    return (process_time() - start) / len(items)


def exact(machine) -> None:
    """The damping tables of one machine from the law itself."""
    coarse, zone = np.linspace(0.0, machine.travel, 31), np.linspace(0.25, machine.travel, 26)
    damping_table(machine, coarse, SPEEDS)
    damping_table(machine, zone, SPEEDS, part="stop_force")


def main() -> None:
    """Measure and print: a benchmark informs, it does not fail a build."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=1000)
    count = parser.parse_args().count
    prepare(print)
    many, others = machines(count), machines(count + 3 * SAMPLE)[count:]
    outcomes(ride(load("enduro"), GROUND))
    start, worked = perf_counter(), process_time()
    told = ride_all(many, GROUND, progress=shown)
    wall, worked = perf_counter() - start, process_time() - worked
    tables, laws = spent(fork_law, others), spent(exact, others[:SAMPLE])
    rides = spent(lambda machine: outcomes(ride(machine, GROUND)), others)
    print(f"{count} machines, 10 s, {len(told[0])} outcomes: {wall:.2f} s on {os.cpu_count()} cores, {worked:.2f} s of "
          f"processor time, {worked / 2:.2f} s on each of 2 cores (asked: 5 s for 1000)")
    print(f"each machine: tables {1e3 * tables:.2f} ms, ride and outcomes {1e3 * rides:.2f} ms; exact damping tables "
          f"{1e3 * laws:.0f} ms, so the exact way takes {(laws + tables + rides) / (tables + rides):.1f} times as long")
    print(f"load of the machine {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores: above their number the seconds "
          "say little")


if __name__ == "__main__":
    main()
