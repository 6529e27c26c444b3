"""The inner loop of a ride: forces, rates and the Runge-Kutta step, in scalar arithmetic, compiled.

Importing this module loads the compiler, so `engine` imports it with the first ride. Only + - * / are used: the
source run as plain Python (NUMBA_DISABLE_JIT=1) gives the same bits. The tables stand here with the loop, for what
is kept of it on disk is made anew when this file changes, and no other.
State: heights and upward velocities of chassis, wheel and rider, then eight running energies.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

STATES = 14  # six heights and velocities; then [J] to heat in damper, end stop, friction, tyre, bumper and limbs, and
#              put in by ground and load
RESULTS = 6  # a record also holds acceleration of chassis and rider, tyre and fork force, stroke, shaft velocity
CHANNELS = STATES + RESULTS
NO_RATE = (0.0,) * (STATES + RESULTS + 1)
MOST_PARTS = 400  # of a step: steeper than any seal's friction


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


def compiled(function, **how):
    """Let go of the interpreter's lock, so that rides share the cores; keep the result on disk where one may write."""
    try:
        return njit(cache=True, nogil=True, error_model="numpy", **how)(function)
    except RuntimeError:  # no place for the cache was found: the package's folder and the user's are closed to writing
        return njit(nogil=True, error_model="numpy", **how)(function)


def inlined(function):
    """Compiled into its caller: a call would count every array in its arguments up and down, at more than its price."""
    return compiled(function, forceinline=True)


@inlined
def cell(place, count):
    """Index of the grid cell that holds `place` (in steps), kept inside the grid; nan gives 0."""
    if not place > 0.0:
        return 0
    return int(place) if place < count - 1 else count - 2


@inlined
def column(speeds, velocity):
    """Column to the left of a velocity, and what part of the way to the next; outside less than 0 or more than 1."""
    if not (velocity < 1e6 and velocity > -1e6):  # written so that nan falls in too: the run is lost, and stops
        return 0, velocity
    size = velocity if velocity > 0.0 else -velocity
    last, j = len(speeds.inverse) - 1, speeds.first[int((velocity / (size + speeds.bend) + 1.0) * speeds.scale)]
    while j < last and velocity >= speeds.nodes[j + 1]:
        j += 1
    return j, (velocity - speeds.nodes[j]) * speeds.inverse[j]


@inlined
def bilinear(surface, stroke, j, b):
    """Bilinear value at a column and its part: held at the ends of the stroke, extended in a straight line over it."""
    a = min(max((stroke - surface.row_low) * surface.row_scale, 0.0), surface.rows - 1.0)
    i = cell(a, surface.rows)
    a -= i
    k = i * surface.columns + j
    low = surface.values[k] + b * (surface.values[k + 1] - surface.values[k])
    k += surface.columns
    return low + a * (surface.values[k] + b * (surface.values[k + 1] - surface.values[k]) - low)


@inlined
def along(table, place):
    """Linear value of a table, extended in a straight line."""
    b = (place - table.low) * table.scale
    j = cell(b, len(table.values))
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


@inlined
def held(table, place):
    """Linear value of a table, held at its ends."""
    b = min(max((place - table.low) * table.scale, 0.0), len(table.values) - 1.0)
    j = cell(b, len(table.values))
    return table.values[j] + (b - j) * (table.values[j + 1] - table.values[j])


@inlined
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


@inlined
def pushed(squeeze, stop):
    """Force of a stop that is squeezed, at rest."""
    return squeeze * (stop.rate + stop.stiffening * squeeze * squeeze) if squeeze > 0.0 else 0.0


@inlined
def lossy(stroke, velocity, stop):
    """What a bumper's loss adds to its force: elastic force times loss and velocity; together they never pull."""
    still = pushed(stroke - stop.place, stop)
    return max(still * stop.loss * velocity, -still) if still > 0.0 else 0.0


