"""A valve: parallel paths between two pressures. Flow from pressure drop, and pressure drop from flow."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from suspedu.damper.fluid import Fluid
from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.damper.ports import March, Path, ShimPort, marched
from suspedu.numerics import bracketed_root, remembered
from suspedu.parts.restrictions import orifice_drop, reynolds_number
from suspedu.spelling import readable
from suspedu.units import InputError

LEAST_FLOW = 1e-60  # m3/s: less than one molecule in the age of the universe is no flow
MARKS_PER_DECADE = 12  # of pressure, from which a root for a flow is looked for
LEAST_AREA = 1e-13  # m2: less is a shut path and a solver's rounding


@dataclass(frozen=True)
class Valve:
    """Paths side by side: always a leak; perhaps a needle, plain holes, shim ports."""

    leak: Clearance
    needle: Needle | None = None
    holes: Hole | None = None
    ports: tuple[ShimPort, ...] = ()

    def __post_init__(self):
        names = [name for name, _ in self.paths]
        if len(set(names)) < len(names):
            raise InputError(f"two paths of one valve share a name: {', '.join(names)}")

    @property
    def paths(self) -> tuple:
        """Names and paths, in the order in which they are listed everywhere."""
        fixed = (("leak", self.leak), ("needle", self.needle), ("holes", self.holes))
        present = tuple((name, path) for name, path in fixed if path is not None)
        return present + tuple((port.name, port) for port in self.ports)


@dataclass(frozen=True)
class ValveLaw:
    """A valve's two functions, which undo each other: exact, or read off remembered curves (`curves`)."""

    flow: Callable  # (pressure drop, valve, fluid) -> flow
    drop: Callable  # (flow, valve, fluid) -> pressure drop


@dataclass(frozen=True)
class PathState:
    """What one path of a valve does at each pressure drop: arrays of one shape, and whether it is open."""

    flow: np.ndarray
    share: np.ndarray
    lift: np.ndarray
    open: np.ndarray
    reynolds: np.ndarray
    on_shims: np.ndarray  # Pa that lifts the shims, jet included; the whole drop where there are none
    pocket: np.ndarray  # Pa under the shims; the whole drop where there are none
    holes_share: np.ndarray  # of the drop that a port's holes take before the shims feel it [-]


def flow(pressure_drop, valve: Valve, fluid: Fluid):
    """Flow through a valve: the sum over its parallel paths, strictly increasing and continuous.

    Parameters: pressure_drop [any shape, Pa], not negative; valve; fluid.
    Returns: flow [m3/s].
    Raises: InputError for a negative pressure drop (the way back belongs to another valve).

    >>> from suspedu.damper import stock_damper
    >>> base, thin = stock_damper("closed cartridge").base, Fluid(850.0, 0.012)
    >>> (flow(np.array([1e5, 4e5]), base, thin) * 1e6).round(1).tolist()  # cm3/s; a plain hole would only double
    [8.2, 26.3]
    """
    drop = np.asarray(pressure_drop, dtype=float)
    if np.any(drop < 0.0):
        raise InputError(f"pressure drop is {np.min(drop):.4g} Pa; allowed: 0 and above (a valve carries one way)")
    return sum(path.flow(drop, fluid) for _, path in valve.paths)


def pressure_drop(through, valve: Valve, fluid: Fluid):
    """Pressure drop of a valve at given flows: the inverse of `flow`, for whole arrays at once.

    Parameters: through, flow [any shape, m3/s], not negative; valve; fluid.
    Returns: pressure drop [Pa], to 1e-12 relative.
    Raises: InputError for a negative flow, or one that is not a number.

    >>> from suspedu.damper import stock_damper
    >>> base, thin = stock_damper("closed cartridge").base, Fluid(850.0, 0.012)
    >>> round(float(pressure_drop(flow(3e5, base, thin), base, thin)), 3)
    300000.0
    """
    wanted = np.asarray(through, dtype=float)
    if np.any(wanted < 0.0):
        found = readable(f"{np.min(wanted):.4g}", "m^3/s")
        raise InputError(f"flow is {found}; allowed: 0 and above (a valve carries one way)")
    if np.any(np.isnan(wanted)):
        raise InputError("flow is not a number; is a velocity missing where it comes from?")
    drop = np.zeros(wanted.shape)
    moving = wanted > LEAST_FLOW
    if moving.any():
        drop[moving] = _inverse(wanted[moving], valve, fluid)
    return drop[()]


EXACT = ValveLaw(flow, pressure_drop)


def path_flow(pressure_drop, path: Path, fluid: Fluid):
    """Flow through one path at a pressure drop, by the path's own law.

    Parameters: pressure_drop [any shape, Pa]; path; fluid. Returns: flow [m3/s].

    >>> round(float(path_flow(1e5, Hole(2e-3, 5e-3), Fluid(850.0, 0.01))) * 1e6, 1)  # cm3/s
    32.8
    """
    return path.flow(pressure_drop, fluid)


