"""How a fork comes back on its spring: let go once, and pulled down by bump after bump.

Both legs together, the rider aboard; the chassis rises and sinks without pitching, the damping is that of mid-stroke.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.integrate import solve_ivp

from suspedu.machine.damping import damping_table
from suspedu.machine.forces import force_split
from suspedu.machine.model import Machine
from suspedu.machine.statics import fork_load, front_load
from suspedu.units import STANDARD_GRAVITY

PLACE, METAL = 0.15, 300e3  # m at which the damping is read; N/m where metal meets metal
SPEEDS = np.concatenate([-np.geomspace(8.0, 0.01, 48), [0.0], np.geomspace(0.01, 8.0, 48)])
CREEP = 0.01  # m/s below which friction is drawn as a slope instead of a step
PHASES = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)


@lru_cache(maxsize=1024)
def damping_of(machine: Machine) -> np.ndarray:
    """Damping force of both legs [N] over SPEEDS, without gas, at the machine's clicks.

    >>> from suspedu.machine import load
    >>> force = damping_of(load("enduro"))
    >>> bool(force[0] < 0.0 < force[-1]), force.shape == SPEEDS.shape
    (True, True)
    """
    return damping_table(machine, np.array([PLACE]), SPEEDS)[0]


@lru_cache(maxsize=256)
def spring_of(machine: Machine) -> tuple[np.ndarray, np.ndarray]:
    """Strokes [n, m] and the force of coils, air, stops and cartridge gas [n, N], both legs, as in riding.

    >>> from suspedu.machine import load
    >>> stroke, force = spring_of(load("enduro"))
    >>> bool(np.all(np.diff(force) > 0.0))
    True
    """
    stroke = np.linspace(0.0, machine.travel, 301)
    return stroke, force_split(machine, stroke, None).total


def rest_load(machine: Machine) -> float:
    """Load along the fork with the rider aboard [N].

    >>> from suspedu.machine import load
    >>> round(rest_load(load("enduro")))
    657
    """
    return float(fork_load(machine, front_load(machine)))


def rest_stroke(machine: Machine) -> float:
    """Stroke at which the springs carry the rider [m], the air squeezed as in riding.

    >>> from suspedu.machine import load
    >>> bool(0.06 < rest_stroke(load("enduro")) < 0.09)
    True
    """
    stroke, force = spring_of(machine)
    return float(np.interp(rest_load(machine), force, stroke))


def carried_mass(machine: Machine, body: bool) -> float:
    """Mass that moves with the stroke [kg]: the chassis' share in front, or the wheel; m cos(rake)^2.

    >>> from suspedu.machine import load
    >>> bool(carried_mass(load("enduro"), body=True) > 4 * carried_mass(load("enduro"), body=False))
    True
    """
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
def let_go(depth: float, machine: Machine, body: bool, span: float = 1.2) -> Return:
    """Motion from rest at a depth: the chassis rising off it (body), or the wheel dropping below a chassis held still.

    m x'' = L - F_spring(x) - F_damp(x') - friction, L the rider's load for the body, minus the weight of the wheel

    Parameters: depth, stroke at the start [m]; machine at its setting; body; span [s].

    >>> from suspedu.machine import load
    >>> back = let_go(0.2, load("enduro"), True)
    >>> bool(back.stroke[0] == 0.2 and back.stroke[-1] < 0.1)
    True
    """
    grid, spring = spring_of(machine)
    damping, mass = damping_of(machine), carried_mass(machine, body)
    weight = mass * STANDARD_GRAVITY / np.cos(machine.chassis.rake)  # of the wheel, along the fork
    pressed = rest_load(machine) if body else -weight
    rubbing = sum(leg.friction.sliding for leg in machine.both_legs)

    def rates(_time, state):
        x, v = state
        force = np.interp(x, grid, spring) + METAL * min(x, 0.0) + np.interp(v, SPEEDS, damping)
        return v, (pressed - force - rubbing * np.tanh(v / CREEP)) / mass

    found = solve_ivp(rates, (0.0, span), (depth, 0.0), method="LSODA", t_eval=np.linspace(0.0, span, 151), rtol=1e-6,
                      atol=1e-7)  # fmt: skip
    return Return(found.t, *found.y)


def damping_ratio(machine: Machine, speed: float = 0.1) -> float:
    """Rebound damping over what would just keep the rising chassis from passing its rest.

    zeta = c / (2 sqrt(k m)), c the rebound force over its speed, k the slope of the springs where the rider rests

    Parameters: machine; speed [m/s] at which the damping is read. Returns: damping ratio [1].

    >>> from suspedu.machine import adjusted, load
    >>> shut, wide = (damping_ratio(adjusted(load("enduro"), rebound=clicks)) for clicks in (2, 24))
    >>> bool(shut > 2 * wide > 0.0)
    True
    """
    rate, drag = _rate_and_drag(machine, speed)
    return drag / (2.0 * np.sqrt(rate * carried_mass(machine, body=True)))


def time_constant(machine: Machine, speed: float = 0.1) -> float:
    """Time in which a slowly returning fork loses 63 % of its distance from rest.

    tau = c / k

    Parameters: machine; speed [m/s] at which the damping is read. Returns: time [s].

    >>> from suspedu.machine import load
    >>> bool(0.05 < time_constant(load("enduro")) < 1.0)
    True
    """
    rate, drag = _rate_and_drag(machine, speed)
    return drag / rate


def _rate_and_drag(machine: Machine, speed: float) -> tuple[float, float]:
    """Slope of the springs where the rider rests [N/m], and rebound force over its speed [N s/m]."""
    stroke, force = spring_of(machine)
    rate = float(np.interp(rest_stroke(machine), stroke, np.gradient(force, stroke)))
    return rate, -float(np.interp(-speed, SPEEDS, damping_of(machine))) / speed


def pull(peak_speed, machine: Machine):
    """Mean damping force over a stroke that goes in and out as a sine [N]: negative pulls the chassis down.

    Parameters: peak_speed of the fork [any shape, m/s]; machine. Returns: force, both legs [N].

    >>> from suspedu.machine import load
    >>> bool(pull(0.5, load("enduro")) < 0.0)  # rebound holds harder than compression: the fork packs
    True
    """
    speeds = np.asarray(peak_speed, dtype=float)[..., None] * np.cos(PHASES)
    return np.interp(speeds, SPEEDS, damping_of(machine)).mean(axis=-1)


def mean_stroke(amplitude: float, pulled, machine: Machine):
    """Mean stroke at which springs carry load and pull, the fork working about it by an amplitude.

    mean over a cycle of F_spring(x + a sin) = L - pull

    Parameters: amplitude [m]; pulled, mean damping force [any shape, N]; machine. Returns: stroke [m].

    >>> from suspedu.machine import load
    >>> bike = load("enduro")
    >>> bool(mean_stroke(0.03, -200.0, bike) > mean_stroke(0.03, 0.0, bike))  # pulled down, it rides lower
    True
    """
    grid, spring = spring_of(machine)
    middles = np.linspace(amplitude, grid[-1] - amplitude, 121)
    means = np.interp(middles[:, None] + amplitude * np.sin(PHASES), grid, spring).mean(axis=1)
    return np.interp(rest_load(machine) - np.asarray(pulled), means, middles)


def fastest_return(stroke, machine: Machine):
    """Speed [m/s] at which the springs can drive the wheel out at a stroke [m], any shape: rebound balances them.

    >>> from suspedu.machine import load
    >>> bool(fastest_return(0.2, load("enduro")) > fastest_return(0.05, load("enduro")) > 0.0)
    True
    """
    grid, spring = spring_of(machine)
    driven = np.interp(stroke, grid, spring) + carried_mass(machine, body=False) * STANDARD_GRAVITY
    damping = -damping_of(machine)[: len(SPEEDS) // 2 + 1][::-1]
    return np.interp(driven, damping, -SPEEDS[: len(SPEEDS) // 2 + 1][::-1])
