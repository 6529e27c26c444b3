"""Explain this point: where the oil goes, what it opens, and which pressures make the force, at one instant."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper.circuit import WAYS, Damper
from suspedu.damper.fluid import fluid_at
from suspedu.damper.forces import WARM, LegForce, leg_force
from suspedu.damper.valves import PathState, flow, openings, path_states
from suspedu.parts.oil import Oil
from suspedu.units import STANDARD_ATMOSPHERE

VALVE_WORDS = {"base": "base valve", "mid": "mid-valve", "rebound": "rebound valve", "refill": "base refill",
               "stop": "end stop", "stop refill": "end-stop refill"}


@dataclass(frozen=True)
class ValveState:
    """One valve at given instants: pressure drop, flow, and the state of each of its paths by name."""

    pressure_drop: np.ndarray
    flow: np.ndarray
    paths: dict[str, PathState]


@dataclass(frozen=True)
class Explanation:
    """A leg's damper at given instants, taken apart: motion, forces and pressures, and every valve by its key."""

    stroke: np.ndarray
    velocity: np.ndarray
    leg: LegForce
    valves: dict[str, ValveState]

    @property
    def parts(self) -> dict[str, np.ndarray]:
        """Parts of the force [N]; they sum to `leg.force`."""
        return {"gas": self.leg.gas_force, "damping": self.leg.damping_force, "end stop": self.leg.stop_force}


def explained(stroke, velocity, damper: Damper, oil: Oil, temperature=WARM, *, air_pressure=STANDARD_ATMOSPHERE
              ) -> Explanation:
    """Everything behind the damper's force at given strokes and velocities.

    Parameters: as in `leg_force`: stroke [m], velocity [m/s], broadcasting; damper; oil; temperature [K];
    air_pressure [Pa].
    Returns: an `Explanation` whose arrays have the broadcast shape.

    >>> from suspedu.damper import stock_damper
    >>> point = explained(0.1, 0.5, stock_damper("open cartridge"), Oil(15e-6, 3.5e-6))
    >>> {name: round(float(part), 1) for name, part in point.parts.items()}
    {'gas': 0.0, 'damping': 128.9, 'end stop': 0.0}
    >>> [name for name, path in point.valves["base"].paths.items() if path.open]
    ['leak', 'needle', 'low-speed']
    """
    given = np.broadcast_arrays(np.asarray(stroke, dtype=float), np.asarray(velocity, dtype=float))
    stroke, velocity = (each.copy() for each in given)
    leg = leg_force(stroke, velocity, damper, oil, temperature, air_pressure=air_pressure)
    fluid = fluid_at(temperature, oil, damper.air_fraction)
    states = {key: _valve_state(_drop(leg, key), valve, fluid) for key, valve in damper.valves.items()}
    return Explanation(stroke, velocity, leg, states)


def _drop(leg: LegForce, valve: str) -> np.ndarray:
    """Pressure drop of a valve, from the pressures of its chambers: so a cavitating column is told as it is."""
    return np.maximum(getattr(leg, WAYS[valve].source) - getattr(leg, WAYS[valve].target), 0.0)


def _valve_state(drop, valve, fluid) -> ValveState:
    return ValveState(drop, flow(drop, valve, fluid), path_states(drop, valve, fluid))


def breakdown_rows(explanation: Explanation, instant: tuple | int = ()) -> list[dict]:
    """Rows of the valve table at one instant: where the oil goes, what pressures it leaves, what it lifts.

    Parameters: explanation; instant, index into its arrays, () for a single point.
    Returns: one row per path of every valve that carries oil there, SI values: valve, path, flow, share, pressure_drop,
    pocket (pressure under the shims), holes_share (of the drop, before the shims), lift, open, reynolds.

    >>> from suspedu.damper import stock_damper
    >>> rows = breakdown_rows(explained(0.1, -0.5, stock_damper("damping rod"), Oil(15e-6, 3.5e-6)))
    >>> sorted({row["valve"] for row in rows})
    ['base refill', 'rebound valve']
    """
    rows = []
    for key, valve in explanation.valves.items():
        if valve.flow[instant] <= 0.0:
            continue
        for name, path in valve.paths.items():
            rows.append({"valve": VALVE_WORDS[key], "path": name, "flow": float(path.flow[instant]),
                         "share": float(path.share[instant]), "pressure_drop": float(valve.pressure_drop[instant]),
                         "lift": float(path.lift[instant]), "open": bool(path.open[instant]),
                         "pocket": float(path.pocket[instant]), "holes_share": float(path.holes_share[instant]),
                         "reynolds": float(path.reynolds[instant])})
    return rows


