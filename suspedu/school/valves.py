"""The school's valves on the bench: what each clicker reaches, how far a mid-valve may go, three ways to build."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.damper import Damper, opening_speeds
from suspedu.machine.damping import damping_table
from suspedu.numerics import remembered
from suspedu.school.legs import (
    MIDDLE,
    leg_forces,
    point,
    ring_area,
    school_leg,
    set_damper,
    with_face,
    with_port,
)
from suspedu.school.machines import clicked, school_machine
from suspedu.school.tables import Tabulated

READ = (0.05, 0.1, 0.25, 1.0, 2.0, 3.0)  # m/s at which panels read forces: points of their curves, nothing between two
BASE_SPEEDS = np.union1d([0.0, *READ], np.geomspace(0.005, 4.0, 72))
MID_SPEEDS = np.concatenate([np.union1d([0.0, 0.25], np.geomspace(0.02, 0.95, 29)), np.linspace(1.0, 6.0, 101)])
LANDING = 1.0  # m/s and more: where a leg that lands asks much of the mid-valve
WAY_SPEEDS = np.union1d(READ, np.geomspace(0.02, 4.0, 49))
FORK_SPEEDS = np.concatenate([-np.union1d([0.25], np.geomspace(0.02, 2.0, 20))[::-1], [0.0],
                              np.union1d([0.25], np.geomspace(0.02, 2.0, 20))])
POINT_SPEEDS = np.concatenate([-np.geomspace(4.0, 0.03, 24), [0.0], np.geomspace(0.03, 4.0, 24)])
PATHS = ("needle", "low-speed", "high-speed")  # of the base valve
LANDS = (0.2e-3, 0.5e-3)  # m: how wide the lands under the shims may be, which nobody prints (guess of the course)
FELT = 0.05  # share of the force above which a rider speaks of a change; guess of the course


@dataclass(frozen=True, eq=False)
class BaseValveTest:
    """One leg on compression: its damping force, where the base valve's oil goes, and what opens when."""

    force: Tabulated  # N over m/s
    shares: dict[str, Tabulated]  # of each of PATHS in the base valve's oil [-] over m/s, where it moves
    opens: dict[str, float]  # m/s at which the stack of a port opens
    land_span: tuple[Tabulated, Tabulated]  # N over m/s, were all seat lands of the leg as narrow or as wide as LANDS

    @property
    def edges(self) -> list[np.ndarray]:
        """The shares on top of one another [-], from nought on."""
        parts = [table.y for table in self.shares.values()]
        return list(np.cumsum([np.zeros_like(parts[0]), *parts], axis=0))

    def felt(self, speed: float) -> int:
        """Whether this is harder (1) or softer (-1) than the school's own setting at a speed [m/s], or alike (0)."""
        change = self.against_school(speed)
        return int(change > FELT) - int(change < -FELT)

    def against_school(self, speed: float) -> float:
        """Force at a speed [m/s] against that at the school's own clicks [-]."""
        return self.force.at(speed) / base_valve_test().force.at(speed) - 1.0


@remembered(size=600)
def base_valve_test(low: int = 12, high: int = 10) -> BaseValveTest:
    """The school's leg at clicks out of its two compression clickers.

    >>> round(base_valve_test(6, 10).against_school(0.05), 2)
    0.41
    """
    damper, fitted = set_damper(compression_low=low, compression_high=high), school_leg().damper
    states, moving = point(MIDDLE, BASE_SPEEDS, damper), BASE_SPEEDS > 0
    shares = {name: Tabulated(BASE_SPEEDS[moving], states.valves["base"].paths[name].share[moving]) for name in PATHS}
    found = dict(opening_speeds(damper, fitted.oil, fitted.oil_temperature))
    opens = {name: found[f"base valve: {name} stack"] for name in PATHS[1:]}
    spans = [Tabulated(BASE_SPEEDS, leg_forces(MIDDLE, BASE_SPEEDS, with_lands(damper, land)).damping_force)
             for land in LANDS]
    return BaseValveTest(Tabulated(BASE_SPEEDS, states.leg.damping_force), shares, opens, (spans[0], spans[1]))


def with_lands(damper: Damper, land: float) -> Damper:
    """The damper with seat lands of one width under the shims of its base valve and its mid-valve.

    Parameters: damper; land, their width [m].

    >>> [port.land for port in with_lands(set_damper(), 0.5e-3).base.ports]
    [0.0005, 0.0005]
    """
    valves = {name: getattr(damper, name) for name in ("base", "mid")}
    return replace(damper, **{name: replace(valve, ports=tuple(replace(port, land=land) for port in valve.ports))
                              for name, valve in valves.items()})


def mid_damper(cartridge: str, float_gap: float, face_shims: int, low: int, high: int, charge: float) -> Damper:
    """The school's cartridge with another mid-valve and charge.

    Parameters: cartridge; float_gap [m]; face_shims; low, high [clicks out]; charge of a closed one [Pa, gauge].
    """
    damper = set_damper(cartridge, compression_low=low, compression_high=high)
    port = damper.mid.ports[-1]
    damper = with_port(damper, "mid", stack=with_face(port.stack, face_shims),
                       floating=replace(port.floating, gap=float_gap))
    return charged(damper, charge)


