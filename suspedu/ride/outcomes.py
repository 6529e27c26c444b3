"""What a ride was like, in numbers, and which way each is better."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from suspedu.ride.energy import elastic_energy
from suspedu.ride.simulate import Ride
from suspedu.ride.weighting import comfort_acceleration
from suspedu.units import STANDARD_ATMOSPHERE, InputError, nearest

SETTLED = 0.005  # m either side of rest that counts as settled
QUIET_FLOOR = 0.3  # s of flat ground needed to judge settling
EARLY = 0.3  # s after the brake's bite in which dive is felt as such (guess of the course)


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
    rough = ride.stroke[ride.rough]
    third = max(1, len(rough) // 3)
    return float(rough[-third:].mean() - rough[:third].mean())


def bumper_from(ride: Ride) -> float:
    """Stroke at which the first bumper is touched [m]."""
    return ride.fork.travel - max((bumper.length for bumper in ride.fork.bumpers), default=0.0)


def bottomings(ride: Ride) -> float:
    """How often the bumper was touched [-]."""
    return float(len(_touches(ride)))


def _touches(ride: Ride) -> np.ndarray:
    """Steps at which the bumper is met."""
    touched = ride.stroke > bumper_from(ride)
    return np.flatnonzero(touched[1:] & ~touched[:-1]) + 1


def bumper_speed(ride: Ride) -> float:
    """Fastest shaft speed at which the bumper was met [m/s]; 0 where it was not."""
    return float(max(ride.velocity[_touches(ride)].max(initial=0.0), 0.0))


def reserve(ride: Ride) -> float:
    """Energy that springs and bumpers could still take from the deepest stroke to full travel [J], < 0 past it."""
    return float(elastic_energy(ride.fork.travel, ride.fork) - elastic_energy(ride.stroke.max(), ride.fork))


def past_travel(ride: Ride) -> float:
    """How far metal was pressed into metal at full travel [m]; 0 where it was not reached."""
    return float(max(ride.stroke.max() - ride.fork.travel, 0.0))


def bite(ride: Ride) -> int:
    """Step at which the hardest braking begins to bite."""
    hardest = int(np.argmax(ride.slowing > ride.slowing.max() * (1 - 1e-9)))
    rising = np.diff(ride.slowing[: hardest + 1]) > 1e-12
    return int(np.flatnonzero(~rising)[-1] + 1) if not rising.all() else 0


def early_dive(ride: Ride) -> float:
    """Dive in the first 0.3 s after the brake's bite [m]: mean stroke about then less that about the bite."""
    if not ride.slowing.any():
        return float("nan")
    first, step = bite(ride), ride.ground.step
    after, around = first + round(EARLY / step), max(1, round(0.02 / step))
    if after + around > len(ride.stroke):
        return float("nan")
    return float(ride.stroke[after - around:after + around].mean()
                 - ride.stroke[max(first - 2 * around, 0):first + 1].mean())


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


def tube_pressure(ride: Ride) -> float:
    """Highest pressure of the air in a tube, over that of the open air [Pa]; nan where the fork's laws hold none."""
    pressures = ride.fork.air_pressures
    if not len(pressures):
        return float("nan")
    return float(max(np.interp(ride.stroke.max(), ride.fork.strokes, each) for each in pressures)) - STANDARD_ATMOSPHERE


def heating_power(ride: Ride) -> float:
    """Mean power that damper and end stop turn into heat [W]."""
    return float(ride.energies[-1, :2].sum() / ride.time[-1])


OUTCOMES = {o.name: o for o in (
    RideOutcome("comfort", "weighted acceleration of the bars", "m/s^2", "less",
            lambda ride: float(comfort_acceleration(ride.sprung_acceleration, 1 / ride.ground.step))),
    RideOutcome("body_comfort", "weighted acceleration of the rider's body", "m/s^2", "less",
            lambda ride: float(comfort_acceleration(ride.rider_acceleration, 1 / ride.ground.step))),
    RideOutcome("harshness", "hardest upward acceleration of the bars", "m/s^2", "less",
            lambda ride: float(ride.sprung_acceleration.max())),
    RideOutcome("body_hit", "hardest upward acceleration of the rider's body", "m/s^2", "less",
            lambda ride: float(ride.rider_acceleration.max())),
    RideOutcome("airborne", "time with the tyre in the air", "percent", "less", airborne),
    RideOutcome("load_variation", "variation of the tyre's load", "", "less", load_variation),
    RideOutcome("ride_height", "mean stroke", "mm", "target", lambda ride: float(ride.stroke[ride.rough].mean())),
    RideOutcome("drift", "packing: mean stroke late less early", "mm", "target", drift),
    RideOutcome("deepest", "deepest stroke", "mm", "target", lambda ride: float(ride.stroke.max())),
    RideOutcome("margin", "travel left at the deepest point", "mm", "more",
            lambda ride: float(ride.fork.travel - ride.stroke.max())),
    RideOutcome("reserve", "energy the rest of the travel could take", "J", "more", reserve),
    RideOutcome("bottomings", "times the bumper was touched", "", "less", bottomings),
    RideOutcome("bumper_speed", "speed at which the bumper is met", "m/s", "less", bumper_speed),
    RideOutcome("past_travel", "metal pressed into metal", "mm", "less", past_travel),
    RideOutcome("peak_force", "largest force in the fork", "N", "less", lambda ride: float(ride.fork_force.max())),
    RideOutcome("pressure", "highest pressure in a tube", "bar", "less", tube_pressure),
    RideOutcome("dive", "dive on the brakes", "mm", "less", braking_dive),
    RideOutcome("early_dive", "dive 0.3 s after the bite", "mm", "less", early_dive),
    RideOutcome("kick", "fastest throw upwards of the bars", "m/s", "less",
            lambda ride: float(ride.sprung_velocity[np.argmax(ride.tyre_force > 0.0):].max())),
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
