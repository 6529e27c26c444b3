"""How fast a ride is, as ratios within one run: against solve_ivp on the same force law, and over many settings.

    python tests/benchmarks/ride_engine.py
"""

import importlib
import os
import statistics
import subprocess
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp

from suspedu.parts.friction import SealFriction
from suspedu.parts.tyre import Tyre, contact_length
from suspedu.ride import engine, kernel, loop_tables
from suspedu.ride.ground import ground_over_time, ground_path
from suspedu.ride.outcomes import outcomes
from suspedu.ride.rider import rider_on_legs
from suspedu.ride.simulate import simulate, simulate_many
from suspedu.ride.terrain import rough_ground
from suspedu.ride.vehicle import ForkLaw, Vehicle

TYRE = Tyre(pressure=1e5, casing_rate=65e3, damping=150.0, width=0.052)
VEHICLE = Vehicle(40.0, 15.0, 0.46, TYRE, rider=rider_on_legs(40.0))
CONTACT = float(contact_length(VEHICLE.weight, TYRE))
TERRAIN = rough_ground("E", length=120.0, speed=12.0)  # 10 s


def fork(factor=1.0) -> ForkLaw:
    """A believable fork; the factor scales its rebound."""
    x, v = np.linspace(0, 0.3, 301), np.linspace(-8, 8, 801)
    spring = 2 * 4400 * (x + 0.006) + 250 * ((0.36 / (0.36 - x)) ** 1.3 - 1)
    rebound = factor * (700 * np.tanh(v / 0.3) + 350 * v)
    damping = np.where(v > 0, 250 * np.tanh(v / 0.25) + 120 * v + 60 * v**2, rebound)
    return ForkLaw(0.3, x, spring, v, damping, seals=(SealFriction(sliding=40.0, stiction=1.0),))


def timed(job, times=1, clock=time.perf_counter) -> float:
    """Median seconds of some runs; by the processor's clock where one job runs alone and others disturb it."""
    spent = []
    for _ in range(times):
        start = clock()
        job()
        spent.append(clock() - start)
    return statistics.median(spent)


def plain_rates():
    """The kernel's law from a second copy of its sources, in which the compiler does nothing."""
    import numba

    import suspedu.ride

    names = [f"suspedu.ride.{name}" for name in ("kernel_lookup", "kernel_forces", "kernel")]
    kept, numba.config.DISABLE_JIT = {name: sys.modules.pop(name) for name in names if name in sys.modules}, True
    try:
        return importlib.import_module(names[-1]).rates
    finally:
        numba.config.DISABLE_JIT = False
        sys.modules.update(kept)
        suspedu.ride.kernel = kernel


def as_lists(numbers):
    """What the loop is given with lists for arrays, which plain Python reads faster."""
    if isinstance(numbers, np.ndarray):
        return numbers.tolist()
    if not isinstance(numbers, tuple):
        return numbers
    inside = [as_lists(each) for each in numbers]
    return type(numbers)(*inside) if hasattr(numbers, "_fields") else tuple(inside)


def library_seconds(compiled_law: bool) -> tuple[float, float]:
    """Processor seconds of LSODA (rtol 1e-6) over the same ride, and its largest difference in height [mm]."""
    path = ground_path(TERRAIN, VEHICLE.tyre.radius, CONTACT)
    climb = path.derivative()
    bike, laws, law = loop_tables.bike_numbers(VEHICLE, 0.3), loop_tables.fork_numbers(fork(), VEHICLE), kernel.rates
    if not compiled_law:
        bike, laws, law = as_lists(bike), as_lists(laws), plain_rates()

    def motion(t, state):
        s = min(12.0 * t, TERRAIN.length)
        return law(tuple(state), (float(path(s)), float(climb(s)) * 12.0, 0.0), bike, laws)[:6]

    ride = simulate(VEHICLE, fork(), TERRAIN)
    start = time.process_time()
    found = solve_ivp(motion, (0, ride.time[-1]), ride.record[0, :6], method="LSODA", rtol=1e-6, t_eval=ride.time)
    return time.process_time() - start, 1e3 * np.abs(found.y[[0, 2, 4]].T - ride.record[:, [0, 2, 4]]).max()


def start_seconds(cache: str) -> float:
    """Seconds that a new interpreter needs to get the engine ready, with its cache in a folder."""
    code = "import time; t = time.perf_counter(); from suspedu.ride.engine import prepare; prepare(); " \
           "print(time.perf_counter() - t)"
    done = subprocess.run([sys.executable, "-c", code], env={**os.environ, "NUMBA_CACHE_DIR": cache},
                          capture_output=True, text=True, check=True)
    return float(done.stdout)


def main() -> None:
    """Print the ratios, and say where a promise is not kept: a benchmark informs, it does not fail a build."""
    import tempfile

    with tempfile.TemporaryDirectory() as cache:
        first, later = start_seconds(cache), start_seconds(cache)
    print(f"first use, compiling: {first:.1f} s (promise 15); from the cache, with imports: {later:.1f} s (promise 3)")
    engine.prepare()
    ground_over_time(TERRAIN, 12.0, TYRE.radius, CONTACT, 5e-4)
    law = fork()
    ours = timed(lambda: simulate(VEHICLE, law, TERRAIN), 21, time.process_time)
    plain, off = library_seconds(compiled_law=False)
    half, _ = library_seconds(compiled_law=True)
    ours = statistics.median([ours, timed(lambda: simulate(VEHICLE, law, TERRAIN), 21, time.process_time)])
    print(f"10 s ride at 0.5 ms: {1e3 * ours:.2f} ms of processor time; solve_ivp LSODA rtol 1e-6, same law in Python: "
          f"{plain:.2f} s = {plain / ours:.0f}x (promise 500); same law compiled: {half:.2f} s = {half / ours:.0f}x; "
          f"largest difference {off:.3f} mm")
    forks = [fork(factor) for factor in np.linspace(0.3, 3.0, 1000)]
    before = time.process_time()
    many = timed(lambda: simulate_many([VEHICLE], forks, TERRAIN, keep=lambda ride: ride.stroke.max()))
    worked = time.process_time() - before
    judged = timed(lambda: simulate_many([VEHICLE], forks, TERRAIN, keep=outcomes))
    print(f"1000 settings on {os.cpu_count()} cores: {many:.2f} s (promise 4), with all outcomes {judged:.2f} s; "
          f"{worked:.2f} s of processor time, {worked / 2:.2f} s on each of 2 cores")
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    print(f"load of the machine {load:.1f} on {os.cpu_count()} cores: above their number the seconds say little")
    print("promise of 500x " + ("kept" if plain / ours >= 500 else "NOT KEPT in this run"))


if __name__ == "__main__":
    main()