def charged(damper: Damper, charge: float) -> Damper:
    """The damper at another charge [Pa, gauge]; one without gas stays as it is."""
    gas = getattr(damper, "pressuriser", None)
    return replace(damper, pressuriser=replace(gas, charge=charge)) if gas else damper


@dataclass(frozen=True, eq=False)
class MidValveTest:
    """Compression of one leg over MID_SPEEDS: who carries the force, and how far the oil is from tearing."""

    whole: Tabulated  # N over m/s
    mid: Tabulated  # N of it from the mid-valve
    above: np.ndarray  # Pa, absolute, over the piston
    held: np.ndarray  # whether the oil holds together there
    void: np.ndarray  # where it is torn
    reservoir: np.ndarray  # Pa, absolute
    margin: float  # Pa, the lowest to cavitation on a landing, from LANDING m/s on; 0 where the oil tears

    @property
    def share(self) -> Tabulated:
        """Mid-valve's share of the force [-], where the leg moves."""
        return Tabulated(MID_SPEEDS[1:], self.mid.y[1:] / self.whole.y[1:])

    @property
    def tears_at(self) -> float | None:
        """Speed from which the oil is torn [m/s]; None where it holds."""
        return None if self.held.all() else float(MID_SPEEDS[np.argmin(self.held)])

    @property
    def dip(self) -> tuple[float, float] | None:
        """Where slow motion takes the pressure lowest of all: speed [m/s], pressure [Pa]; None where a landing does.

        The spring of the float asks for its preload before the base valve's needle makes any pressure. That is
        about a bar, and grows no further: it says nothing of a landing.
        """
        least = int(np.argmin(self.above))
        return (float(MID_SPEEDS[least]), float(self.above[least])) if 0.0 < MID_SPEEDS[least] < LANDING else None

    @property
    def easy(self) -> bool:
        """Whether there are more than two bar to spare (guess of the course)."""
        return self.margin > 2e5


def mid_valve_test(damper: Damper) -> MidValveTest:
    """A cartridge on compression, from rest to 6 m/s.

    >>> built, stiff = (mid_valve_test(mid_damper("open cartridge", gap, shims, 12, 10, 0.0))
    ...                 for gap, shims in ((0.35e-3, 11), (0.05e-3, 16)))
    >>> built.tears_at, round(stiff.tears_at, 2)  # nowhere; and where a mid-valve takes more than the base valve gives
    (None, 3.9)
    """
    leg = leg_forces(MIDDLE, MID_SPEEDS, damper)
    mid = (leg.compression_chamber - leg.rebound_chamber) * ring_area(damper)
    reservoir = leg.reservoir + np.zeros_like(leg.damping_force)
    margin = np.min(leg.margin, where=leg.cavitating | (MID_SPEEDS >= LANDING), initial=np.inf)
    return MidValveTest(Tabulated(MID_SPEEDS, leg.damping_force), Tabulated(MID_SPEEDS, mid), leg.rebound_chamber,
                        ~leg.cavitating, leg.cavitating, reservoir, float(margin))


@remembered(size=512)
def damping_of_way(kind: str, way: str, hole: float, clicks: int) -> Tabulated:
    """Damping force [N], without gas, over speed [m/s]: one leg with a damper of a kind.

    Parameters: kind, of the school's stock; way, "compression" or "rebound"; hole, diameter of a damping rod's [m];
    clicks out of a cartridge's low-speed clicker.

    >>> rod = damping_of_way("damping rod", "compression", 2.4e-3, 12)
    >>> round(rod.at(2.0) / rod.at(1.0), 1)  # the square law of plain holes, but for the leak past the ring
    3.8
    """
    damper = set_damper(kind, **{"rebound" if way == "rebound" else "compression_low": clicks})
    holes = {name: replace(getattr(damper, name), diameter=hole)
             for name in ("compression_holes", "rebound_holes") if hasattr(damper, name)}
    sign = -1.0 if way == "rebound" else 1.0
    force = sign * leg_forces(MIDDLE, sign * WAY_SPEEDS, replace(damper, **holes)).damping_force
    return Tabulated(WAY_SPEEDS, force)


@remembered(size=1024)
def fork_damping(machine: str, low: int, high: int, rebound: int) -> Tabulated:
    """Damping force of both legs [N], without gas, over velocity [m/s], of a machine of the school at clicks out.

    >>> force = fork_damping("enduro", 12, 10, 12)
    >>> round(force.at(0.25)), round(force.at(-0.25))
    (178, -304)
    """
    set_to = clicked(school_machine(machine), compression_low=low, compression_high=high, rebound=rebound)
    return Tabulated(FORK_SPEEDS, damping_table(set_to, np.array([MIDDLE]), FORK_SPEEDS)[0])


def force_over_velocity(stroke: float, damper: Damper) -> Tabulated:
    """Force of one leg [N] with a damper, over velocities both ways [m/s], at a stroke [m]."""
    return Tabulated(POINT_SPEEDS, leg_forces(stroke, POINT_SPEEDS, damper).force)
