"""Between the dataclasses and the compiled loop: a ride's record, and the loop made ready beforehand."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from suspedu.numerics import frozen
from suspedu.parts.tyre import Tyre
from suspedu.ride import loop_tables
from suspedu.ride.ground import Ground
from suspedu.ride.vehicle import ForkLaw, Vehicle


def run(ground: Ground, vehicle: Vehicle, fork: ForkLaw, state: list) -> tuple:
    """The record of a ride from a start, step by step.

    Parameters: ground; vehicle; fork; state, the numbers of the loop's state at the start [m, m/s, J].
    Returns: record [n, CHANNELS], closed to writing, each channel whole in memory, and the number of the step at which
    the run diverged, or -1.
    """
    from suspedu.ride import kernel  # it loads the compiler, so it waits for the first ride

    record = np.zeros((kernel.CHANNELS, (len(ground.height) + 1) // 2))
    failed = kernel.integrate(np.array(state), *loop_tables.of_ride(ground, vehicle, fork), record)
    return frozen(record).T, failed


def prepare(progress: Callable[[str], None] | None = None) -> None:
    """Compile the loop (or load it from the cache) before the first ride, saying so.

    Parameters: progress(sentence), called before and after.

    >>> prepare()
    """
    from suspedu.ride import kernel

    if getattr(kernel.integrate, "signatures", None) == []:
        say = progress or (lambda sentence: None)
        say("Getting the ride engine ready: once on this machine, a few seconds.")
        still = np.zeros(3)
        run(Ground(1e-3, still, still, still, still), *example(), [0.0] * kernel.STATES)
        say("The ride engine is ready.")


def example() -> tuple[Vehicle, ForkLaw]:
    """A vehicle of 80 kg on 10 N/mm and 1000 N s/m, straight laws: for examples and for the first compilation.

    >>> example()[0].sprung_mass
    80.0
    """
    line = np.linspace(0.0, 0.3, 2)
    fork = ForkLaw(0.3, line, 1e4 * line, line - 0.15, 1e3 * (line - 0.15))
    return Vehicle(80.0, 15.0, 0.45, Tyre(pressure=1e5, casing_rate=65e3, damping=150.0, width=0.052)), fork
