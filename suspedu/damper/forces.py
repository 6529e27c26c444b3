"""The force of one fork leg's damper, with all that led to it: flows, pressure drops, chamber pressures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper.circuit import Damper, reservoir_pressure
from suspedu.damper.end_stop import stop_force
from suspedu.damper.fluid import Fluid, fluid_at
from suspedu.damper.valves import EXACT, ValveLaw, flow
from suspedu.numerics import bracketed_root
from suspedu.parts.oil import Oil
from suspedu.units import STANDARD_ATMOSPHERE

WARM = 313.15  # K, 40 degC: oil in a gentle ride


@dataclass(frozen=True)
class LegForce:
    """Force of a leg's damper and its causes; arrays of one shape, SI, pressures absolute."""

    force: np.ndarray
    gas_force: np.ndarray
    damping_force: np.ndarray
    stop_force: np.ndarray
    reservoir: np.ndarray
    compression_chamber: np.ndarray
    rebound_chamber: np.ndarray
    cup: np.ndarray
    base_flow: np.ndarray
    piston_flow: np.ndarray
    cavitating: np.ndarray
    margin: np.ndarray  # lowest chamber pressure above the vapour pressure


def leg_force(stroke, velocity, damper: Damper, oil: Oil, temperature=WARM, *,
              air_pressure=STANDARD_ATMOSPHERE) -> LegForce:
    """Force of one leg's damper at any strokes and velocities (broadcasting), quasi-static.

    F = p_comp A_p - p_reb (A_p - A_r) - p_out A_r = gas part (p_res - p_out) A_r + damping part + end stop

    Parameters: stroke [m], from full extension; velocity [m/s], compression > 0; damper; oil; temperature [K];
    air_pressure, absolute, of the fork's air at these strokes [Pa].
    Returns: a `LegForce`; forces [N] positive against compression.
    Raises: InputError for a stroke that leaves no gas, oil below its pour point.
    Assumes: incompressible oil (see `loops`); where a chamber would fall below the vapour pressure it stays there,
    a void grows, and the flows follow from the pressures left.

    >>> from suspedu.damper import stock_damper
    >>> leg = leg_force(0.1, np.array([-1.0, 1.0]), stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6))
    >>> leg.force.round(-2).tolist()
    [-400.0, 300.0]

    Source: merritt, section 3-1 to 3-4, restrictions (printed, from memory)
    """
    fluid = fluid_at(temperature, oil, damper.air_fraction)
    reservoir = reservoir_pressure(stroke, damper, temperature, air_pressure)
    return _assembled(stroke, velocity, damper, fluid, reservoir)


def force_table(strokes, velocities, damper: Damper, oil: Oil, temperature=WARM, *, part: str = "force", **setting):
    """Force, or any other field of `LegForce`, over a grid of strokes and velocities.

    Parameters: strokes [n_s, m]; velocities [n_v, m/s]; damper; oil; temperature [K];
    part, name of a field: "force", "damping_force", "stop_force", "gas_force"; setting as in `leg_force`
    (air_pressure, if an array, has n_s entries).
    Returns: force [n_s, n_v, N].

    >>> from suspedu.damper import stock_damper
    >>> table = force_table([0.0, 0.2], [-1.0, 0.0, 1.0], stock_damper("damping rod"), Oil(15e-6, 3.5e-6))
    >>> table.shape, table[:, 1].tolist()
    ((2, 3), [0.0, 0.0])
    """
    air = np.reshape(np.asarray(setting.pop("air_pressure", STANDARD_ATMOSPHERE), dtype=float), (-1, 1))
    found = leg_force(np.reshape(strokes, (-1, 1)), np.reshape(velocities, (1, -1)), damper, oil, temperature,
                      air_pressure=air, **setting)
    return getattr(found, part)


def _assembled(stroke, velocity, damper, fluid, reservoir) -> LegForce:
    rod, ring = damper.displaced_area, damper.ring_area
    compression, rebound = chambers(velocity, damper, fluid, reservoir)
    stop, cup = 0.0 * compression, compression
    if damper.end_stop is not None:
        stop, cup = stop_force(stroke, velocity, compression, damper.end_stop, fluid)
    gas = (reservoir - damper.reservoir.outside_pressure(reservoir)) * rod
    damping = (compression - reservoir) * damper.piston_area - (rebound - reservoir) * ring
    base_flow, piston_flow = _flows(velocity, damper, fluid, reservoir, compression, rebound)
    margin = np.minimum(np.minimum(compression, rebound), cup) - fluid.vapour_pressure
    parts = (gas + damping + stop, gas, damping, stop, reservoir, compression, rebound, cup, base_flow, piston_flow,
             margin <= 1e-9 * reservoir, margin)
    return LegForce(*(part.copy()[()] for part in np.broadcast_arrays(*parts)))


