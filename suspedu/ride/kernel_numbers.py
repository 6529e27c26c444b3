"""What the compiled loop is given: tables, stops, friction, tyre and masses as plain numbers. Loads no compiler."""

from typing import NamedTuple

import numpy as np


class Table(NamedTuple):
    """A value over one place, on a uniform grid."""

    values: np.ndarray
    low: float
    scale: float  # 1/step


class Surface(NamedTuple):
    """A force over (stroke, velocity), flattened row by row: even strokes, and the velocities of `Speeds`."""

    values: np.ndarray
    rows: int
    columns: int
    row_low: float
    row_scale: float  # 1/step


class Speeds(NamedTuple):
    """Velocities of the surfaces' columns at any spacing, and a finder: first column for each of many even shares
    of v/(|v| + bend)."""

    nodes: np.ndarray
    inverse: np.ndarray  # 1/width of each cell
    first: np.ndarray  # integers
    scale: float  # half the number of shares
    bend: float  # m/s


class Stop(NamedTuple):
    """A bumper, metal or top-out spring: it pushes from a place on, with a rate, a cubic part [N/m3] and a loss."""

    place: float
    rate: float
    stiffening: float
    loss: float  # s/m


class StrokeTable(NamedTuple):
    """Stroke over the wheel's travel, and its slope, on a uniform grid from full extension."""

    strokes: np.ndarray
    slopes: np.ndarray
    size: float  # of a cell [m]
    scale: float  # 1/size


class Rub(NamedTuple):
    """Friction of a leg, or of two alike: a level that load, brake and stroke set, times a shape over velocity.

    level = slid(x) + sliding (|R_upper| + |R_lower|), of a beam on two bushings under a cross force and a couple.
    """

    shape: Table  # held outside
    slid: Table  # seals, and what pressure adds, over stroke [N]
    sliding: float  # of the bushings [-]
    overlap: float  # of the bushings at full extension [m]
    below: float  # axle below the lower bushing at full extension [m]
    across: float  # cross force per load on the ground [-]
    hanging: float  # load that stands across nothing: the wheel's own weight [N]
    along: float  # cross force per braking force, against it [-]
    couple: float  # couple per braking force [m]


class Fork(NamedTuple):
    """Force laws along the fork, both legs together."""

    spring: Table  # over stroke, extended in a straight line
    speeds: Speeds
    damping: Surface
    end_stop: Surface
    rubs: tuple[Rub, Rub]
    top_outs: tuple[Stop, Stop]
    bumpers: tuple[Stop, Stop]
    metal: Stop


class Carcass(NamedTuple):
    """The tyre as it stands at its pressure."""

    rate: float
    damping: float
    brought_in: float  # 1/m: over its inverse the damping comes in
    rim: float  # squash at which the rim is met [m]
    rim_rate: float  # N/m2


class Limbs(NamedTuple):
    """The rider's body on arms and legs; a mass of nothing stands for a rider who is one with the chassis."""

    inverse: float  # 1/mass, or 0
    rate: float
    damping: float
    range: float  # m of squeeze
    end_rate: float  # more, past it


class Bike(NamedTuple):
    """Masses, wheel end and tyre of the front of the machine."""

    sprung_inverse: float  # 1/mass; the loop multiplies where it can, dividing is slow
    unsprung_inverse: float
    way: StrokeTable
    gravity: float
    tyre: Carcass
    limbs: Limbs
    transfer: float  # load moved to the front per deceleration [N/(m/s2)]
    jacking: float  # pull of the brake along the wheel's path, as vertical force per deceleration
    braking: float  # force of the front brake on the ground per deceleration


class Pace(NamedTuple):
    """How the loop goes through time."""

    step: float  # s
    steep: float  # parts of a step for each newton of friction's level
    thick: float  # parts of a step that the damper asks for, more in cold oil
    stop_thick: float  # more, past that stroke, for the end stop
    stop_from: float  # m
    sticky: float  # m/s of the wheel within which all this is steep
    reach: float  # m that no height may leave
