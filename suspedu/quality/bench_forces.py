"""The force that a test bench would read of a leg: damping and the grip of its seals, by the damper's own laws.

Every part of a batch is another one, so nothing can be looked up; but all ways through a valve are explicit along the
pressure on its shims. Marks along that pressure, and a straight line between them in logarithms, give what the exact
root gives, to 5e-4 of the force (the tests compare), in a tenth of the time.
"""

from __future__ import annotations

import numpy as np

from suspedu.damper import Fluid, Valve, flow, fluid_at, reservoir_pressure
from suspedu.damper.forces import WARM, chambers
from suspedu.damper.ports import marched
from suspedu.damper.valves import ValveLaw
from suspedu.machine.model import Leg
from suspedu.numerics import remembered
from suspedu.parts.friction import friction_force
from suspedu.units import InputError

MARKS = np.geomspace(10.0, 1e9, 400)  # Pa, fifty for each power of ten
AFLOAT = 60  # more while shims rise through their float: most of the flow comes within a few per cent of pressure
MID_STROKE = 0.5  # of the travel: where a bench reads


def bench_force(leg: Leg, velocity, temperature=WARM):
    """Force that a test bench reads at mid-stroke, the push of the gas taken off.

    F = (p_comp - p_res) A_p - (p_reb - p_res) A_ring + F_seal(v)

    Parameters: leg with its damper; velocity [n, m/s], compression > 0; temperature of the oil [K].
    Returns: force [n, N], with the sign of the velocity.
    Raises: InputError for a leg without a damper.
    Assumes: the damper stands upright in open air, so no side load presses its bushings; air whipped into the oil as
    its part says.

    >>> from suspedu.machine import load
    >>> bench_force(load("enduro").legs[0], [-1.0, -0.25, 0.25, 1.0]).round().tolist()
    [-462.0, -160.0, 97.0, 296.0]
    """
    if leg.damper is None:
        raise InputError("this leg has no damper: its file needs a table [legs.damper] with stock = ... and its oil")
    unit, speed = leg.damper.unit, np.atleast_1d(np.asarray(velocity, dtype=float))
    fluid = fluid_at(temperature, leg.damper.oil, unit.air_fraction)
    held = reservoir_pressure(MID_STROKE * leg.travel, unit, temperature)
    below, above = chambers(speed, unit, fluid, held, ValveLaw(flow, _drop))
    damping = (below - held) * unit.piston_area - (above - held) * unit.ring_area
    return damping + friction_force(speed, leg.friction)


def _drop(through, valve: Valve, fluid: Fluid):
    return _drops(tuple(np.ravel(through).tolist()), valve, fluid)


@remembered(size=64)  # valves that all legs of a batch share
def _drops(through: tuple[float, ...], valve: Valve, fluid: Fluid):
    """Pressure drops [Pa] at flows [m3/s]: straight between marks, in logarithms, and in proportion below them."""
    flows, (drop, passed) = np.array(through), _marks(valve, fluid)
    found = np.exp(np.interp(np.log(np.maximum(flows, passed[0])), np.log(passed), np.log(drop)))
    return np.where(flows < passed[0], found * flows / passed[0], found)


def _marks(valve: Valve, fluid: Fluid):
    """Drops of a valve and its flows there, at pressures on the shims of its first port.

    Where its holes choke, the drop grows far faster than the pressure on its shims: a first march finds the pressures
    at which the drop is what a second one wants, kinks and the openings of other ports among them.
    """
    if not valve.ports:
        return MARKS, flow(MARKS, valve, fluid)
    first, *others = valve.ports
    afloat = np.linspace(first.opening, first.bending, AFLOAT)
    rough = marched(np.unique(_within(MARKS, afloat, first.kinks)), first, fluid)
    wanted = np.log(_within(MARKS, [other.opening for other in others]))
    pressures = np.exp(np.interp(wanted, np.log(rough.drop), np.log(rough.on_shims)))
    at = marched(np.unique(_within(pressures, afloat, first.kinks)), first, fluid)
    return at.drop, at.flow + sum(path.flow(at.drop, fluid) for _, path in valve.paths if path is not first)


def _within(marks, *more):
    """Marks, and of the others those that lie between the first and the last of `MARKS`."""
    others = np.concatenate([np.asarray(each, dtype=float) for each in more])
    return np.concatenate([marks, others[(others > MARKS[0]) & (others < MARKS[-1])]])
