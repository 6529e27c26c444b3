"""The inner loop of a ride: forces, rates and the Runge-Kutta step, in scalar arithmetic, compiled.

Importing this module loads the compiler, so `engine` imports it with the first ride. Only + - * / are used: the
source run as plain Python (NUMBA_DISABLE_JIT=1) gives the same bits. The tables stand here with the loop, for what
is kept of it on disk is made anew when this file changes, and no other.
State: heights and upward velocities of sprung mass and wheel, then six running energies.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

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


def compiled(function):
    """Let go of the interpreter's lock, so that rides share the cores; keep the result on disk where one may write."""
    try:
        return njit(cache=True, nogil=True, error_model="numpy", forceinline=True)(function)
    except RuntimeError:  # no place for the cache was found: the package's folder and the user's are closed to writing
        return njit(nogil=True, error_model="numpy")(function)


@compiled
def cell(place, count):
    """Index of the grid cell that holds `place` (in steps), kept inside the grid; nan gives 0."""
    if not place > 0.0:
        return 0
    return int(place) if place < count - 1 else count - 2


@compiled
def interpolated(table, stroke, velocity):
    """Bilinear value: held at the ends of the stroke, extended in a straight line over velocity."""
    a = min(max((stroke - table.row_low) * table.row_scale, 0.0), table.rows - 1.0)
    b = (velocity - table.column_low) * table.column_scale
    i, j = cell(a, table.rows), cell(b, table.columns)
    a -= i
    b -= j
    k = i * table.columns + j
    low = table.values[k] + b * (table.values[k + 1] - table.values[k])
    k += table.columns
    return low + a * (table.values[k] + b * (table.values[k + 1] - table.values[k]) - low)


@compiled
def along(table, place):
    """Linear value of a one-row table, extended in a straight line."""
    b = (place - table.column_low) * table.column_scale
    j = cell(b, table.columns)
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


@compiled
def held(table, place):
    """Linear value of a one-row table, held at its ends."""
    b = min(max((place - table.column_low) * table.column_scale, 0.0), table.columns - 1.0)
    j = cell(b, table.columns)
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


@compiled
def stroke_and_slope(way, travel):
    """Stroke at a wheel travel and its slope: quadratic pieces that join smoothly, straight past the ends."""
    b = travel * way.scale
    j = cell(b, len(way.slopes))
    b -= j
    inside = min(max(b, 0.0), 1.0)
    rise = way.slopes[j + 1] - way.slopes[j]
    slope = way.slopes[j] + inside * rise
    past = inside * (way.slopes[j] + 0.5 * inside * rise) + (b - inside) * slope
    return way.strokes[j] + way.size * past, slope


@compiled
def pushed(squeeze, stop):
    """Force of a stop that is squeezed."""
    return squeeze * (stop.rate + stop.stiffening * squeeze * squeeze) if squeeze > 0.0 else 0.0


@compiled
def elastic(stroke, fork):
    """Springs, and both legs' top-out springs and bumpers."""
    first, second = fork.top_outs
    here, there = fork.bumpers
    return (along(fork.spring, stroke) - pushed(first.place - stroke, first) - pushed(second.place - stroke, second)
            + pushed(stroke - here.place, here) + pushed(stroke - there.place, there))


@compiled
def rates(state, now, bike, fork):
    """Time derivatives of the ten states, then the results of a record."""
    sprung_height, sprung_velocity, height, wheel_velocity = state
    road, climb, slowing = now
    stroke, slope = stroke_and_slope(bike.way, height - sprung_height)
    velocity = (wheel_velocity - sprung_velocity) * slope
    damping = interpolated(fork.damping, stroke, velocity)
    end_stop = interpolated(fork.end_stop, stroke, velocity) if stroke > fork.end_stop.row_low else 0.0
    friction = held(fork.friction, velocity)
    force = elastic(stroke, fork) + damping + end_stop + friction
    squash, squash_rate = road - height, climb - wheel_velocity
    borne = bike.tyre_rate * squash if squash > 0.0 else 0.0
    tyre = max(borne + bike.tyre_damping * squash_rate, 0.0) if squash > 0.0 else 0.0
    between = force * slope - bike.jacking * slowing
    return (sprung_velocity, (between - bike.transfer * slowing) * bike.sprung_inverse - bike.gravity,
            wheel_velocity, (tyre - between) * bike.unsprung_inverse - bike.gravity,
            damping * velocity, end_stop * velocity, friction * velocity, (tyre - borne) * squash_rate, tyre * climb,
            slowing * (bike.jacking * (wheel_velocity - sprung_velocity) - bike.transfer * sprung_velocity),
            tyre, force, stroke, velocity)


