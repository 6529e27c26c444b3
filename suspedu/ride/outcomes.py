"""What a ride was like, in numbers, and which way each is better."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from suspedu.ride.simulate import Ride
from suspedu.ride.weighting import comfort_acceleration
from suspedu.units import InputError, nearest

SPEED_EDGES = (0.0, 0.3, 1.5, 20.0)  # m/s: body movement and braking, chop, square edges and landings (common practice)
SETTLED = 0.005  # m either side of rest that counts as settled
QUIET_FLOOR = 0.3  # s of flat ground needed to judge settling


@dataclass(frozen=True)
class RideOutcome:
    """One thing a ride is judged by."""

    name: str
    label: str
    unit: str  # for reading; values are SI
    better: str  # "less", "more" or "target"
    measure: Callable[[Ride], float]  # nan where the terrain does not ask the question


def airborne(ride: Ride) -> float:
    """Share of the time in which the tyre does not touch [-]."""
    return float(np.mean(ride.tyre_force <= 0.0))


def load_variation(ride: Ride) -> float:
    """Dynamic tyre-load coefficient: standard deviation over mean of the tyre's load [-]."""
    return float(ride.tyre_force.std() / ride.tyre_force.mean())


def drift(ride: Ride) -> float:
    """Mean stroke in the last third of the rough part less that in the first third [m]: > 0 is packing down."""
    rough = ride.stroke[_rough(ride)]
    third = max(1, len(rough) // 3)
    return float(rough[-third:].mean() - rough[:third].mean())


def _rough(ride: Ride) -> np.ndarray:
    """Steps from the first to the last that is not flat ground (all of them on flat ground)."""
    end = ride.terrain.quiet_from
    rolled = ride.distance <= (end if end else np.inf)
    first = np.argmax(np.abs(ride.road - ride.road[0]) > 1e-3)
    return rolled & (np.arange(len(rolled)) >= first)


def bumper_from(ride: Ride) -> float:
    """Stroke at which the first bumper is touched [m]."""
    return ride.fork.travel - max((bumper.length for bumper in ride.fork.bumpers), default=0.0)


def bottomings(ride: Ride) -> float:
    """How often the bumper was touched [-]."""
    touched = ride.stroke > bumper_from(ride)
    return float(np.count_nonzero(touched[1:] & ~touched[:-1]))


def braking_dive(ride: Ride) -> float:
    """Deepest stroke on the brakes below that at rest [m], smoothed over 0.2 s so that bumps do not count."""
    if not ride.slowing.any():
        return float("nan")
    width = max(1, round(0.2 / ride.ground.step))
    smooth = np.convolve(ride.stroke, np.full(width, 1 / width), mode="same")
    return float(smooth[ride.slowing > 0.5 * ride.slowing.max()].max() - ride.static_stroke)


def overshoots(ride: Ride) -> float:
    """How often the stroke swings past rest, from more than 5 mm on one side to the other, on flat ground [-]."""
    swing = _after(ride) - ride.static_stroke
    side = np.sign(swing[np.abs(swing) > SETTLED])
    return float(np.count_nonzero(np.diff(side))) if len(swing) > QUIET_FLOOR / ride.ground.step else float("nan")


def settling_time(ride: Ride) -> float:
    """Time on flat ground until the stroke stays within 5 mm of where it comes to rest [s]."""
    quiet = _after(ride)
    if len(quiet) <= QUIET_FLOOR / ride.ground.step:
        return float("nan")
    restless = np.flatnonzero(np.abs(quiet - quiet[-1]) > SETTLED)
    return float((restless[-1] + 1) * ride.ground.step) if len(restless) else 0.0


def _after(ride: Ride) -> np.ndarray:
    end = ride.terrain.quiet_from
    return ride.stroke[ride.distance >= end] if end is not None else np.empty(0)


def heating_power(ride: Ride) -> float:
    """Mean power that damper and end stop turn into heat [W]."""
    return float(ride.energies[-1, :2].sum() / ride.time[-1])


OUTCOMES = {o.name: o for o in (
    RideOutcome("comfort", "weighted acceleration of the chassis", "m/s^2", "less",
            lambda ride: float(comfort_acceleration(ride.sprung_acceleration, 1 / ride.ground.step))),
    RideOutcome("harshness", "hardest upward acceleration of the chassis", "m/s^2", "less",
            lambda ride: float(ride.sprung_acceleration.max())),
    RideOutcome("airborne", "time with the tyre in the air", "percent", "less", airborne),
    RideOutcome("load_variation", "variation of the tyre's load", "", "less", load_variation),
    RideOutcome("ride_height", "mean stroke", "mm", "target", lambda ride: float(ride.stroke[_rough(ride)].mean())),
    RideOutcome("drift", "packing: mean stroke late less early", "mm", "target", drift),
    RideOutcome("deepest", "deepest stroke", "mm", "target", lambda ride: float(ride.stroke.max())),
    RideOutcome("margin", "travel left at the deepest point", "mm", "more",
            lambda ride: float(ride.fork.travel - ride.stroke.max())),
    RideOutcome("bottomings", "times the bumper was touched", "", "less", bottomings),
    RideOutcome("peak_force", "largest force in the fork", "N", "less", lambda ride: float(ride.fork_force.max())),
    RideOutcome("dive", "dive on the brakes", "mm", "less", braking_dive),
    RideOutcome("kick", "fastest throw upwards of the chassis", "m/s", "less",
            lambda ride: float(ride.sprung_velocity.max())),
    RideOutcome("overshoots", "swings past rest after the bumps", "", "less", overshoots),
    RideOutcome("settling", "time to settle after the bumps", "s", "less", settling_time),
    RideOutcome("heating", "heat into the oil", "W", "less", heating_power),
)}


def outcomes(ride: Ride, names: Sequence[str] | None = None) -> dict[str, float]:
    """Outcomes of a ride by name [SI]; nan where the terrain does not ask the question.

    Parameters: ride; names, all of `OUTCOMES` if not given.
    Raises: InputError for a name that is none.

    >>> from suspedu.ride import flat, simulate
    >>> from suspedu.ride.engine import example
    >>> outcomes(simulate(*example(), flat()), ["bottomings"])
    {'bottomings': 0.0}
    """
    wanted = tuple(OUTCOMES if names is None else names)
    for name in wanted:
        if name not in OUTCOMES:
            known = ", ".join(OUTCOMES)
            raise InputError(f"outcome '{name}' is not known{nearest(name, OUTCOMES)}; there are: {known}")
    return {name: OUTCOMES[name].measure(ride) for name in wanted}


def speed_shares(ride: Ride, edges=SPEED_EDGES) -> dict[str, np.ndarray]:
    """Share of the time in each range of shaft speed, in compression and in rebound.

    Parameters: ride; edges [n + 1, m/s], rising; the last is taken as no limit.
    Returns: {"compression": [n], "rebound": [n]} [-]; together they make 1.
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