def breakdown_table(explanation: Explanation, instant: tuple | int = ()) -> str:
    """The breakdown at one instant as a Markdown table, and its forces and pressures in two lines below.

    Parameters: as in `breakdown_rows`.

    >>> from suspedu.damper import stock_damper
    >>> point = explained(0.1, 1.0, stock_damper("damping rod"), Oil(15e-6, 3.5e-6))
    >>> [line.split("|")[2].strip() for line in breakdown_table(point).splitlines()[2:6]]
    ['leak', 'holes', 'leak', 'ring check']
    """
    head = "| valve | path | state | flow cm³/s | share % | drop bar | pocket bar | lift mm | Re |"
    rows = [_row_line(row) for row in breakdown_rows(explanation, instant)]
    lines = [head, "|---|---|---|--:|--:|--:|--:|--:|--:|", *rows]
    return "\n".join([*lines, "", _force_line(explanation, instant), "", _pressure_line(explanation.leg, instant)])


def _row_line(row) -> str:
    cells = (row["valve"], row["path"], "open" if row["open"] else "shut", f"{row['flow'] * 1e6:.2f}",
             f"{row['share'] * 100:.1f}", f"{row['pressure_drop'] / 1e5:.2f}", f"{row['pocket'] / 1e5:.2f}",
             f"{row['lift'] * 1e3:.3f}", f"{row['reynolds']:.0f}")
    return f"| {' | '.join(cells)} |"


def _force_line(explanation, instant) -> str:
    parts = " + ".join(f"{name} {float(part[instant]):.1f} N" for name, part in explanation.parts.items())
    return f"Force {float(explanation.leg.force[instant]):.1f} N = {parts}."


def _pressure_line(leg, instant) -> str:
    below, above, reservoir, margin = (float(pressure[instant]) / 1e5 for pressure in (
        leg.compression_chamber, leg.rebound_chamber, leg.reservoir, leg.margin))
    held = "The oil is torn: a void grows." if leg.cavitating[instant] else f"Margin to cavitation {margin:.2f} bar."
    return (f"Absolute pressures: below the piston {below:.2f} bar, above it {above:.2f} bar, "
            f"reservoir {reservoir:.2f} bar. {held}")


def opening_speeds(damper: Damper, oil: Oil, temperature=WARM, *, way: str = "compression") -> tuple:
    """What opens as the fork moves faster, in order of the speed at which it opens.

    v = Q(p_opening) / A, with the area that feeds the valve

    Parameters: damper; oil; temperature [K]; way, "compression" or "rebound".
    Returns: (what, speed [m/s]) in rising order, as far as the oil holds together.

    >>> from suspedu.damper import stock_damper
    >>> found = opening_speeds(stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6))
    >>> [what for what, speed in found if speed > 0.0]
    ['base valve: low-speed stack', 'mid-valve: mid float', 'mid-valve: mid stack', 'base valve: high-speed stack']
    """
    fluid = fluid_at(temperature, oil, damper.air_fraction)
    ring = damper.ring_area
    fed = (("base", damper.displaced_area), ("mid", ring)) if way == "compression" else (
        ("rebound", ring), ("refill", damper.displaced_area))
    found = [(f"{VALVE_WORDS[key]}: {what}", float(flow(drop, getattr(damper, key), fluid)) / area)
             for key, area in fed for what, drop in openings(getattr(damper, key), fluid)]
    return tuple(sorted(found, key=lambda item: item[1]))


def margin_of(damper: Damper, strokes, velocities, oil: Oil, temperature=WARM, **setting):
    """Lowest margin to cavitation over strokes and velocities, and where it lies.

    Parameters: strokes [n_s, m]; velocities [n_v, m/s]; oil; temperature [K]; setting as in `leg_force`.
    Returns: margin [Pa]; stroke [m]; velocity [m/s] of the lowest.

    >>> from suspedu.damper import stock_damper
    >>> fork, oil = stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6)
    >>> margin, stroke, velocity = margin_of(fork, [0.0, 0.2], [-1.0, 2.0], oil)
    >>> round(margin / 1e5, 2), stroke, velocity  # bar to spare
    (2.93, 0.0, -1.0)
    """
    leg = leg_force(np.reshape(strokes, (-1, 1)), np.reshape(velocities, (1, -1)), damper, oil, temperature, **setting)
    row, column = np.unravel_index(np.argmin(leg.margin), leg.margin.shape)
    return float(leg.margin[row, column]), float(np.ravel(strokes)[row]), float(np.ravel(velocities)[column])
