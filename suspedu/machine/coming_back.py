"""How a fork comes back on its spring: let go once, and pulled down by bump after bump.

Both legs together, the rider aboard; the chassis rises and sinks without pitching, the damping is that of mid-stroke.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from suspedu.machine.damping import damping_table
from suspedu.machine.friction import friction_levels
from suspedu.machine.model import Machine, of_one_setting
from suspedu.machine.statics import fork_load, front_load, riding_split, sprung_mass
from suspedu.numerics import remembered
from suspedu.parts.friction import friction_shape
from suspedu.parts.wheel_end import ratio_slope
from suspedu.units import STANDARD_GRAVITY

PLACE, METAL = 0.15, 300e3  # m at which the damping is read; N/m of the stop at full extension
SPEEDS = np.concatenate([-np.geomspace(8.0, 0.01, 48), [0.0], np.geomspace(0.01, 8.0, 48)])
PHASES = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
SPEEDS.setflags(write=False)
PHASES.setflags(write=False)


@dataclass(frozen=True)
class Motion:
    """A fork let go: time [n, s], stroke [n, m], velocity [n, m/s]."""

    time: np.ndarray
    stroke: np.ndarray
    velocity: np.ndarray


@remembered
def let_go(depth: float, machine: Machine, body: bool, span: float = 1.2) -> Motion:
    """Motion from rest at a depth: the chassis rising off it (body), or the wheel dropping below a chassis held still.

    m (x'' + r'/r x'^2) = L - F_spring(x) - F_damp(x') - friction(x', x), m = M r^2 with r = dz/dx of the wheel end (its
    slope r' is 0 for a telescopic fork); L the rider's load for the body, minus the weight of the wheel

    Parameters: depth, stroke at the start [m]; machine at its setting; body; span [s].
    Raises: InputError for a machine that stands for many settings (arrays).

    >>> from suspedu.machine import load
    >>> [round(float(let_go(0.2, load("enduro"), True).stroke[at]), 3) for at in (0, 25, -1)]
    [0.2, 0.067, 0.059]
    """
    grid, spring = spring_of(machine)
    damping, end, rubbing = damping_of(machine), machine.wheel_end, _rubbing(machine, body, grid)

    def rates(_time, state):
        x, v = state
        ratio = end.motion_ratio(x)
        force = np.interp(x, grid, spring) + METAL * min(x, 0.0) + np.interp(v, SPEEDS, damping)
        driving = _driving_load(machine, body, x) - force - rubbing(v, x)
        return v, driving / (_moved_mass(machine, body) * ratio**2) - ratio_slope(x, end) / ratio * v**2

    found = scipy.integrate.solve_ivp(rates, (0.0, span), (depth, 0.0), method="LSODA",
                                      t_eval=np.linspace(0.0, span, 151), rtol=1e-6, atol=1e-7)
    return Motion(found.t, *found.y)


def _rubbing(machine: Machine, body: bool, grid):
    """Friction of both legs over velocity and stroke [N]: levels looked up in a table, for the integrator's sake."""
    ground = front_load(machine) if body else 0.0
    rows = [(leg.friction, level) for leg, level in
            zip(machine.both_legs, friction_levels(machine, grid, ground), strict=True)]
    return lambda v, x: sum(friction_shape(v, seals) * np.interp(x, grid, level) for seals, level in rows)


@remembered(size=1024)
def damping_of(machine: Machine) -> np.ndarray:
    """Damping force of both legs [N] over SPEEDS, without gas, at the machine's clicks.

    Raises: InputError for a machine that stands for many settings (arrays).

    >>> from suspedu.machine import load
    >>> damping_of(load("enduro"))[[0, 48, -1]].round(-2).tolist()
    [-11200.0, 0.0, 5500.0]
    """
    return damping_table(of_one_setting(machine), np.array([PLACE]), SPEEDS)[0]


@remembered
def spring_of(machine: Machine) -> tuple[np.ndarray, np.ndarray]:
    """Strokes [n, m] and the force of coils, air, stops and cartridge gas [n, N], both legs, as in riding.

    Raises: InputError for a machine that stands for many settings (arrays).

    >>> from suspedu.machine import load
    >>> stroke, force = spring_of(load("enduro"))
    >>> force[stroke.searchsorted([0.1, 0.2])].round().tolist()
    [1041.0, 2253.0]
    """
    stroke = np.linspace(0.0, machine.travel, 301)
    return stroke, riding_split(of_one_setting(machine), stroke).total


def rest_load(machine: Machine) -> float:
    """Load along the fork with the rider aboard [N], where he rests.

    >>> from suspedu.machine import load
    >>> round(rest_load(load("enduro")))
    657
    """
    return float(fork_load(machine, front_load(machine), rest_stroke(machine)))


def rest_stroke(machine: Machine) -> float:
    """Stroke at which the springs carry the rider [m], the air squeezed as in riding.

    >>> from suspedu.machine import load
    >>> round(rest_stroke(load("enduro")), 4)
    0.0622
    """
    stroke, force = spring_of(machine)
    return float(np.interp(0.0, force - fork_load(machine, front_load(machine), stroke), stroke))


def carried_mass(machine: Machine, body: bool) -> float:
    """Mass that moves with the stroke [kg], where the rider rests: the chassis' share in front, or the wheel.

    m = M (dz/dx)^2, M cos(rake)^2 for a telescopic fork

    Parameters: machine; body, or else the wheel.

    >>> from suspedu.machine import load
    >>> [round(carried_mass(load("enduro"), body), 1) for body in (True, False)]
    [59.9, 12.0]
    """
    return float(_moved_mass(machine, body) * machine.wheel_end.motion_ratio(rest_stroke(machine)) ** 2)


def _moved_mass(machine: Machine, body: bool) -> float:
    return float(sprung_mass(machine)) if body else machine.chassis.unsprung_mass


def _driving_load(machine: Machine, body: bool, stroke):
    """What drives the stroke besides the springs [N]: the load on the body, or the weight of the wheel that drops."""
    return fork_load(machine, front_load(machine) if body else 0.0, stroke)


def rebound_damping_ratio(machine: Machine, speed: float = 0.1) -> float:
    """Rebound damping over what would just keep the rising chassis from passing its rest.

    zeta = c / (2 sqrt(k m)), c the rebound force over its speed, k the slope of the springs where the rider rests

    Parameters: machine; speed [m/s] at which the damping is read.
    Returns: damping ratio [1].

    >>> from suspedu.machine import adjusted, load
    >>> [round(rebound_damping_ratio(adjusted(load("enduro"), rebound=clicks)), 2) for clicks in (2, 12, 24)]
    [1.82, 0.96, 0.3]
    """
    rate, drag = _rate_and_drag(machine, speed)
    return float(drag / (2.0 * np.sqrt(rate * carried_mass(machine, body=True))))


def time_constant(machine: Machine, speed: float = 0.1) -> float:
    """Time in which a slowly returning fork loses 63 % of its distance from rest.

    tau = c / k

    Parameters: machine; speed [m/s] at which the damping is read.
    Returns: time [s].

    >>> from suspedu.machine import load
    >>> round(time_constant(load("enduro")), 2)
    0.15
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

    Parameters: peak_speed of the fork [any shape, m/s]; machine.
    Returns: force, both legs [N].

    >>> from suspedu.machine import load
    >>> round(float(pull(0.5, load("enduro"))))  # rebound holds harder than compression: the fork packs
    -77
    """
    speeds = np.asarray(peak_speed, dtype=float)[..., None] * np.cos(PHASES)
    return np.interp(speeds, SPEEDS, damping_of(machine)).mean(axis=-1)


def mean_stroke(amplitude: float, pulled, machine: Machine):
    """Mean stroke at which springs carry load and pull, the fork working about it by an amplitude.

    mean over a cycle of F_spring(x + a sin) = L - pull

    Parameters: amplitude [m]; pulled, mean damping force [any shape, N]; machine.
    Returns: stroke [m].

    >>> from suspedu.machine import load
    >>> mean_stroke(0.03, [0.0, -200.0], load("enduro")).round(4).tolist()  # pulled down, it rides lower
    [0.0619, 0.0818]
    """
    grid, spring = spring_of(machine)
    middles = np.linspace(amplitude, grid[-1] - amplitude, 121)
    means = np.interp(middles[:, None] + amplitude * np.sin(PHASES), grid, spring).mean(axis=1)
    return np.interp(-np.asarray(pulled), means - fork_load(machine, front_load(machine), middles), middles)


def fastest_return(stroke, machine: Machine):
    """Speed at which the springs can drive the wheel out: rebound balances them.

    Parameters: stroke [m], any shape; machine.
    Returns: speed [m/s], of the shape of the stroke.

    >>> from suspedu.machine import load
    >>> fastest_return([0.05, 0.2], load("enduro")).round(2).tolist()
    [0.69, 2.55]
    """
    grid, spring = spring_of(machine)
    driven = np.interp(stroke, grid, spring) + carried_mass(machine, body=False) * STANDARD_GRAVITY
    damping = -damping_of(machine)[: len(SPEEDS) // 2 + 1][::-1]
    return np.interp(driven, damping, -SPEEDS[: len(SPEEDS) // 2 + 1][::-1])
