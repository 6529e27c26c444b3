"""Oil that gives way: chambers store a little volume, so the force lags behind the velocity and a loop opens.

The algebraic law of `forces` is the slow limit of this one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from suspedu.damper.circuit import Damper, reservoir_pressure
from suspedu.damper.curves import flow_curve
from suspedu.damper.end_stop import stop_force
from suspedu.damper.fluid import fluid_at
from suspedu.damper.forces import WARM
from suspedu.parts.oil import Oil
from suspedu.units import STANDARD_ATMOSPHERE, InputError, require

SOFTEST = 200.0  # Pa: below this the oil is all void, and the bulk modulus is taken as it is here
SCALE = 1e5  # pressures are integrated in bar, so that the integrator's tolerances mean something
QUICK = 1.4  # polytropic exponent of air in a fast stroke, as `effective_bulk_modulus` takes it
MOST_STEPS = 100_000  # of the integrator between two times that are looked at


@dataclass(frozen=True)
class Loop:
    """A leg's damper over time; arrays [n], SI, pressures absolute."""

    time: np.ndarray
    stroke: np.ndarray
    velocity: np.ndarray
    force: np.ndarray
    gas_force: np.ndarray
    compression_chamber: np.ndarray
    rebound_chamber: np.ndarray


def sine_loop(amplitude, frequency, damper: Damper, oil: Oil, temperature=WARM, *, middle=0.15, cycles: int = 2,
              points: int = 401, **setting) -> Loop:
    """Last cycle of a sine stroke about a middle, with compressible chambers.

    x = middle - amplitude cos(2 pi f t)

    Parameters: amplitude [m]; frequency [Hz]; damper; oil; temperature [K]; middle [m]; cycles run in all;
    points kept; setting: air_fraction, pocket, air_pressure, as in `loop_along`.
    Returns: a `Loop` that closes.
    Raises: InputError for an amplitude that leaves the stroke.

    >>> from suspedu.damper import stock_damper
    >>> loop = sine_loop(0.02, 1.0, stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6), points=41)
    >>> round(float(np.ptp(loop.stroke)), 6), loop.force.shape
    (0.04, (41,))
    """
    require("amplitude", amplitude, 1e-4, middle, "mm", "the stroke would begin before full extension")
    speed = 2.0 * np.pi * frequency
    time = (cycles - 1.0 + np.linspace(0.0, 1.0, points)) / frequency
    return loop_along(time, lambda t: middle - amplitude * np.cos(speed * t),
                 lambda t: amplitude * speed * np.sin(speed * t), damper, oil, temperature, **setting)


def loop_along(time, stroke, velocity, damper: Damper, oil: Oil, temperature=WARM, *, air_fraction=None, pocket=0.0,
               air_pressure=STANDARD_ATMOSPHERE) -> Loop:
    """A damper moved from rest at time zero along any stroke, with compressible chambers.

    dp_c/dt = K/V_c (A_p v - Q_base - Q_piston), dp_r/dt = K/V_r (Q_piston - (A_p - A_r) v), K = K(p, air);
    a pocket of air above the piston adds V_p (p_atm/p)^(1/n)/(n p) to V_r/K

    Parameters: time [n, s], rising, when to look; stroke, velocity, functions of time [m, m/s]; damper; oil;
    temperature [K]; air_fraction of the oil at one atmosphere [-], None = the damper's own; pocket V_p, air at one
    atmosphere that stands above the piston where oil is missing [m3]; air_pressure [Pa].
    Returns: a `Loop` at the given times.
    Raises: InputError where a chamber would be shorter than nothing.
    Assumes: valve shims follow at once; flows are read off curves (`curves`), to 5e-4 at worst; walls and seals are
    stiff; the reservoir's pressure follows the rod.

    >>> from suspedu.damper import stock_damper
    >>> fork, oil = stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6)
    >>> rest = loop_along([0.0, 0.1], lambda t: 0.1 + 0.0 * t, lambda t: 0.0 * t, fork, oil)
    >>> rest.force.round(1).tolist(), rest.gas_force.round(1).tolist()  # nothing moves: the gas alone
    ([27.3, 27.3], [27.3, 27.3])

    Source: merritt, section 3-6; manring, section on fluid compressibility (printed, from memory)
    """
    air = damper.air_fraction if air_fraction is None else require("air fraction", air_fraction, 1e-5, 0.3)
    motion = stroke, velocity, temperature, air_pressure
    fluid = fluid_at(temperature, oil, air)
    rates = _rates(damper, oil, (air, require("air pocket", pocket, 0.0, 5e-5, "cm**3")), fluid, motion)
    rest = float(reservoir_pressure(stroke(0.0), damper, temperature, air_pressure)) / SCALE
    times = np.concatenate([[0.0], np.asarray(time, dtype=float)])  # the integrator starts at the first of its times
    found, said = scipy.integrate.odeint(rates, [rest, rest], times, rtol=1e-7, atol=1e-7, tfirst=True,
                                         mxstep=MOST_STEPS, hmax=(times[-1] - times[1]) / 100.0, full_output=True)
    if said["message"] != "Integration successful.":
        raise ArithmeticError(f"the chamber pressures could not be followed: {said['message']}")
    return _loop(times[1:], motion, damper, fluid, found[1:].T * SCALE)