@inlined
def elastic(stroke, fork):
    """Springs, both legs' top-out springs and bumpers at rest, and metal on metal."""
    first, second = fork.top_outs
    here, there = fork.bumpers
    return (along(fork.spring, stroke) - pushed(first.place - stroke, first) - pushed(second.place - stroke, second)
            + pushed(stroke - here.place, here) + pushed(stroke - there.place, there)
            + pushed(stroke - fork.metal.place, fork.metal))


@inlined
def level(stroke, load, braking, rub):
    """What friction stands for at a stroke, load and braking force: seals, pressure, and bushings under a beam."""
    slid = held(rub.slid, stroke)
    if rub.sliding == 0.0:
        return slid
    overlap, cross = rub.overlap + stroke, rub.across * (load - rub.hanging) - rub.along * braking
    upper = (cross * (rub.below - stroke) + rub.couple * braking) / overlap
    lower = upper + cross
    return slid + rub.sliding * (abs(upper) + abs(lower))


@inlined
def rubbed(stroke, velocity, load, braking, rubs):
    """Friction of both legs, and its level."""
    first, second = rubs
    high = level(stroke, load, braking, first)
    force = high * held(first.shape, velocity)
    if len(second.slid.values) > 2:
        other = level(stroke, load, braking, second)
        return force + other * held(second.shape, velocity), high + other
    return force, high


@inlined
def tyre_forces(squash, rate, tyre):
    """Force of the tyre on the ground, and what of it is elastic: it never pulls, and begins smoothly."""
    if not squash > 0.0:
        return 0.0, 0.0
    past = max(squash - tyre.rim, 0.0)
    borne = tyre.rate * squash + tyre.rim_rate * past * past
    return max(borne + tyre.damping * min(squash * tyre.brought_in, 1.0) * rate, 0.0), borne


@inlined
def limb_force(squeeze, rate, limbs):
    """Force of arms and legs on the rider, and what of it is lost to heat."""
    lost = limbs.damping * rate
    return limbs.rate * squeeze + limbs.end_rate * max(squeeze - limbs.range, 0.0) + lost, lost


@inlined
def fork_forces(stroke, velocity, load, braking, fork):
    """Of the fork: whole force, what of it damper, end stop, friction and bumper loss are, and friction's level."""
    j, part = column(fork.speeds, velocity)
    damping = bilinear(fork.damping, stroke, j, part)
    end_stop = bilinear(fork.end_stop, stroke, j, part) if stroke > fork.end_stop.row_low else 0.0
    friction, high = rubbed(stroke, velocity, load, braking, fork.rubs)
    lost = lossy(stroke, velocity, fork.bumpers[0]) + lossy(stroke, velocity, fork.bumpers[1])
    return elastic(stroke, fork) + damping + end_stop + friction + lost, damping, end_stop, friction, lost, high


@inlined
def rates(state, now, bike, fork):
    """Time derivatives of the fourteen states, then the results of a record, then the level of friction."""
    chassis, upward, height, wheel_upward, rider, rider_upward = state
    road, climb, slowing = now
    stroke, slope = stroke_and_slope(bike.way, height - chassis)
    velocity, squash_rate = (wheel_upward - upward) * slope, climb - wheel_upward
    tyre, borne = tyre_forces(road - height, squash_rate, bike.tyre)
    force, damping, end_stop, friction, lost, high = fork_forces(stroke, velocity, tyre, bike.braking * slowing, fork)
    limbs, tired = limb_force(chassis - rider, upward - rider_upward, bike.limbs)
    between = force * slope - bike.jacking * slowing
    lift = (between - limbs - bike.transfer * slowing) * bike.sprung_inverse - bike.gravity
    rider_lift = limbs * bike.limbs.inverse - bike.gravity if bike.limbs.inverse > 0.0 else lift
    return (upward, lift, wheel_upward, (tyre - between) * bike.unsprung_inverse - bike.gravity,
            rider_upward, rider_lift,
            damping * velocity, end_stop * velocity, friction * velocity, (tyre - borne) * squash_rate,
            lost * velocity, tired * (upward - rider_upward), tyre * climb,
            slowing * (bike.jacking * (wheel_upward - upward) - bike.transfer * upward),
            lift, rider_lift, tyre, force, stroke, velocity, high)


