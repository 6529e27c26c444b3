"""The school's end stop on the bench: the work of its last millimetres, and whether its cup fills again in time."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.damper import Damper
from suspedu.damper.end_stop import refill_limit, refill_share, stop_drops, stop_work
from suspedu.damper.forces import LegForce
from suspedu.machine.forces import force_split
from suspedu.numerics import remembered
from suspedu.school.legs import MIDDLE, leg_forces, ring_area, set_damper, warm_fluid, with_face
from suspedu.school.machines import school_machine
from suspedu.school.tables import Tabulated
from suspedu.school.valves import charged

STROKES = np.linspace(0.2, 0.3, 101)
LANDINGS = np.linspace(0.0, 5.0, 41)
BACK = np.linspace(0.1, 4.0, 21)
SLOW = 0.2  # m/s
USUAL = set_damper().end_stop.refill  # the refill holes as built
DRILL_STEP, SAME_DRILL = 0.1e-3, 1e-6  # m; and the share of it that is but rounding of the machine
LEGS = 2
NEGLIGIBLE = 0.05  # share of the rebound force that the cup may hold the fork down with (guess of the course)


@remembered(size=4096)
def stopped(gap: float, zone: float, shims: int) -> Damper:
    """The school's cartridge with another end stop: gap round its piston [m], zone [m], face shims."""
    damper = set_damper()
    stop = damper.end_stop
    port = stop.valve.ports[0]
    ports = (replace(port, stack=with_face(port.stack, shims)),)
    valve = replace(stop.valve, leak=replace(stop.valve.leak, gap=gap), ports=ports)
    return replace(damper, end_stop=replace(stop, valve=valve, zone=zone))


@remembered
def springs_at_the_end() -> np.ndarray:
    """Coils, air, cartridge gas and bumpers of both legs of the school's enduro over STROKES [N]."""
    return force_split(school_machine(), STROKES, None).total


def bumper_begins() -> float:
    """Stroke at which the bumpers of the school's enduro are met [m].

    >>> round(bumper_begins() * 1e3)
    288
    """
    leg = school_machine().legs[0]
    return leg.travel - leg.bumper.length


@dataclass(frozen=True, eq=False)
class EndStopTest:
    """Both end stops at a velocity held over STROKES: forces [N], work [J]."""

    leg: LegForce
    springs: np.ndarray  # N, both legs
    damped: np.ndarray  # N, springs and valves
    whole: np.ndarray  # N, springs, valves and stops
    works: Tabulated  # J of both stops over the zone, over velocity [m/s]
    work: float  # J at this velocity
    stored: float  # J that springs, air and bumpers store over the zone
    slow: float  # N of both stops at SLOW


def end_stop_test(velocity: float, gap: float, zone: float, shims: int) -> EndStopTest:
    """Both end stops at a velocity [m/s], for a gap [m], zone [m] and face shims.

    >>> test = end_stop_test(2.0, 0.08e-3, 0.05, 2)
    >>> round(test.work), round(test.stored)
    (71, 208)
    """
    damper = stopped(gap, zone, shims)
    stop, fluid, springs = damper.end_stop, warm_fluid(damper), springs_at_the_end()
    leg, inside = leg_forces(STROKES, velocity, damper), stop.start <= STROKES
    damped = springs + LEGS * leg.damping_force
    works = Tabulated(LANDINGS, LEGS * stop_work(LANDINGS, stop, fluid))
    return EndStopTest(leg, springs, damped, damped + LEGS * leg.stop_force, works,
                       LEGS * float(stop_work(velocity, stop, fluid)),
                       float(np.trapezoid(springs[inside], STROKES[inside])),
                       LEGS * stop.area * float(stop_drops(SLOW, stop, fluid)[0]))


def bored(hole: float, rebound: int, charge: float) -> Damper:
    """The school's cartridge with another refill hole [m], rebound clicks out and charge [Pa, gauge]."""
    damper = set_damper(rebound=rebound)
    stop = damper.end_stop
    stop = replace(stop, refill=replace(stop.refill, diameter=hole))
    return charged(replace(damper, end_stop=stop), charge)


@remembered(size=1024)
def smallest_holes(fastest: float, rebound: int, charge: float) -> tuple[float, str]:
    """Smallest refill holes [m] up to a rebound speed [m/s], and what sets them: "force" or "cavitation".

    Parameters: fastest [m/s], where it binds; rebound [clicks out]; charge [Pa, gauge].
    """
    damper, used = bored(USUAL.diameter, rebound, charge), np.array([fastest / 2.0, fastest])
    around = leg_forces(damper.end_stop.full_stroke, -used, damper).compression_chamber
    return refill_limit(damper.end_stop, used, damper.rebound, ring_area(damper), warm_fluid(damper),
                        base_pressure=around)


@dataclass(frozen=True, eq=False)
class RefillTest:
    """The cup on the way back: how far it holds the fork down, its pressure, and the smallest holes that will do."""

    hole: float  # m
    shares: Tabulated  # of the rebound force [-] over speed [m/s]
    around: Tabulated  # Pa, absolute, outside the cup
    cup: Tabulated  # Pa, absolute, in it
    measure: float  # N of rebound damping that the share is of, at the fastest
    smallest: float  # m
    why: str  # "force" or "cavitation"

    @property
    def drill(self) -> float:
        """Smallest drill that will do [m]: to a tenth of a millimetre, and up, for the next one down does not."""
        return DRILL_STEP * float(np.ceil(self.smallest / DRILL_STEP - SAME_DRILL))

    @property
    def will_do(self) -> bool:
        """Whether these holes are large enough."""
        return self.hole >= self.drill - SAME_DRILL * DRILL_STEP


def refill_test(hole: float, fastest: float, rebound: int, charge: float) -> RefillTest:
    """A refill hole [m] up to the fastest coming back [m/s], at rebound clicks out and a charge [Pa, gauge].

    >>> test = refill_test(3e-3, 2.5, 12, 1.8e5)
    >>> test.why, round(test.smallest * 1e3, 2), round(test.drill * 1e3, 1)
    ('force', 2.23, 2.3)
    """
    damper = bored(hole, rebound, charge)
    stop, fluid = damper.end_stop, warm_fluid(damper)
    shares = refill_share(stop, BACK, damper.rebound, ring_area(damper), fluid)
    around = leg_forces(stop.full_stroke, -BACK, damper).compression_chamber
    cup = np.maximum(around - stop_drops(-BACK, stop, fluid)[1], fluid.vapour_pressure)
    measure = -float(leg_forces(MIDDLE, -fastest, damper).damping_force)
    return RefillTest(hole, Tabulated(BACK, shares), Tabulated(BACK, around), Tabulated(BACK, cup), measure,
                      *smallest_holes(fastest, rebound, charge))
