"""What makes a damper to the oil: a piston, what displaces oil out to a reservoir, four valves, and the ways between.

To the oil all architectures are one circuit. An architecture is a part that derives from `Circuit` and is
`one_kind_of(Damper)`: one file of this room with its line in the room's face, and one in `data/dampers`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from suspedu.damper.end_stop import EndStop
from suspedu.damper.ports import Path
from suspedu.damper.valves import Valve
from suspedu.units import ROOM_TEMPERATURE, STANDARD_ATMOSPHERE

VALVES = ("base", "mid", "rebound", "refill")


class Reservoir(Protocol):
    """Where the displaced oil goes: how hard it is pressed there, and whether that is a spring on the rod."""

    def pressure(self, stroke, displaced_area, temperature, air_pressure):
        """Absolute pressure [Pa] at a stroke [m, any shape].

        Parameters: displaced_area [m2]; temperature [K]; air_pressure, absolute, of the fork's air [Pa].
        """

    def outside_pressure(self, pressure_abs):
        """Absolute pressure [Pa] on the outer end of what displaces the oil, at a reservoir's pressure_abs [Pa]."""

    def sealed_area(self, displaced_area):
        """Part of a displaced_area [m2] on which the fork's air does not press [m2]."""

    def rate(self, stroke, displaced_area, temperature):
        """Slope [N/m] of the reservoir's push at a stroke [m], for a displaced_area [m2] and a temperature [K]."""

    def energy(self, stroke, displaced_area, temperature):
        """Energy [J] of its push since full extension at a stroke [m], displaced_area [m2], temperature [K]."""


@dataclass(frozen=True)
class Passage:
    """From where to where a valve carries oil, as `LegForce` names its pressures, and what the valve sits in."""

    source: str
    target: str
    body: str


WAYS = {
    "base": Passage("compression_chamber", "reservoir", "base valve"),
    "mid": Passage("compression_chamber", "rebound_chamber", "piston"),
    "rebound": Passage("rebound_chamber", "compression_chamber", "piston"),
    "refill": Passage("reservoir", "compression_chamber", "base valve"),
    "stop": Passage("cup", "compression_chamber", "end stop"),
    "stop refill": Passage("compression_chamber", "cup", "end stop"),
}


@dataclass(frozen=True)
class Channel:
    """One channel of a damper, as a picture of it cut open needs it.

    `valve` and `path` are the keys under which `explained(...).valves[valve].paths[path]` tells its flow and lift;
    `source` and `target` name the chambers as `LegForce` does ("compression_chamber", "rebound_chamber",
    "reservoir", "cup"), so `getattr(leg, channel.source)` is the pressure it comes from; `body` is what it is
    drilled through: "base valve", "piston" or "end stop". `opening` is the part: a clearance, holes, a needle or a
    shim port, and `kind` says which: "leak", "holes", "needle" or "port".
    """

    valve: str
    path: str
    kind: str
    source: str
    target: str
    body: str
    opening: Path


class Damper(Protocol):
    """What every damper has, so that all laws of this room know what to do with it."""

    @property
    def piston_area(self) -> float:
        """Area that compresses the lower chamber [m2]."""

    @property
    def displaced_area(self) -> float:
        """Oil displaced to the reservoir per stroke [m2]: the rod's area, or the tube wall's."""

    @property
    def reservoir(self) -> Reservoir:
        """Where the displaced oil goes."""

    @property
    def compression_column(self) -> float:
        """Length of the oil column that compression squeezes [m], fork extended."""

    @property
    def rebound_column(self) -> float:
        """Length of the oil column that rebound squeezes [m], fork extended."""

    @property
    def air_fraction(self) -> float:
        """Share of air in the oil [-]."""

    @property
    def base(self) -> Valve:
        """Where displaced oil leaves on compression."""

    @property
    def mid(self) -> Valve:
        """What passes the piston on compression."""

    @property
    def rebound(self) -> Valve:
        """What passes the piston on rebound."""

    @property
    def refill(self) -> Valve:
        """Where oil comes back on rebound."""

    @property
    def end_stop(self) -> EndStop | None:
        """The hydraulic stop at the end of the stroke, if there is one."""

    @property
    def ring_area(self) -> float:
        """Area of the rebound side [m2]: see `Circuit`."""

    @property
    def valves(self) -> dict[str, Valve]:
        """Every valve by its key in `WAYS`: see `Circuit`."""

    @property
    def channels(self) -> tuple[Channel, ...]:
        """Every channel that the oil can take: see `Circuit`."""


class Circuit:
    """What follows for any `Damper` from its areas and valves; an architecture derives from it.

    >>> from suspedu.damper import stock_damper
    >>> [(channel.path, channel.target) for channel in stock_damper("damping rod").channels if channel.kind == "holes"]
    [('holes', 'reservoir'), ('holes', 'compression_chamber'), ('holes', 'compression_chamber')]
    """

    @property
    def ring_area(self: Damper) -> float:
        """Area of the rebound side [m2]: the piston's less what is displaced."""
        return self.piston_area - self.displaced_area

    @property
    def valves(self: Damper) -> dict[str, Valve]:
        """Every valve by its key in `WAYS`, the end stop's two among them where it has one."""
        stop = {} if self.end_stop is None else {"stop": self.end_stop.valve, "stop refill": self.end_stop.way_back}
        return {key: getattr(self, key) for key in VALVES} | stop

    @property
    def channels(self: Damper) -> tuple[Channel, ...]:
        """Every channel that the oil can take, valve by valve: what a picture of the damper cut open has to show."""
        return tuple(Channel(key, name, path.kind, WAYS[key].source, WAYS[key].target, WAYS[key].body, path)
                     for key, valve in self.valves.items() for name, path in valve.paths)


def reservoir_pressure(stroke, damper: Damper, temperature=ROOM_TEMPERATURE, air_pressure=STANDARD_ATMOSPHERE):
    """Absolute pressure of the reservoir: that of its own gas, squeezed by the rod, or of the fork's air.

    Parameters: stroke [any shape, m]; damper; temperature [K]; air_pressure, absolute, of the fork's air at this
    stroke [broadcasting, Pa], used by open dampers. Returns: pressure, absolute [Pa].
    Raises: InputError where the rod would leave the gas no room.

    >>> from suspedu.damper import stock_damper
    >>> (reservoir_pressure([0.0, 0.3], stock_damper("closed cartridge")) / 1e5).round(2).tolist()  # bar, absolute
    [2.81, 4.38]
    """
    return damper.reservoir.pressure(np.asarray(stroke, dtype=float), damper.displaced_area, temperature, air_pressure)
