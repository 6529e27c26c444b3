"""One move of the bench on the side of Python: machine, tables, ride, outcomes, then the view with its sentence.

    python tests/benchmarks/ride_panel_move.py

A clicker, the preload and the oil height are walked through settings that were not ridden before. Prints milliseconds
of processor time, median and longest; asked: 15 ms.
"""

from __future__ import annotations

import os
from time import process_time

import numpy as np

from suspedu.ride.engine import prepare
from suspedu.ride.outcomes import outcomes
from suspedu.school import set_machine
from suspedu.school.bench import FELT
from suspedu.school.loop import ridden, usual_speed
from suspedu.show import panels

GROUNDS = ("whoops", "rough ground", "flat landing", "hard braking")
STANDS = {"tyre_pressure": 1.0, "preload": 4.0, "oil_height": 110.0, "compression_low": 12, "compression_high": 10,
          "rebound": 12}


def moves() -> list[dict]:
    """Settings one move apart, of which none is met twice."""
    steps = [{"rebound": clicks} for clicks in range(2, 24, 2)] + [{"preload": 5.5 + step} for step in range(8)]
    steps += [{"oil_height": 95.0 + 4 * step} for step in range(8)] + [{"compression_high": at} for at in range(1, 9)]
    return [STANDS | step for step in steps]


def took(job, settings) -> np.ndarray:
    """Processor seconds of a job for each setting."""
    spent = []
    for setting in settings:
        start = process_time()
        job(setting)
        spent.append(process_time() - start)
    return np.array(spent)


def main() -> None:
    """Measure and print: a benchmark informs, it does not fail a build."""
    prepare(print)
    for ground in GROUNDS:
        panels.bench.shown(ground=ground, **STANDS)
        ours = took(lambda at, ground=ground: outcomes(ridden(set_machine(**at), ground, usual_speed(ground)), FELT),
                    [at | {"tyre_pressure": 0.9} for at in moves()])
        whole = took(lambda at, ground=ground: panels.bench.shown(ground=ground, **at), moves())
        print(f"{ground}: machine, tables, ride and outcomes {1e3 * np.median(ours):.1f} ms (longest "
              f"{1e3 * ours.max():.1f}); with the view {1e3 * np.median(whole):.1f} ms (longest "
              f"{1e3 * whole.max():.1f}); asked 15 ms")
    print(f"load of the machine {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores: above it the ms say little")


if __name__ == "__main__":
    main()
