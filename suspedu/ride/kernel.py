"""The inner loop of a ride: rates and the Runge-Kutta step, in scalar arithmetic, compiled.

Importing this module loads the compiler, so `engine` imports it with the first ride. Only + - * / are used: the
source run as plain Python (NUMBA_DISABLE_JIT=1) gives the same bits. What it is given stands in `kernel_numbers`, its
look-ups in `kernel_lookup`, its forces in `kernel_forces`.
State: heights and upward velocities of chassis, wheel and rider, then eight running energies.
"""

from contextlib import suppress
from pathlib import Path
from shutil import copyfile
from zlib import crc32

import numpy as np
from numba import njit

from suspedu.ride.kernel_forces import fork_forces, limb_force, tyre_forces
from suspedu.ride.kernel_lookup import inlined, stroke_and_slope

STATES = 14  # six heights and velocities; then [J] to heat in damper, end stop, friction, tyre, bumper and limbs, and
#              put in by ground and load
RESULTS = 6  # a record also holds acceleration of chassis and rider, tyre and fork force, stroke, shaft velocity
CHANNELS = STATES + RESULTS
NO_RATE = (0.0,) * (STATES + RESULTS + 1)
MOST_PARTS = 400  # of a step: steeper than any seal's friction


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


@inlined
def moved_on(state, total, share):
    """The state after a part of a step: the sum of its stages, taken by its share."""
    for i in range(STATES):
        state[i] += share * total[i]


@inlined
def stepped(state, ground, pace, bike, fork, record):
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
                moved_on(state, total, pace.step / parts / 6.0)
                m, stage, ahead = m + 1, 0, 0.0
    return -1


def sources() -> int:
    """A number that is another when any source of the loop is: a key to what is kept of it on disk."""
    return crc32(b"".join(path.read_bytes() for path in sorted(Path(__file__).parent.glob("kernel*.py"))))


def compiled(function):
    """Let go of the interpreter's lock, so that rides share the cores; keep the result on disk where one may write."""
    try:
        return njit(cache=True, nogil=True, error_model="numpy")(function)
    except RuntimeError:  # no place for the cache was found: the package's folder and the user's are closed to writing
        return njit(nogil=True, error_model="numpy")(function)


def _loop(made_of: int):
    """The loop as it is called. What it closes over is part of the key under which the compiler keeps it on disk."""

    def integrate(state, ground, pace, bike, fork, record):
        made_of  # noqa: B018  (read, though nobody uses it)
        return stepped(state, ground, pace, bike, fork, record)

    return compiled(integrate)


def found_beside(function):
    """Take what was compiled beside the sources over to this process's own place: it is read, and never written.

    A kernel that marks begins with an empty place of its own, and may not write here.
    """
    own = Path(function.stats.cache_path) if getattr(function, "stats", None) and function.stats.cache_path else None
    if own is not None and own != (beside := Path(__file__).parent / "__pycache__"):
        with suppress(OSError):
            for file in beside.glob(f"kernel.*integrate-{function.py_func.__code__.co_firstlineno}.*"):
                if not (own / file.name).exists():
                    copyfile(file, own / file.name)
    return function


integrate = found_beside(_loop(sources()))
