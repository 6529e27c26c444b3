"""The searches for the frontiers of all dampers, timed, and each frontier against settings drawn at random.

    python tests/benchmarks/upgrade_frontiers.py [--random 2000] [--most 100] [--keep]

Prints processor seconds of each search (asked: 60 s on 2 cores for all together), how many settings were ridden, and
how many of the random ones, drawn by another seed, beat a point of a frontier (asked: none). `--keep` writes the
settings into the library. `--most` cuts each search short, to see that it runs.
"""

from __future__ import annotations

import argparse
import sys
from time import perf_counter, process_time

import numpy as np

from suspedu.files import write_whole
from suspedu.ride.engine import prepare
from suspedu.ride.simulate import on_all_cores
from suspedu.upgrade.all_searches import search_all
from suspedu.upgrade.frontier import Searched, beats, day_of, random_steps, search_frontier
from suspedu.upgrade.kept import FILE, settings_text
from suspedu.upgrade.oil_states import most_throw, states
from suspedu.upgrade.technologies import TECHNOLOGIES, Technology

SEED = 20_000  # of the random settings: none that a search uses


def shown(done: int, total: int) -> None:
    """Progress on one line of the terminal."""
    print(f"\r{done} of {total} ridden", end="" if done < total else "\n", file=sys.stderr, flush=True)


def searched(of: Technology, most: int | None) -> tuple[Searched, float, float]:
    """A search, its seconds of processor time and its seconds by the clock."""
    worked, start = process_time(), perf_counter()
    found = search_frontier(of, budget=most, progress=shown)
    return found, process_time() - worked, perf_counter() - start


def beaten(found: Searched, count: int) -> tuple[int, int]:
    """Random settings that keep the limit of the throw, and how many of them beat a point of a frontier."""
    fronts, drawn = found.fronts(), random_steps(found.of, count, np.random.default_rng(SEED))
    new = [steps for steps in dict.fromkeys(drawn) if steps not in found.days]
    rows = on_all_cores(lambda steps: day_of(found.of, found.of.setting(steps)), new) if new else []
    found.days.update(zip(new, rows, strict=True))
    keeping = [steps for steps in drawn if found.days[steps] is not None and found.days[steps].throw <= most_throw()]
    return len(keeping), len(beats(found, fronts, keeping))


def main() -> None:
    """Search, measure and print: a benchmark informs, it does not fail a build."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--random", type=int, default=2000)
    parser.add_argument("--most", type=int)
    parser.add_argument("--keep", action="store_true")
    asked = parser.parse_args()
    prepare(print)
    worked = process_time()
    for of in TECHNOLOGIES.values():
        states(of.stock)
    told = [searched(of, asked.most) for of in TECHNOLOGIES.values()]
    worked = process_time() - worked
    for found, seconds, clock in told:
        print(f"{found.of.words}: {len(found.days)} of {found.of.count} settings, {seconds:.1f} s of processor time, "
              f"{clock:.1f} s by the clock, fronts of {[len(front) for front in found.fronts()]}, fresh {found.fresh}, "
              f"of the last {found.beaten_by} beat it", flush=True)
    print(f"all together with their oils: {worked:.1f} s of processor time, {worked / 2:.1f} s on each of 2 cores")
    start = perf_counter()
    search_all(budgets=None if asked.most is None else dict.fromkeys(TECHNOLOGIES, asked.most))
    print(f"three at once, each in a process of its own: {perf_counter() - start:.1f} s by the clock")
    if asked.keep:
        write_whole(FILE, settings_text([found for found, *_ in told]).encode())
    for found, *_ in told if asked.random else ():
        keeping, winners = beaten(found, asked.random)
        print(f"{found.of.words}: of {asked.random} random settings {keeping} keep the limit of the throw, "
              f"{winners} beat a frontier", flush=True)


if __name__ == "__main__":
    main()