def _rates(damper, oil, air, fluid, motion):
    """Rates of both chamber pressures [bar/s] as a function of time and pressures [bar]."""
    stroke, velocity, temperature, air_pressure = motion
    area, ring = damper.piston_area, damper.ring_area
    out_and_in = [flow_curve(valve, fluid) for valve in (damper.base, damper.refill)]
    there_and_back = [flow_curve(valve, fluid) for valve in (damper.mid, damper.rebound)]
    stiffness, pocket = _bulk_modulus(oil, air[0]), air[1]

    def rates(t, bars):
        compression, rebound = (max(bar * SCALE, fluid.vapour_pressure) for bar in bars.tolist())
        x, v = float(stroke(t)), float(velocity(t))
        lower, upper = _columns(x, damper)
        reservoir = float(reservoir_pressure(x, damper, temperature, air_pressure))
        out = _both_ways(compression - reservoir, *out_and_in)
        past = _both_ways(compression - rebound, *there_and_back)
        gives_below = area * lower / stiffness(compression)
        gives_above = ring * upper / stiffness(rebound) + pocket * _air_give(rebound)
        return [(area * v - out - past) / gives_below / SCALE, (past - ring * v) / gives_above / SCALE]

    return rates


def _bulk_modulus(oil, air):
    """`effective_bulk_modulus` [Pa] as a function of one pressure [Pa], in scalar arithmetic: asked thousands of times.

    A test compares the two.
    """
    oil_now, give = 1.0 - air, (1.0 - air) / oil.bulk_modulus

    def modulus(pressure):
        held = max(pressure, SOFTEST)
        air_now = air * (STANDARD_ATMOSPHERE / held) ** (1.0 / QUICK)
        return (oil_now + air_now) / (give + air_now / (QUICK * held))

    return modulus


def _air_give(pressure):
    """How much a volume of air, measured at one atmosphere, gives way at an absolute pressure [Pa], [1/Pa]."""
    held = max(pressure, SOFTEST)
    return (STANDARD_ATMOSPHERE / held) ** (1.0 / QUICK) / (QUICK * held)


def _columns(stroke, damper):
    """Lengths of the oil columns below and above the piston [m]."""
    lower, upper = damper.compression_column - stroke, damper.rebound_column + stroke
    if lower <= 0.0:
        raise InputError(f"stroke is {stroke * 1e3:.4g} mm, but the oil column below the piston is only "
                         f"{damper.compression_column * 1e3:.4g} mm")
    return lower, upper


def _both_ways(drop, there, back):
    """Signed flow between two chambers that two one-way valves join [m3/s], by the curves of both."""
    return there(drop) if drop >= 0.0 else -back(-drop)


def _loop(time, motion, damper, fluid, pressures) -> Loop:
    stroke, velocity, temperature, air_pressure = motion
    x, v = stroke(time), velocity(time)
    compression, rebound = np.maximum(pressures, fluid.vapour_pressure)
    reservoir = reservoir_pressure(x, damper, temperature, air_pressure)
    gas = (reservoir - damper.reservoir.outside_pressure(reservoir)) * damper.displaced_area
    force = gas + (compression - reservoir) * damper.piston_area - (rebound - reservoir) * damper.ring_area
    if damper.end_stop is not None:
        force = force + stop_force(x, v, compression, damper.end_stop, fluid)[0]
    return Loop(time, x, v, force, gas, compression, rebound)


def loop_work(loop: Loop) -> float:
    """Energy that a closed loop takes out: the area inside force over stroke, int F dx [J].

    >>> from suspedu.damper import stock_damper
    >>> loop = sine_loop(0.02, 2.0, stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6))
    >>> round(loop_work(loop), 1)
    8.2
    """
    return float(np.trapezoid(loop.force, loop.stroke))


def lag(loop: Loop) -> float:
    """Time by which the damping force of a closed sine loop comes after the velocity, first harmonics compared.

    tau = arg(F_1 / V_1) / (2 pi f), the gas force taken out first.

    Parameters: loop, one cycle. Returns: lag [s], positive when the force is late.

    >>> from suspedu.damper import stock_damper
    >>> fork, oil = stock_damper("open cartridge"), Oil(15e-6, 3.5e-6)
    >>> [round(lag(sine_loop(0.03, 4.0, fork, oil, air_fraction=air)) * 1e3, 1) for air in (0.001, 0.05)]  # ms
    [1.0, 7.4]
    """
    period = loop.time[-1] - loop.time[0]
    turn = np.exp(2j * np.pi * (loop.time[:-1] - loop.time[0]) / period)
    damping = (loop.force - loop.gas_force)[:-1]
    return float(np.angle(np.sum(damping * turn) / np.sum(loop.velocity[:-1] * turn)) * period / (2.0 * np.pi))
