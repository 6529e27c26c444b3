"""A contact stack of 15 shims, no two alike: our solution against a general-purpose minimiser, as a ratio.

Run by hand: python tests/benchmarks/shim_stacks.py
"""

import os
from time import perf_counter

import numpy as np
from scipy.optimize import minimize

from suspedu.parts.shim_stacks import Port, Shim, Stack, lift_curve
from suspedu.parts.shim_stacks.contact import balance, contact_stack

PORT = Port(0.012, 0.018)
PRESSURE = 1.5e6
TAPER = Stack(tuple(Shim((24 - 0.8 * k) * 1e-3, 1.5e-4) for k in range(15)), 0.010)
CROSSOVER = Stack((Shim(0.024, 1.5e-4), Shim(0.011, 1e-4), *TAPER.shims[1:14]), 0.010)


def ours(stack: Stack) -> float:
    """Lift at one pressure, from the list of shims on: nothing cached."""
    problem = contact_stack.__wrapped__(stack, PORT)
    return float(problem.compliance[-1] @ balance(problem, PRESSURE) + problem.slack_rates[-1, 0] * PRESSURE)


def plain(stack: Stack) -> float:
    """The same contact forces by scipy's bounded minimiser on the same matrices."""
    problem = contact_stack.__wrapped__(stack, PORT)
    unit = 1 / np.sqrt(np.diag(problem.compliance))
    matrix = problem.compliance * np.outer(unit, unit)
    start = (problem.slack + problem.slack_rates[:, 0] * PRESSURE) * unit
    size = np.abs(start).max()
    found = minimize(lambda f: (0.5 * f @ matrix @ f + start @ f / size, matrix @ f + start / size),
                     np.zeros(len(start)),
                     jac=True, bounds=[(0, None)] * len(start), method="L-BFGS-B",
                     options={"maxiter": 20000, "maxfun": 50000, "ftol": 1e-14, "gtol": 1e-9})
    return float(problem.compliance[-1] @ (found.x * size * unit) + problem.slack_rates[-1, 0] * PRESSURE)


def best(work, repeats: int = 5) -> float:
    """Shortest of a few runs, seconds."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def main() -> None:
    """Print times, their ratio, and how far the plain way's lift is off."""
    for name, stack in (("taper", TAPER), ("crossover", CROSSOVER)):
        fast, slow = best(lambda s=stack: ours(s)), best(lambda s=stack: plain(s), 1)
        off = plain(stack) / ours(stack) - 1
        print(f"15 shims, {name}: contact {fast * 1e3:.0f} ms (asked: 100 ms), plain minimiser {slow * 1e3:.0f} ms, "
              f"ratio {slow / fast:.1f}; lifts differ by {off:.1e}")
        curve = best(lambda s=stack: (_forget(), lift_curve(s, PORT)), 2)
        print(f"    whole lift curve, {len(lift_curve(stack, PORT).pressure)} points: {curve * 1e3:.0f} ms")
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    print(f"load of the machine {load:.1f} on {os.cpu_count()} processors: above their number the ms say little")


def _forget() -> None:
    from suspedu.parts.shim_stacks import lift
    contact_stack.cache_clear()
    lift._contact_curve.cache_clear()


if __name__ == "__main__":
    main()
