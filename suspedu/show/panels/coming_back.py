"""How a fork comes back on its spring: let go once, and pulled down by bump after bump. Arrays in, arrays out.

The school's enduro with its rider; both legs together; the chassis rises and sinks without pitching.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from scipy.integrate import solve_ivp

from suspedu.machine import Machine, adjusted, load
from suspedu.machine.forces import force_split
from suspedu.machine.statics import fork_load, front_load
from suspedu.show.panels.damper_setting import leg_forces, set_damper
from suspedu.units import STANDARD_GRAVITY

PLACE, METAL = 0.15, 300e3  # m at which the damping is read; N/m where metal meets metal
SPEEDS = np.concatenate([-np.geomspace(8.0, 0.01, 48), [0.0], np.geomspace(0.01, 8.0, 48)])
CREEP = 0.01  # m/s below which friction is drawn as a slope instead of a step
PHASES = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)


@lru_cache(maxsize=64)
def machine_on(coil_rate: float) -> Machine:
    """The school's enduro on springs of a rate [N/m, each leg]."""
    return adjusted(load("enduro"), coil_rate=coil_rate)


@lru_cache(maxsize=700)
def damping_of(compression_low: int, rebound: int) -> np.ndarray:
    """Damping force of both legs [N] over SPEEDS, without gas, for clicks out."""
    damper = set_damper(compression_low=compression_low, rebound=rebound)
    return 2.0 * leg_forces(PLACE, SPEEDS, damper).damping_force


@lru_cache(maxsize=64)
def spring_of(coil_rate: float) -> tuple[np.ndarray, np.ndarray]:
    """Strokes [n, m] and the force of coils, air, stops and cartridge gas [n, N], both legs, as in riding."""
    machine = machine_on(coil_rate)
    stroke = np.linspace(0.0, machine.travel, 301)
    return stroke, force_split(machine, stroke, None).total + 2.0 * leg_forces(stroke, 0.0, set_damper()).gas_force


@cache
def rest_load(coil_rate: float) -> float:
    """Load along the fork with the rider aboard [N]."""
    machine = machine_on(coil_rate)
    return float(fork_load(machine, front_load(machine)))


def rest_stroke(coil_rate: float) -> float:
    """Stroke at which the springs carry the rider [m]."""
    stroke, force = spring_of(coil_rate)
    return float(np.interp(rest_load(coil_rate), force, stroke))


def carried_mass(coil_rate: float, body: bool) -> float:
    """Mass that moves with the stroke [kg]: the chassis' share in front, or the wheel; m cos(rake)^2."""
    machine = machine_on(coil_rate)
    chassis = machine.chassis
    sprung = float(front_load(machine)) / STANDARD_GRAVITY - chassis.unsprung_mass
    return (sprung if body else chassis.unsprung_mass) * np.cos(chassis.rake) ** 2


@dataclass(frozen=True)
class Return:
    """A fork let go: time [n, s], stroke [n, m], velocity [n, m/s]."""

    time: np.ndarray
    stroke: np.ndarray
    velocity: np.ndarray


@lru_cache(maxsize=256)
def let_go(depth: float, coil_rate: float, compression_low: int, rebound: int, body: bool, span: float = 1.2) -> Return:
    """Motion from rest at a depth: the chassis rising off it (body), or the wheel dropping below a chassis held still.

    m x'' = L - F_spring(x) - F_damp(x') - friction, L the rider's load for the body, minus the weight of the wheel

    Parameters: depth, stroke at the start [m]; coil_rate [N/m]; clicks out; body; span [s].
    """
    grid, spring = spring_of(coil_rate)
    damping, mass = damping_of(compression_low, rebound), carried_mass(coil_rate, body)
    machine = machine_on(coil_rate)
    weight = mass * STANDARD_GRAVITY / np.cos(machine.chassis.rake)  # of the wheel, along the fork
    pressed = rest_load(coil_rate) if body else -weight
    rubbing = sum(leg.friction.sliding for leg in machine.both_legs)

    def rates(_time, state):
        x, v = state
        force = np.interp(x, grid, spring) + METAL * min(x, 0.0) + np.interp(v, SPEEDS, damping)
        return v, (pressed - force - rubbing * np.tanh(v / CREEP)) / mass

    found = solve_ivp(rates, (0.0, span), (depth, 0.0), method="LSODA", t_eval=np.linspace(0.0, span, 151), rtol=1e-6,
                      atol=1e-7)  # fmt: skip
    return Return(found.t, *found.y)


def damping_ratio(coil_rate: float, rebound: int, speed: float = 0.1) -> float:
    """Rebound damping over what would just keep the rising chassis from passing its rest: zeta = c / (2 sqrt(k m)).

    c is the rebound force at a speed [m/s] over that speed, k the slope of the springs where the rider rests.
    """
    stroke, force = spring_of(coil_rate)
    rate = float(np.interp(rest_stroke(coil_rate), stroke, np.gradient(force, stroke)))
    drag = -float(np.interp(-speed, SPEEDS, damping_of(12, rebound))) / speed
    return drag / (2.0 * np.sqrt(rate * carried_mass(coil_rate, body=True)))


def time_constant(coil_rate: float, rebound: int, speed: float = 0.1) -> float:
    """Time in which a slowly returning fork loses 63 % of its distance from rest [s]: tau = c / k."""
    stroke, force = spring_of(coil_rate)
    rate = float(np.interp(rest_stroke(coil_rate), stroke, np.gradient(force, stroke)))
    return -float(np.interp(-speed, SPEEDS, damping_of(12, rebound))) / speed / rate


def pull(peak_speed, compression_low: int, rebound: int):
    """Mean damping force over a stroke that goes in and out as a sine [N]: negative pulls the chassis down.

    Parameters: peak_speed of the fork [any shape, m/s]; clicks out. Returns: force, both legs [N].
    """
    speeds = np.asarray(peak_speed, dtype=float)[..., None] * np.cos(PHASES)
    return np.interp(speeds, SPEEDS, damping_of(compression_low, rebound)).mean(axis=-1)


def mean_stroke(amplitude: float, pulled, coil_rate: float):
    """Mean stroke at which springs carry load and pull, the fork working about it by an amplitude.

    mean over a cycle of F_spring(x + a sin) = L - pull

    Parameters: amplitude [m]; pulled, mean damping force [any shape, N]; coil_rate [N/m]. Returns: stroke [m].
    """
    grid, spring = spring_of(coil_rate)
    middles = np.linspace(amplitude, grid[-1] - amplitude, 121)
    means = np.interp(middles[:, None] + amplitude * np.sin(PHASES), grid, spring).mean(axis=1)
    return np.interp(rest_load(coil_rate) - np.asarray(pulled), means, middles)


def fastest_return(stroke, rebound: int, coil_rate: float):
    """Speed at which the springs can drive the wheel out at a stroke [m/s]: where rebound force equals spring force."""
    grid, spring = spring_of(coil_rate)
    driven = np.interp(stroke, grid, spring) + carried_mass(coil_rate, body=False) * STANDARD_GRAVITY
    damping = -damping_of(12, rebound)[: len(SPEEDS) // 2 + 1][::-1]
    return np.interp(driven, damping, -SPEEDS[: len(SPEEDS) // 2 + 1][::-1])
