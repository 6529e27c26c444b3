"""The damping of a whole fork, both legs at their clicks: items and a number for the panel of the first day."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.machine import Machine, adjusted, has, load, range_of
from suspedu.machine.damping import damping_table
from suspedu.show.view import Axes, Curve, Mark

SPEEDS = np.concatenate([-np.geomspace(2.0, 0.02, 20), [0.0], np.geomspace(0.02, 2.0, 20)])
PLACE, READ = 0.15, 0.25  # m of stroke; m/s at which in and out are read: chop
AXES_DAMPING = Axes("velocity [m/s]", "damping force [N]", (-2, 2), (-3600, 1800), "Damping", share=0.75)


@lru_cache(maxsize=1024)
def fork_damping(machine_name: str, compression_low: int, compression_high: int, rebound: int) -> np.ndarray:
    """Damping force of both legs [N], without gas, over SPEEDS for clicks out.

    >>> force = fork_damping("enduro", 12, 10, 12)
    >>> bool(force[0] < 0 < force[-1])
    True
    """
    given = {"compression_low": compression_low, "compression_high": compression_high, "rebound": rebound}
    return damping_table(clicked(load(machine_name), given), np.array([PLACE]), SPEEDS)[0]


def clicked(machine: Machine, clicks: dict[str, int]) -> Machine:
    """The machine at clicks out, each leg as far as it has the adjuster and the adjuster has the clicks."""
    for number, leg in enumerate(machine.legs, start=1):
        reached = {name: min(int(at), range_of(leg, name)[1]) for name, at in clicks.items() if has(leg, name)}
        machine = adjusted(machine, number if len(machine.legs) == 2 else None, **reached)
    return machine


def damping_items(force: np.ndarray, axes: int) -> tuple:
    """The curve of both legs over velocity and the two points at which it is read."""
    there, back = at_read(force)
    return (
        Curve("damping", SPEEDS, force, axes, "main", margin=False),
        Mark("in", READ, there, "in", axes, "second"),
        Mark("out", -READ, back, "out", axes, "second"),
    )


def at_read(force: np.ndarray) -> tuple[float, float]:
    """Damping on the way in and on the way out [N] at READ."""
    return float(np.interp(READ, SPEEDS, force)), float(np.interp(-READ, SPEEDS, force))
