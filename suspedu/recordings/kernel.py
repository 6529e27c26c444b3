"""The inner loop of the march: pressures of two chambers from step to step, in scalar arithmetic, compiled.

Importing this module loads the compiler, so `marching` imports it with the first march. What it is given stands there.
"""

from math import exp, log

from suspedu.ride.kernel import compiled
from suspedu.ride.kernel_lookup import inlined

MOST = 60  # Newton's steps for one step of time
SLOPE_STEP = 1e-4  # of a pressure, over which the give of the oil is differentiated
HALVINGS = 12  # of one of Newton's steps


@inlined
def passed(drop, curve, table):
    """Flow one way [m3/s] at a drop [Pa] and its slope [m3/(s Pa)]: straight between points of both logarithms."""
    if drop <= table.least:
        slope = exp(curve[0]) / table.least
        return slope * max(drop, 0.0), slope
    place = min(log(drop / table.least) * table.per_step, len(curve) - 1.001)
    index = int(place)
    rise = curve[index + 1] - curve[index]
    flow = exp(curve[index] + (place - index) * rise)
    return flow, flow * rise * table.per_step / drop


@inlined
def both_ways(drop, there, back, table):
    """Signed flow between two chambers that two one-way valves join, and its slope."""
    if drop >= 0.0:
        return passed(drop, there, table)
    flow, slope = passed(-drop, back, table)
    return -flow, slope


@inlined
def given_way(pressure, volume, pocket, oil):
    """Volume [m3] that a chamber gives for each pascal at an absolute pressure: oil, its bubbles, and a pocket of air.

    V ((1 - a)/K + s/(n p))/(1 - a + s), s = a (p_atm/p)^(1/n); and pocket (p_atm/p)^(1/n)/(n p)
    """
    held = max(pressure, oil.softest)
    squeezed = (oil.atmosphere / held) ** (1.0 / oil.exponent)
    bubbles = oil.air * squeezed
    foam = ((1.0 - oil.air) / oil.modulus + bubbles / (oil.exponent * held)) / (1.0 - oil.air + bubbles)
    return volume * foam + pocket * squeezed / (oil.exponent * held)


@inlined
def give_and_slope(pressure, volume, pocket, oil):
    """`given_way` and how it changes with pressure."""
    give, ahead = given_way(pressure, volume, pocket, oil), max(abs(pressure), oil.softest) * SLOPE_STEP
    return give, (given_way(pressure + ahead, volume, pocket, oil) - give) / ahead


@inlined
def excess(pair, before, now, room, circuit):
    """What two chambers gain too much at a pair of pressures, and the four slopes of it."""
    compression, rebound = pair
    velocity, reservoir, lower, upper, share = now
    oil, table = room.oil, room.table
    below, above = max(compression, oil.floor), max(rebound, oil.floor)
    out, out_slope = both_ways(below - reservoir, circuit.base, circuit.refill, table)
    past, past_slope = both_ways(below - above, circuit.mid, circuit.rebound, table)
    give, bend = give_and_slope(compression, lower, 0.0, oil)
    give_up, bend_up = give_and_slope(rebound, upper, room.pocket, oil)
    rise, rise_up = share * compression - before[0], share * rebound - before[1]
    moves, moves_up = 1.0 if compression >= oil.floor else 0.0, 1.0 if rebound >= oil.floor else 0.0
    return (give * rise - room.area * velocity + out + past, give_up * rise_up - past + room.ring * velocity,
            give * share + bend * rise + (out_slope + past_slope) * moves, -past_slope * moves_up,
            -past_slope * moves, give_up * share + bend_up * rise_up + past_slope * moves_up)


@inlined
def settled(pair, before, now, room, circuit):
    """The pair of pressures at the end of a step: Newton's method from a guess, each step halved until it gains.

    Valves have corners, over which a whole step may jump to and fro.
    """
    found = excess(pair, before, now, room, circuit)
    for _ in range(MOST):
        first, second, a, b, c, d = found
        whole = a * d - b * c
        down, down_up = (first * d - second * b) / whole, (second * a - first * c) / whole
        if abs(down) + abs(down_up) < room.near:
            break
        share, missed = 1.0, abs(first) + abs(second)
        for _ in range(HALVINGS):
            ahead = (pair[0] - share * down, pair[1] - share * down_up)
            found = excess(ahead, before, now, room, circuit)
            if abs(found[0]) + abs(found[1]) < missed:
                break
            share *= 0.5
        pair = ahead
    return pair


def marched_on(times, velocities, reservoirs, columns, room, circuit, pressures):
    """Fill `pressures` [2, n] from its first column on: one Euler step backwards, then Gear's of second order.

    A step of another length begins anew with Euler's.
    """
    last = 0.0
    for i in range(1, len(times)):
        step = times[i] - times[i - 1]
        here = (pressures[0, i - 1], pressures[1, i - 1])
        lower, upper = room.area * (room.lower - columns[i]), room.ring * (room.upper + columns[i])
        now = (velocities[i], reservoirs[i], lower, upper)
        if abs(step - last) < 1e-6 * step:
            ago = (pressures[0, i - 2], pressures[1, i - 2])
            before = ((2.0 * here[0] - 0.5 * ago[0]) / step, (2.0 * here[1] - 0.5 * ago[1]) / step)
            here = settled(here, before, (*now, 1.5 / step), room, circuit)
        else:
            before = (here[0] / step, here[1] / step)
            here = settled(here, before, (*now, 1.0 / step), room, circuit)
        pressures[0, i], pressures[1, i] = here
        last = step


march = compiled(marched_on)
