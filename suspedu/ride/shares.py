"""Where a ride spends its time: shares of shaft speed, of heat and of stroke."""

from __future__ import annotations

import numpy as np

from suspedu.ride.simulate import Ride

SPEED_EDGES = (0.0, 0.3, 1.5, 20.0)  # m/s: body movement and braking, chop, square edges and landings (common practice)


def speed_shares(ride: Ride, edges=SPEED_EDGES) -> dict[str, np.ndarray]:
    """Share of the time in each range of shaft speed, in compression and in rebound.

    Parameters: ride; edges [n + 1, m/s], rising; the last is taken as no limit.
    Returns: {"compression": [n], "rebound": [n]} [-]; together they make 1.

    >>> from suspedu.ride import flat, simulate
    >>> from suspedu.ride.engine import example
    >>> float(sum(speed_shares(simulate(*example(), flat()))["compression"][1:]))  # at rest nothing is fast
    0.0
    """
    edges = np.asarray([*edges[:-1], np.inf])
    v = ride.velocity
    sides = {"compression": v[v >= 0], "rebound": -v[v < 0]}
    return {side: np.histogram(speed, edges)[0] / len(v) for side, speed in sides.items()}


def heat_shares(ride: Ride, edges=SPEED_EDGES) -> dict[str, np.ndarray]:
    """Share of the heat of damper and end stop made in each range of shaft speed, in compression and in rebound.

    Parameters: ride; edges [n + 1, m/s], rising; the last is taken as no limit.
    Returns: {"compression": [n], "rebound": [n]} [-]; together they make 1.
    """
    heat, v = np.diff(ride.energies[:, :2].sum(axis=1)), (ride.velocity[1:] + ride.velocity[:-1]) / 2
    edges = np.array([*edges[:-1], np.inf])
    sides = {"compression": v >= 0, "rebound": v < 0}
    return {side: np.histogram(np.abs(v[there]), edges, weights=heat[there])[0] / heat.sum()
            for side, there in sides.items()}


def stroke_shares(ride: Ride, bins: int = 30) -> tuple[np.ndarray, np.ndarray]:
    """Share of the time at each stroke: (edges [bins + 1, m], shares [bins]); strokes past an end count at that end."""
    edges = np.linspace(0.0, ride.fork.travel, bins + 1)
    inside = np.clip(ride.stroke, edges[0], edges[-1])
    return edges, np.histogram(inside, edges)[0] / len(inside)
