"""The school's cartridge in a machine that pushes it to and fro: the loop of its force, with air in the oil."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.damper import Loop, lag, leg_force, loop_work, sine_loop
from suspedu.numerics import remembered
from suspedu.school.legs import MIDDLE, set_damper, surroundings

POINTS = 121


@dataclass(frozen=True, eq=False)
class PushedLoop:
    """A cycle of the school's cartridge, and the same with its oil as stiff as steel."""

    loop: Loop
    steady: np.ndarray  # N at the loop's instants, were nothing stored in the oil
    work: float  # J that a cycle takes out
    late: float  # s by which the force comes after the velocity


@remembered(size=256)
def pushed_loop(amplitude: float, frequency: float, air: float, rebound: int) -> PushedLoop:
    """The school's cartridge pushed by an amplitude [m] at a frequency [Hz], with a share of air in its oil [-].

    Parameters: amplitude; frequency; air, of the oil's volume at one atmosphere; rebound [clicks out].

    >>> bled, foamed = (pushed_loop(0.03, 4.0, air, 12) for air in (0.0005, 0.08))
    >>> round(bled.work, 1) > round(foamed.work, 1), round(bled.late * 1e3, 1)
    (True, 0.6)
    """
    damper, around = replace(set_damper(rebound=rebound), air_fraction=air), surroundings(MIDDLE)
    loop = sine_loop(amplitude, frequency, damper, middle=MIDDLE, points=POINTS, air_fraction=air, **around)
    steady = leg_force(loop.stroke, loop.velocity, damper, **around)
    return PushedLoop(loop, steady.force, loop_work(loop), lag(loop))
