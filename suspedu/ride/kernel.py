"""The inner loop of a ride: forces, rates and the Runge-Kutta step, in scalar arithmetic.

The source is plain Python. `engine` compiles the functions in `COMPILED` with numba when the first ride is
asked for; where numba is missing they run as they stand, on lists. Both give the same bits, since only
+ - * / and square roots are used.
State: heights and upward velocities of sprung mass and wheel, then six running energies.
"""

from math import sqrt
from typing import NamedTuple

STATES = 10  # heights and velocities; then [J] dissipated in damper, end stop, friction, tyre; put in by ground, load
CHANNELS = STATES + 3  # a record also holds sprung acceleration, tyre force and fork force


class Table(NamedTuple):
    """A force over (stroke, velocity) on a uniform grid, flattened row by row."""

    values: object
    rows: int
    columns: int
    row_low: float
    row_scale: float  # 1/step
    column_low: float
    column_scale: float


class Fork(NamedTuple):
    """Force laws along the fork, both legs together."""

    spring: Table  # one row over stroke: the stroke is the column
    damping: Table
    end_stop: Table
    friction: float
    friction_velocity: float
    travel: float
    top_length: float
    top_rate: float
    bumper_length: float
    bumper_rate: float
    bumper_stiffening: float  # [N/m3] of the cubic part


class Bike(NamedTuple):
    """Masses, geometry and tyre of the front of the machine."""

    sprung_inverse: float  # 1/mass; the loop multiplies where it can, dividing is slow
    unsprung_inverse: float
    secant: float  # 1/cos(rake)
    gravity: float
    tyre_rate: float
    tyre_damping: float
    transfer: float  # load moved to the front per deceleration [N/(m/s2)]
    jacking: float  # pull of the brake along the raked fork, as vertical force per deceleration


def cell(place, count):
    """Index of the grid cell that holds `place` (in steps), kept inside the grid; nan gives 0."""
    if not place > 0.0:
        return 0
    return int(place) if place < count - 1 else count - 2


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


def along(table, stroke):
    """Linear value of a one-row table over stroke, extended in a straight line."""
    b = (stroke - table.column_low) * table.column_scale
    j = cell(b, table.columns)
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


def elastic(stroke, fork):
    """Spring, top-out spring and bumper together."""
    top = fork.top_rate * max(fork.top_length - stroke, 0.0)
    squeeze = stroke - fork.travel + fork.bumper_length
    bump = 0.0
    if squeeze > 0.0:
        bump = squeeze * (fork.bumper_rate + fork.bumper_stiffening * squeeze * squeeze)
    return along(fork.spring, stroke) - top + bump


def rates(state, road, climb, slowing, bike, fork):
    """Time derivatives of the ten states, then tyre force and fork force."""
    sprung_height, sprung_velocity, height, wheel_velocity = state
    stroke = (height - sprung_height) * bike.secant
    velocity = (wheel_velocity - sprung_velocity) * bike.secant
    damping = interpolated(fork.damping, stroke, velocity)
    end_stop = interpolated(fork.end_stop, stroke, velocity) if stroke > fork.end_stop.row_low else 0.0
    friction = fork.friction * velocity / sqrt(velocity * velocity + fork.friction_velocity * fork.friction_velocity)
    force = elastic(stroke, fork) + damping + end_stop + friction
    squash, squash_rate = road - height, climb - wheel_velocity
    held = bike.tyre_rate * squash if squash > 0.0 else 0.0
    tyre = max(held + bike.tyre_damping * squash_rate, 0.0) if squash > 0.0 else 0.0
    between = force * bike.secant - bike.jacking * slowing
    return (sprung_velocity, (between - bike.transfer * slowing) * bike.sprung_inverse - bike.gravity,
            wheel_velocity, (tyre - between) * bike.unsprung_inverse - bike.gravity,
            damping * velocity, end_stop * velocity, friction * velocity, (tyre - held) * squash_rate, tyre * climb,
            slowing * (bike.jacking * (wheel_velocity - sprung_velocity) - bike.transfer * sprung_velocity),
            tyre, force)


def moved(state, rate, time):
    """Heights and velocities after `time` at a constant rate; the energies do not act back."""
    return (state[0] + time * rate[0], state[1] + time * rate[1], state[2] + time * rate[2], state[3] + time * rate[3])


def integrate(state, ground, step, bike, fork, record, reach):
    """Fill `record` step by step; return the number of the step at which the run left `reach`, or -1.

    `ground` = (height, climb, deceleration), each sampled every half step, so that every stage of the
    classical fourth-order Runge-Kutta step sees the ground of its own instant.
    """
    road, climb, slowing = ground
    for n in range((len(road) + 1) // 2):
        i, j, k = 2 * n, 2 * n + 1, 2 * n + 2
        start = (state[0], state[1], state[2], state[3])
        first = rates(start, road[i], climb[i], slowing[i], bike, fork)
        write(record, n * CHANNELS, state, first)
        if not (abs(start[0]) < reach and abs(start[2]) < reach):  # written so that nan stops the run too
            return n
        if k < len(road):
            second = rates(moved(start, first, 0.5 * step), road[j], climb[j], slowing[j], bike, fork)
            third = rates(moved(start, second, 0.5 * step), road[j], climb[j], slowing[j], bike, fork)
            fourth = rates(moved(start, third, step), road[k], climb[k], slowing[k], bike, fork)
            advance(state, first, second, third, fourth, step / 6.0)
    return -1


def advance(state, first, second, third, fourth, sixth):
    """The weighted mean of the four stages moves the state on."""
    for i in range(STATES):
        state[i] += sixth * (first[i] + 2.0 * (second[i] + third[i]) + fourth[i])


def write(record, start, state, rate):
    """One line of the record: the state, sprung acceleration, tyre force, fork force."""
    for i in range(STATES):
        record[start + i] = state[i]
    record[start + STATES] = rate[1]
    record[start + STATES + 1] = rate[STATES]
    record[start + STATES + 2] = rate[STATES + 1]


# callees first
COMPILED = ("cell", "interpolated", "along", "elastic", "rates", "moved", "advance", "write", "integrate")