def valve_drops(velocity, damper: Damper, fluid: Fluid, law: ValveLaw = EXACT):
    """Pressure drops of base, mid, rebound and refill valve [Pa] at a velocity [any shape, m/s], if the oil holds.

    Parameters: velocity; damper; fluid; law, exact or from curves.

    >>> from suspedu.damper import stock_damper
    >>> drops = valve_drops(1.0, stock_damper("damping rod"), Fluid(850.0, 0.012))
    >>> [bool(drop > 0.0) for drop in drops]  # pushed in: base and mid work, rebound and refill rest
    [True, True, False, False]
    """
    rod, ring = damper.displaced_area, damper.ring_area
    closing, opening = np.maximum(velocity, 0.0), np.maximum(np.negative(velocity), 0.0)
    return (law.drop(rod * closing, damper.base, fluid), law.drop(ring * closing, damper.mid, fluid),
            law.drop(ring * opening, damper.rebound, fluid), law.drop(rod * opening, damper.refill, fluid))


def chambers(velocity, damper: Damper, fluid: Fluid, reservoir, law: ValveLaw = EXACT):
    """Absolute pressures of the compression and the rebound chamber, none below the vapour pressure.

    Parameters: velocity [m/s] and reservoir, absolute [Pa], broadcasting; damper; fluid; law, as in `valve_drops`.
    Returns: compression chamber, rebound chamber [Pa].

    >>> from suspedu.damper import stock_damper
    >>> below, above = chambers(-1.0, stock_damper("damping rod"), Fluid(850.0, 0.012), 1e5)
    >>> round(float(below) / 1e5, 2), round(float(above) / 1e5, 1)  # bar, absolute: pulled
    (0.9, 13.4)
    """
    base, mid, back, refill = valve_drops(velocity, damper, fluid, law)
    floor = np.minimum(fluid.vapour_pressure, reservoir)
    compression = np.maximum(reservoir + base - refill, floor)
    rebound = compression - mid + back
    cavitating = rebound < floor
    if np.any(cavitating):
        speed, held, low, compression = (np.array(each) for each in np.broadcast_arrays(
            velocity, reservoir, floor, compression))
        compression[cavitating] = _cavitating_pressure(speed[cavitating], compression[cavitating], held[cavitating],
                                                       low[cavitating], damper, fluid, law)
        rebound = np.where(cavitating, floor, rebound)
    return compression, rebound


def _cavitating_pressure(speed, least, reservoir, floor, damper, fluid, law):
    """Compression-chamber pressure while a void grows behind the piston.

    Q_base(p - p_res) + Q_mid(p - p_vap) = A_p v: the mid-valve passes less than the piston sweeps, the base valve more.
    """
    swept = damper.piston_area * speed
    most = reservoir + law.drop(swept, damper.base, fluid)

    def excess(pressure):
        out = law.flow(np.maximum(pressure - reservoir, 0.0), damper.base, fluid)
        return np.log((out + law.flow(pressure - floor, damper.mid, fluid)) / swept)

    return bracketed_root(excess, least, most)


def _flows(velocity, damper, fluid, reservoir, compression, rebound):
    """Flows through base (out to the reservoir) and piston (into the rebound chamber), signed like the velocity."""
    rod, ring = damper.displaced_area, damper.ring_area
    base, piston, _, _, _ = np.broadcast_arrays(rod * np.asarray(velocity), ring * np.asarray(velocity), reservoir,
                                                compression, rebound)
    floor = np.minimum(fluid.vapour_pressure, reservoir)
    cavitating = (np.asarray(velocity) > 0.0) & (rebound <= floor)
    if np.any(cavitating):
        piston = np.where(cavitating, flow(np.maximum(compression - rebound, 0.0), damper.mid, fluid), piston)
        base = np.where(cavitating, damper.piston_area * np.asarray(velocity) - piston, base)
    starved = (np.asarray(velocity) < 0.0) & (compression <= floor)
    if np.any(starved):
        base = np.where(starved, -flow(np.maximum(reservoir - compression, 0.0), damper.refill, fluid), base)
    return base, piston