def _inverse(wanted, valve, fluid):
    """Drop at the root of ln Q = ln Q_wanted along what `_along` steps by: from remembered marks to a bracket, to it.
    """
    marks, log_flow = _flow_marks(*_decades(wanted, valve, fluid), valve, fluid)
    target = np.log(wanted)
    right = np.clip(np.searchsorted(log_flow, target), 1, len(log_flow) - 1)
    left = right - 1

    def excess(at):
        return np.log(_along(np.exp(at), valve, fluid)[1]) - target

    ends = log_flow[left] - target, log_flow[right] - target
    return _along(np.exp(bracketed_root(excess, marks[left], marks[right], ends=ends)), valve, fluid)[0]


def _along(pressure, valve, fluid):
    """Drop and flow of a valve at a pressure on the shims of its first port, from which both are explicit.

    A step by the drop would ask for a root in every port. Without ports the pressure is the drop.
    """
    if not valve.ports:
        return pressure, flow(pressure, valve, fluid)
    first = valve.ports[0]
    at = marched(pressure, first, fluid)
    return at.drop, at.flow + sum(path.flow(at.drop, fluid) for _, path in valve.paths if path is not first)


@remembered(size=512)
def _flow_marks(lowest: int, highest: int, valve: Valve, fluid: Fluid):
    """Logarithms of pressures to step by, kinks of the first port among them, and of the flows there.

    Parameters: lowest, highest powers of ten [Pa] of the drops that they must hold between them.
    """
    least = next(power for power in range(lowest, -400, -1) if _along(10.0**power, valve, fluid)[0] <= 10.0**lowest)
    pressures = np.geomspace(10.0**least, 10.0**highest, MARKS_PER_DECADE * (highest - least) + 1)
    kinks = [kink for port in valve.ports[:1] for kink in port.kinks if pressures[0] < kink < pressures[-1]]
    marks = np.unique(np.concatenate([pressures, kinks]))
    return np.log(marks), np.maximum.accumulate(np.log(_along(marks, valve, fluid)[1]))


def _decades(wanted, valve, fluid) -> tuple[int, int]:
    """Powers of ten that surely hold all roots: every path wide open below (jets or walls alone), the leak alone above.
    """
    ways = [path for _, path in valve.paths if path.resistance > 0.0]
    jets = orifice_drop(wanted.min(), sum(way.discharge * way.widest for way in ways), fluid.density, discharge=1.0)
    lowest = max(jets, wanted.min() * fluid.viscosity / sum(1.0 / way.resistance for way in ways))
    leak = valve.leak
    highest = orifice_drop(wanted.max(), leak.area(0.0), fluid.density, viscosity=fluid.viscosity,
                           resistance=leak.resistance, discharge=leak.discharge)
    return math.floor(np.log10(0.99 * lowest)), math.ceil(np.log10(1.01 * highest))


def path_states(pressure_drop, valve: Valve, fluid: Fluid) -> dict[str, PathState]:
    """What every path does at given pressure drops: flow, share, lift, open or shut, Reynolds number.

    Parameters: pressure_drop [any shape, Pa]; valve; fluid.
    Returns: path name -> `PathState` with arrays of that shape; shares sum to one (to nothing without flow).

    >>> from suspedu.damper import stock_damper
    >>> states = path_states(1e5, stock_damper("closed cartridge").base, Fluid(850.0, 0.012))
    >>> [name for name, state in states.items() if state.open]
    ['leak', 'needle', 'low-speed']
    """
    drop = np.array(pressure_drop, dtype=float)  # the answer's own, not the caller's
    whole = flow(drop, valve, fluid)
    return {name: _state(drop, path, fluid, np.where(whole > 0.0, whole, 1.0)) for name, path in valve.paths}


def _state(drop, path, fluid, whole) -> PathState:
    march = path.march(drop, fluid) if path.kind == "port" else March(drop, path.flow(drop, fluid), drop, drop)
    thick = fluid.viscosity / fluid.density
    taken = (march.drop - march.pocket) / np.where(drop > 0.0, drop, 1.0)
    return PathState(march.flow, march.flow / whole, path.lift(march.on_shims),
                     np.asarray(path.area(march.on_shims) * np.ones_like(drop) > LEAST_AREA),
                     reynolds_number(march.flow, path.perimeter, thick), march.on_shims, march.pocket, taken)


def openings(valve: Valve, fluid: Fluid) -> tuple[tuple[str, float], ...]:
    """Pressure drops at which something new begins in a valve: floats leave their seats, stacks begin to bend.

    Parameters: valve; fluid, since behind an open float the holes take their share before the stack bends.
    Returns: (what, pressure drop [Pa]) in rising order; paths that are always open come first, at zero.

    >>> from suspedu.damper import stock_damper
    >>> [what for what, _ in openings(stock_damper("closed cartridge").mid, Fluid(850.0, 0.012))]
    ['leak', 'holes', 'mid float', 'mid stack']
    """
    found = [(name, 0.0) for name, path in valve.paths if path.kind != "port" and path.area(0.0) > 0.0]
    for port in valve.ports:
        if port.floating is not None:
            found.append((f"{port.name} float", port.opening))
        if port.stack is not None:
            found.append((f"{port.name} stack", float(marched(port.bending, port, fluid).drop)))
    return tuple(sorted(found, key=lambda item: item[1]))