@inlined
def carried_on(state, rate, time):
    """Heights and velocities after `time` at a constant rate; the energies do not act back."""
    return (state[0] + time * rate[0], state[1] + time * rate[1], state[2] + time * rate[2], state[3] + time * rate[3],
            state[4] + time * rate[4], state[5] + time * rate[5])


@inlined
def sampled(ground, start, part):
    """Ground at a part of the step that starts at a sample: a parabola through its three samples."""
    road, climb, slowing = ground
    if part == 0.0 or part == 0.5 or part == 1.0:
        i = start + int(2.0 * part)
        return road[i], climb[i], slowing[i]
    first, middle, last = (1.0 - part) * (1.0 - 2.0 * part), 4.0 * part * (1.0 - part), part * (2.0 * part - 1.0)
    return (first * road[start] + middle * road[start + 1] + last * road[start + 2],
            first * climb[start] + middle * climb[start + 1] + last * climb[start + 2],
            first * slowing[start] + middle * slowing[start + 1] + last * slowing[start + 2])


@inlined
def parts_of(state, rate, pace):
    """Into how many parts the step falls: more where the fork is, or comes, near standstill and its forces steep."""
    if abs(state[3] - state[1]) < pace.sticky + 2.0 * pace.step * abs(rate[3] - rate[1]):
        stop = pace.stop_thick if rate[STATES + 4] > pace.stop_from else 0.0
        return min(1 + int(rate[STATES + RESULTS] * pace.steep + pace.thick + stop), MOST_PARTS)
    return 1


@inlined
def note_down(record, n, state, rate):
    """One instant of the record, each channel in a row of its own: the state, then the results."""
    for i in range(STATES):
        record[i, n] = state[i]
    for i in range(RESULTS):
        record[STATES + i, n] = rate[STATES + i]


@inlined
def summed_up(total, rate, stage):
    """Add a stage's rates to those before it: the classical weights 1, 2, 2, 1."""
    for i in range(STATES):
        total[i] = rate[i] + total[i] if stage == 3 else 2.0 * rate[i] + total[i] if stage > 0 else rate[i]


@compiled
def integrate(state, ground, pace, bike, fork, record):
    """Fill `record` step by step; return the number of the step at which the run left its reach, or -1.

    `ground` = (height, climb, deceleration), each sampled every half step. Classical Runge-Kutta of fourth order: each
    stage sees the ground of its own instant. All stages of all parts go through one call of `rates`.
    """
    total, last = np.zeros(STATES), (len(ground[0]) + 1) // 2 - 1
    for n in range(last + 1):
        m, stage, parts, ahead = 0, 0, 1, 0.0
        rate = NO_RATE
        while m < parts:
            now = sampled(ground, 2 * n, (m + ahead) / parts) if n < last else sampled(ground, 2 * n - 2, 1.0)
            rate = rates(carried_on(state, rate, ahead * pace.step / parts), now, bike, fork)
            if m == 0 and stage == 0:
                note_down(record, n, state, rate)
                if not (abs(state[0]) < pace.reach and abs(state[2]) < pace.reach):  # so that nan stops the run too
                    return n
                parts = parts_of(state, rate, pace) if n < last else 0
            summed_up(total, rate, stage)
            stage += 1
            ahead = 1.0 if stage == 3 else 0.5
            if stage == 4:
                for i in range(STATES):
                    state[i] += pace.step / parts / 6.0 * total[i]
                m, stage, ahead = m + 1, 0, 0.0
    return -1
