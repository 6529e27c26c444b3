"""One instant of a ride as it would be seen from the side, true to scale: ground, wheel, both tubes, chassis, rider.

Lengths are metres; x runs ahead of the axle, y up from the ground on which the wheel would roll.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.ride.terrain import STEP
from suspedu.school.bench import OnBench
from suspedu.school.bench_point import air_under

BEHIND, AHEAD = 1.3, 1.7  # m of ground that are seen
LOWER_TUBE = 0.67  # m from the axle to the end of the inner tube, where a machine describes no bushings
OVERLAP = 0.19  # m between the bushings, likewise (both guess of the course)
ROUND = 48  # points of a wheel
BODY = np.array([[0.0, 0.12], [0.0, -0.26], [-0.55, -0.34], [-0.95, -0.02], [-0.95, 0.10], [-0.35, 0.18]])  # of a frame
ARMS = 0.62  # m from the frame to a rider's mass centre with unloaded limbs, as drawn (guess of the course)


@dataclass(frozen=True, eq=False)
class Sight:
    """Outlines as points [n, 2, m] and the rider's mass as one point [2, m]."""

    ground: np.ndarray
    wheel: np.ndarray
    axle: np.ndarray
    inner: np.ndarray  # the tube that slides, from the axle up
    outer: np.ndarray  # the tube in the clamps
    chassis: np.ndarray
    limbs: np.ndarray  # from the chassis to the rider's mass
    rider: np.ndarray
    air: float  # under the tyre


def sight(bench: OnBench, step: int) -> Sight:
    """What is seen at a step of the ride.

    >>> from suspedu.school.bench import on_bench
    >>> from suspedu.school.machines import school_machine
    >>> bench = on_bench(school_machine(), "log")
    >>> seen = sight(bench, 0)
    >>> round(float(seen.axle[1]), 3), seen.air  # 345 mm of tyre, squashed by the load
    (0.338, 0.0)
    """
    ride, machine = bench.ride, bench.machine
    rake, stroke = float(machine.chassis.rake), float(ride.stroke[step])
    radius, up = float(ride.vehicle.tyre.radius), np.array([-np.sin(rake), np.cos(rake)])
    ground = _ground(bench, step)
    axle = np.array([0.0, radius + float(ride.wheel_height[step] - ride.road[step])])
    slider, overlap = _tubes(machine)
    low = axle + up * (slider - overlap - stroke)  # the lower bushing, in the foot of the outer tube
    high = low + up * (overlap + machine.travel)
    body = low + up * (overlap + machine.travel) * 0.62 + BODY
    seat = body.mean(axis=0) + np.array([-0.1, 0.2])
    squeezed = float(ride.rider_height[step] - ride.sprung_height[step])
    rider = seat + np.array([0.0, ARMS + squeezed])
    return Sight(ground, _wheel(axle, radius, ground), axle, np.array([axle, axle + up * slider]),
                 np.array([low, high]), body, np.array([seat, rider]), rider, air_under(bench, step))


def _tubes(machine) -> tuple[float, float]:
    """Length of the inner tube from the axle to its end, and between the bushings at full extension [m]."""
    bushings = machine.legs[0].bushings
    if bushings is None:
        return LOWER_TUBE, OVERLAP
    return float(bushings.reach + bushings.overlap), float(bushings.overlap)


def _ground(bench: OnBench, step: int) -> np.ndarray:
    """The ground round the wheel, over that on which it would roll [n, 2, m]; flat beyond its ends."""
    ride = bench.ride
    heights, place = ride.terrain.height, float(ride.distance[step])
    x = np.arange(-BEHIND, AHEAD + 1e-9, 0.02)
    under = np.interp(place + x, np.arange(len(heights)) * STEP, heights)
    return np.column_stack([x, under - float(ride.road[step])])


def _wheel(axle, radius: float, ground) -> np.ndarray:
    """The tyre as a circle, flattened where the ground presses it [n, 2, m]."""
    angle = np.linspace(0.0, 2.0 * np.pi, ROUND)
    x, y = axle[0] + radius * np.sin(angle), axle[1] - radius * np.cos(angle)
    return np.column_stack([x, np.maximum(y, np.interp(x, ground[:, 0], ground[:, 1]))])
