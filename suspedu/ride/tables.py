"""What the inner loop of a ride works on: laws as tables on even grids, and the few numbers of a vehicle."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

STATES = 10  # heights and velocities; then [J] dissipated in damper, end stop, friction, tyre; put in by ground, load
RESULTS = 5  # a record also holds sprung acceleration, tyre force, fork force, stroke and shaft velocity
CHANNELS = STATES + RESULTS


class Table(NamedTuple):
    """A force over (stroke, velocity) on a uniform grid, flattened row by row."""

    values: np.ndarray
    rows: int
    columns: int
    row_low: float
    row_scale: float  # 1/step
    column_low: float
    column_scale: float


class Stop(NamedTuple):
    """A bumper or top-out spring: it pushes from a place on, with a rate and a cubic part [N/m3]."""

    place: float
    rate: float
    stiffening: float


class StrokeTable(NamedTuple):
    """Stroke over the wheel's travel, and its slope, on a uniform grid from full extension."""

    strokes: np.ndarray
    slopes: np.ndarray
    size: float  # of a cell [m]
    scale: float  # 1/size


class Fork(NamedTuple):
    """Force laws along the fork, both legs together."""

    spring: Table  # one row over stroke: the stroke is the column
    damping: Table
    end_stop: Table
    friction: Table  # one row over velocity, held outside
    top_outs: tuple[Stop, Stop]
    bumpers: tuple[Stop, Stop]


class Bike(NamedTuple):
    """Masses, wheel end and tyre of the front of the machine."""

    sprung_inverse: float  # 1/mass; the loop multiplies where it can, dividing is slow
    unsprung_inverse: float
    way: StrokeTable
    gravity: float
    tyre_rate: float
    tyre_damping: float
    transfer: float  # load moved to the front per deceleration [N/(m/s2)]
    jacking: float  # pull of the brake along the wheel's path, as vertical force per deceleration


class Pace(NamedTuple):
    """How the loop goes through time."""

    step: float  # s
    fine: int  # parts of a step where the friction is steep
    sticky: float  # m/s of the wheel within which it is
    reach: float  # m that no height may leave
