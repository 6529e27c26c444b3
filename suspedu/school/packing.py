"""A row of whoops, and a fork that comes back too slowly, in time, or too fast."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine.riding import ride
from suspedu.numerics import remembered
from suspedu.ride.outcomes import outcomes
from suspedu.ride.simulate import Ride
from suspedu.ride.terrain import RUN_IN, Terrain, whoops
from suspedu.school.machines import set_machine
from suspedu.school.tables import Tabulated

COUNT = 11
USUAL_RATE = 4.0  # N/mm, the school's own springs
CLICKS = np.arange(0, 25, 2)


@dataclass(frozen=True)
class WhoopRow:
    """A row of whoops: height and spacing [m], the speed at which it is ridden [m/s], length with what is flat [m]."""

    height: float
    spacing: float
    speed: float
    length: float


ROWS = {"tall": WhoopRow(0.3, 5.0, 7.0, 72.0), "round": WhoopRow(0.2, 4.5, 8.0, 64.0),  # as in the school's loop
        "short": WhoopRow(0.15, 2.5, 8.0, 47.5)}  # fmt: skip


def left_over(done: Ride) -> np.ndarray:
    """Least stroke on the way over each hump [m]: how much of the last blow the fork still carries."""
    spacing = (done.terrain.quiet_from - RUN_IN) / COUNT
    hump = np.floor((done.distance - RUN_IN) / spacing)
    return np.array([done.stroke[hump == number].min() for number in range(COUNT)])


@remembered
def whoop_row(row: str) -> Terrain:
    """One of `ROWS` as a terrain: eleven humps and flat ground after them.

    >>> round(whoop_row("tall").length)
    72
    """
    one = ROWS[row]
    return whoops(one.height, one.spacing, COUNT, one.speed, length=one.length)


@remembered
def over_whoops(row: str, rebound: float, coil_rate: float) -> Ride:
    """The school enduro over a row of whoops, at rebound clicks out and a coil_rate [N/mm] of each leg."""
    return ride(set_machine("enduro", rebound=rebound, coil_rate=coil_rate), whoop_row(row))


def comes_back_to(done: Ride) -> float:
    """Least stroke between blows [m], averaged over all humps but the first."""
    return float(left_over(done)[1:].mean())


@remembered
def over_clicks(row: str, outcome: str) -> Tabulated:
    """An outcome [SI] over rebound clicks out, on the school's own springs.

    >>> lows = over_clicks("round", "ride_height")
    >>> np.sign(np.diff(lows.y)).tolist()[::4]  # the faster it may come back, the higher it works
    [-1.0, -1.0, -1.0]
    """
    found = [outcomes(over_whoops(row, int(clicks), USUAL_RATE), [outcome])[outcome] for clicks in CLICKS]
    return Tabulated(CLICKS, np.array(found))