@compiled
def carried_on(state, rate, time):
    """Heights and velocities after `time` at a constant rate; the energies do not act back."""
    return (state[0] + time * rate[0], state[1] + time * rate[1], state[2] + time * rate[2], state[3] + time * rate[3])


@compiled
def sampled(ground, start, part):
    """Ground at a part of the step that starts at a sample: a parabola through its three samples."""
    road, climb, slowing = ground
    first, middle, last = (1.0 - part) * (1.0 - 2.0 * part), 4.0 * part * (1.0 - part), part * (2.0 * part - 1.0)
    return (first * road[start] + middle * road[start + 1] + last * road[start + 2],
            first * climb[start] + middle * climb[start + 1] + last * climb[start + 2],
            first * slowing[start] + middle * slowing[start + 1] + last * slowing[start + 2])


@compiled
def advance(state, first, halfway, end, step, bike, fork):
    """One classical Runge-Kutta step of fourth order: each stage sees the ground of its own instant."""
    start = (state[0], state[1], state[2], state[3])
    second = rates(carried_on(start, first, 0.5 * step), halfway, bike, fork)
    third = rates(carried_on(start, second, 0.5 * step), halfway, bike, fork)
    fourth = rates(carried_on(start, third, step), end, bike, fork)
    for i in range(STATES):
        state[i] += step / 6.0 * (first[i] + 2.0 * (second[i] + third[i]) + fourth[i])


@compiled
def advance_finely(state, ground, sample, pace, bike, fork):
    """The same step in parts, for a friction too steep for the whole of it."""
    for m in range(pace.fine):
        now, halfway, end = (sampled(ground, sample, m / pace.fine), sampled(ground, sample, (m + 0.5) / pace.fine),
                             sampled(ground, sample, (m + 1.0) / pace.fine))
        first = rates((state[0], state[1], state[2], state[3]), now, bike, fork)
        advance(state, first, halfway, end, pace.step / pace.fine, bike, fork)


@compiled
def sticks(state, rate, pace):
    """Whether the friction may be steep within this step: the fork is, or comes, near standstill."""
    return pace.fine > 1 and (abs(state[3] - state[1]) < pace.sticky + 2.0 * pace.step * abs(rate[3] - rate[1]))


@compiled
def note_down(record, start, state, rate):
    """One line of the record: the state, then sprung acceleration, tyre force, fork force, stroke, velocity."""
    for i in range(STATES):
        record[start + i] = state[i]
    record[start + STATES] = rate[1]
    for i in range(4):
        record[start + STATES + 1 + i] = rate[STATES + i]


@compiled
def integrate(state, ground, pace, bike, fork, record):
    """Fill `record` step by step; return the number of the step at which the run left its reach, or -1.

    `ground` = (height, climb, deceleration), each sampled every half step.
    """
    road, climb, slowing = ground
    for n in range((len(road) + 1) // 2):
        i, j, k = 2 * n, 2 * n + 1, 2 * n + 2
        start = (state[0], state[1], state[2], state[3])
        first = rates(start, (road[i], climb[i], slowing[i]), bike, fork)
        note_down(record, n * CHANNELS, state, first)
        if not (abs(start[0]) < pace.reach and abs(start[2]) < pace.reach):  # written so that nan stops the run too
            return n
        if k < len(road) and sticks(start, first, pace):
            advance_finely(state, ground, i, pace, bike, fork)
        elif k < len(road):
            advance(state, first, (road[j], climb[j], slowing[j]), (road[k], climb[k], slowing[k]), pace.step, bike,
                    fork)
    return -1
