"""The hydraulic stop at the end of the stroke: a ring piston on the rod slides over a pin into a cup.

The cup stands on feet above the base valve, so that the base valve's oil comes and goes beneath it. Compression
presses the cup's oil up through the gap round the piston and down through shims under the cup's floor. On rebound the
cup refills through a few holes, in the piston or in the floor, under a light plate that lies shut on the way in; they
must be wide enough, or the cup would hold the fork down.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import scipy

from suspedu.damper.fluid import Fluid
from suspedu.damper.paths import Hole
from suspedu.damper.valves import EXACT, Valve, ValveLaw, pressure_drop
from suspedu.parts.restrictions import bore_area
from suspedu.spelling import count_word
from suspedu.units import InputError, check_fields, part, quantity

SEATS = ("ring", "floor")  # of the cup: where its refill holes may sit


@part
class EndStop:
    """Cup and pin, the gap round the ring piston and the shims (`valve`), and the holes that refill the cup."""

    cup_bore: float = quantity("mm", 8, 45, "cup bore")
    pin: float = quantity("mm", 0, 40, "pin in the cup")
    full_stroke: float = quantity("mm", 50, 400, "full stroke")
    zone: float = quantity("mm", 5, 120, "zone of the end stop")
    entry: float = quantity("mm", 0.5, 60, "entry taper of the end stop")
    valve: Valve
    refill: Hole
    refill_in: str  # where these holes sit: one of SEATS

    def __post_init__(self):
        check_fields(self)
        if self.refill_in not in SEATS:
            raise InputError(f"refill_in is {self.refill_in!r}; the holes sit in one of: {', '.join(SEATS)}")
        nested = (("pin in the cup", self.pin, self.cup_bore), ("entry taper", self.entry, self.zone),
                  ("end-stop zone", self.zone, self.full_stroke))
        for name, small, large in nested:
            if small >= large:
                raise InputError(f"{name} is {small * 1e3:.4g} mm; it must be smaller than {large * 1e3:.4g} mm")

    @property
    def area(self):
        """Ring area that presses the oil out of the cup [m2]."""
        return bore_area(self.cup_bore) - bore_area(self.pin)

    @property
    def start(self):
        """Stroke at which the piston reaches the cup [m]."""
        return self.full_stroke - self.zone

    @property
    def way_back(self) -> Valve:
        """What the cup refills through on rebound: the holes and the gap."""
        return Valve(leak=self.valve.leak, holes=self.refill)


def stop_force(stroke, velocity, base_pressure, stop: EndStop, fluid: Fluid):
    """Force of the end stop and the pressure in its cup.

    F = s dp A_s on compression, -s dp_refill A_s on rebound; the cup never falls below the vapour pressure.

    Parameters: stroke, velocity [broadcasting, m, m/s]; base_pressure, absolute, outside the cup [Pa]; stop; fluid.
    Returns: force [N], positive against compression; cup pressure, absolute [Pa].

    >>> from suspedu.damper import stock_damper
    >>> stop = stock_damper("closed cartridge").end_stop
    >>> force, cup = stop_force(0.3, np.array([1.0, -1.0]), 5e5, stop, Fluid(850.0, 0.012))
    >>> force.round().tolist(), (cup / 1e5).round(2).tolist()  # N; bar, absolute
    ([490.0, -3.0], [29.35, 4.85])
    """
    cup = cup_pressure(stroke, velocity, base_pressure, stop, fluid)
    return (cup - base_pressure) * stop.area, cup


def cup_pressure(stroke, velocity, base_pressure, stop: EndStop, fluid: Fluid, law: ValveLaw = EXACT):
    """Absolute pressure in the cup: that outside it and what the stop holds, never below the vapour pressure.

    p_cup = p_base + s (dp - dp_refill)

    Parameters: stroke, velocity [broadcasting, m, m/s]; base_pressure, absolute, outside the cup [Pa]; stop; fluid;
    law, exact or from curves.
    Returns: cup pressure [Pa].

    >>> from suspedu.damper import stock_damper
    >>> stop = stock_damper("closed cartridge").end_stop
    >>> float(cup_pressure(stop.start, 1.0, 5e5, stop, Fluid(850.0, 0.012)))  # Pa: the piston only reaches it
    500000.0
    """
    pressing, sucking = stop_drops(velocity, stop, fluid, law)
    cup = base_pressure + engagement(stroke, stop) * (pressing - sucking)
    return np.maximum(cup, np.minimum(fluid.vapour_pressure, base_pressure))


def engagement(stroke, stop: EndStop):
    """Share of the stop's pressure that has built up: 0 before the cup, 1 behind the entry taper, smooth between.

    s = 3 u^2 - 2 u^3, u = (x - start) / entry

    Parameters: stroke [any shape, m]; stop. Returns: share [-].

    >>> from suspedu.damper import stock_damper
    >>> stop = stock_damper("closed cartridge").end_stop
    >>> engagement(stop.start + stop.entry * np.array([-0.1, 0.0, 0.5, 1.0]), stop).round(3).tolist()
    [0.0, 0.0, 0.5, 1.0]
    """
    u = np.clip((np.asarray(stroke, dtype=float) - stop.start) / stop.entry, 0.0, 1.0)
    return u * u * (3.0 - 2.0 * u)


def stop_drops(velocity, stop: EndStop, fluid: Fluid, law: ValveLaw = EXACT):
    """Pressure that the fully engaged cup holds [Pa]: above the base chamber on compression, below it on rebound.

    Parameters: velocity [any shape, m/s]; stop; fluid; law, as in `cup_pressure`.
    Returns: pressing (velocity > 0, else 0), sucking (velocity < 0, else 0) [Pa], of the velocity's shape.

    >>> from suspedu.damper import stock_damper
    >>> stop = stock_damper("closed cartridge").end_stop
    >>> pressing, sucking = stop_drops(np.array([1.0, -1.0]), stop, Fluid(850.0, 0.012))
    >>> (pressing / 1e5).round(2).tolist(), (sucking / 1e5).round(2).tolist()  # bar
    ([24.35, 0.0], [0.0, 0.15])
    """
    swept = stop.area * np.asarray(velocity, dtype=float)
    pressing = law.drop(np.maximum(swept, 0.0), stop.valve, fluid)
    return pressing, law.drop(np.maximum(-swept, 0.0), stop.way_back, fluid)


def stop_work(velocity, stop: EndStop, fluid: Fluid):
    """Energy that the stop takes out over its zone at a steady speed: bottoming resistance.

    W = A_s dp(A_s v) (zone - entry / 2); the taper's smooth start is worth half its length.

    Parameters: velocity [any shape, m/s], compression; stop; fluid. Returns: work [J].

    >>> from suspedu.damper import stock_damper
    >>> stop = stock_damper("closed cartridge").end_stop
    >>> stop_work(np.array([1.0, 2.0]), stop, Fluid(850.0, 0.012)).round(1).tolist()  # J
    [20.8, 34.9]
    """
    return stop.area * stop_drops(velocity, stop, fluid)[0] * (stop.zone - stop.entry / 2.0)


def refill_share(stop: EndStop, speeds, rebound: Valve, ring_area, fluid: Fluid):
    """Force of the refilling cup over that of the rebound valve, at rebound speeds: should be small.

    Parameters: speeds [n, m/s], above zero; rebound valve; ring_area, piston less rod [m2]; fluid.
    Returns: share [n, -].

    >>> from suspedu.damper import stock_damper
    >>> fork = stock_damper("closed cartridge")
    >>> refill_share(fork.end_stop, [0.5, 2.0], fork.rebound, fork.ring_area, Fluid(850.0, 0.012)).round(4).tolist()
    [0.0032, 0.0131]
    """
    speeds = np.asarray(speeds, dtype=float)
    holding = stop.area * stop_drops(-speeds, stop, fluid)[1]
    return holding / (ring_area * pressure_drop(ring_area * speeds, rebound, fluid))


def refill_limit(stop: EndStop, speeds, rebound: Valve, ring_area, fluid: Fluid, *, base_pressure, share=0.05):
    """Smallest refill holes for which the cup neither holds the fork down nor cavitates, and which of the two binds.

    Parameters: stop; speeds [n, m/s], above zero; rebound valve; ring_area, piston less rod [m2]; fluid;
    base_pressure, absolute, outside the cup at these speeds [n or scalar, Pa];
    share of the rebound valve's force that is still negligible [-].
    Returns: hole diameter [m]; reason, "force" or "cavitation".
    Raises: InputError where even 6 mm holes would not do.

    >>> from suspedu.damper import stock_damper
    >>> fork, fluid = stock_damper("closed cartridge"), Fluid(850.0, 0.012)
    >>> limit, why = refill_limit(fork.end_stop, [1.0, 4.0], fork.rebound, fork.ring_area, fluid, base_pressure=3e5)
    >>> round(limit * 1e3, 2), why  # mm
    (2.79, 'cavitation')
    """
    def excess(diameter):
        tried = dataclasses.replace(stop, refill=dataclasses.replace(stop.refill, diameter=diameter))
        holding = np.max(refill_share(tried, speeds, rebound, ring_area, fluid)) / share - 1.0
        room = base_pressure - fluid.vapour_pressure
        cavitation = np.max(stop_drops(-np.asarray(speeds), tried, fluid)[1] / room) - 1.0
        return holding, cavitation

    smallest, largest = 0.3e-3, 6e-3
    if max(excess(largest)) > 0.0:
        holes = count_word(stop.refill.count)
        raise InputError(f"even {holes} holes of 6 mm do not refill the cup at these speeds; the cup is too large")
    if max(excess(smallest)) < 0.0:
        return smallest, "force"
    limit = scipy.optimize.brentq(lambda d: max(excess(d)), smallest, largest, xtol=1e-9)
    return limit, ("force", "cavitation")[int(np.argmax(excess(limit)))]
