"""Ways for the oil: how walls and jet share a pressure drop, and what a click of a needle opens."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.damper import stock_damper
from suspedu.damper.fluid import Fluid, fluid_at
from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.damper.valves import path_flow
from suspedu.numerics import remembered
from suspedu.parts.oil import Oil, density, dynamic_viscosity
from suspedu.parts.restrictions import orifice_flow, reynolds_number
from suspedu.school.oils import COLD, HOT, oil_of_index
from suspedu.school.tables import Tabulated

SCHOOL_OIL = (16e-6, 150.0)  # m2/s at 40 degC; viscosity index
WAYS = {
    "thin-hole": Hole(2e-3, 0.3e-3),
    "long-hole": Hole(2e-3, 8e-3),
    "needle": Needle(2.2e-3, np.radians(30.0), 0.04e-3, 0.3e-3, clicks=3),
    "ring-gap": Clearance(22e-3, 0.02e-3, 4e-3),
}
PRESSURES = np.geomspace(1e3, 1e7, 121)
TEMPERATURES = np.linspace(273.15, 353.15, 81)
NEEDLE = stock_damper("closed cartridge").base.needle  # the low-speed needle of the school's base valve
SEAT, LAST, PRESSURE = NEEDLE.seat_diameter, NEEDLE.last_click, 5e5  # m, clicks, Pa: it stands on the bench
CLICKS = np.arange(LAST + 1)


@dataclass(frozen=True, eq=False)
class Restriction:
    """One way for the oil, at one pressure drop and temperature, and beside it at all others."""

    flow: float  # m3/s
    reynolds: float  # -
    share: float  # of the pressure spent along the walls, -
    warmed: float  # flow of a hot ride over flow of a cold morning, -
    flows: dict[str, Tabulated]  # m3/s over Pa: "real", "jet" (alone), "walls" (alone)
    shares: Tabulated  # of the walls [-] over temperature [K]

    @property
    def of_walls(self) -> bool:
        """Whether the walls take more of the pressure than the jet."""
        return self.share > 0.5

    @property
    def power(self) -> float:
        """Pressure grows with flow to this power [-]: 1 for walls alone, 2 for a jet alone."""
        return 2.0 - self.share


def restriction(way: str, pressure, temperature, oil: Oil) -> Restriction:
    """What a pressure drop [Pa] does in one of `WAYS`, in an oil at a temperature [K].

    >>> round(restriction("ring-gap", 5e5, 313.15, oil_of_index(*SCHOOL_OIL)).share, 3)
    1.0
    """
    path, fluid = WAYS[way], fluid_at(temperature, oil)
    flow = float(path_flow(pressure, path, fluid))
    shares = Tabulated(TEMPERATURES, wall_share(path, _at_all_temperatures(oil), pressure))
    return Restriction(flow, float(reynolds_number(flow, path.perimeter, fluid.viscosity / fluid.density)),
                       shares.at(temperature), _warmed(path, oil, pressure), _flows(path, fluid), shares)


def _at_all_temperatures(oil: Oil) -> Fluid:
    return Fluid(density(TEMPERATURES, oil), dynamic_viscosity(TEMPERATURES, oil))


def _flows(path, fluid: Fluid) -> dict[str, Tabulated]:
    jet = orifice_flow(PRESSURES, path.area(PRESSURES), fluid.density, discharge=path.discharge)
    return {"real": Tabulated(PRESSURES, path_flow(PRESSURES, path, fluid)), "jet": Tabulated(PRESSURES, jet),
            "walls": Tabulated(PRESSURES, PRESSURES / (path.resistance * fluid.viscosity))}


def wall_share(path: Hole | Clearance | Needle, fluid: Fluid, drop):
    """Share [-] of a pressure drop [Pa] that goes into friction along the walls of a path."""
    return path.resistance * fluid.viscosity * path_flow(drop, path, fluid) / drop


def _warmed(path, oil: Oil, drop) -> float:
    return float(np.divide(*(path_flow(drop, path, fluid_at(kelvin, oil)) for kelvin in (HOT, COLD))))


@dataclass(frozen=True, eq=False)
class NeedleTest:
    """A needle on the bench at every click out, at 5 bar: arrays [LAST + 1]."""

    flow: np.ndarray  # m3/s
    jet: np.ndarray  # m3/s if the walls took nothing
    area: np.ndarray  # m2

    @property
    def gain(self) -> np.ndarray:
        """What one more click adds to the flow [-], from the first click out on; the last has no next."""
        return self.flow[2:] / self.flow[1:-1] - 1.0


@remembered
def needle_test(pitch: float, cone_angle: float, temperature: float) -> NeedleTest:
    """The needle with a pitch [m of lift a click] and a cone_angle [rad], in the school's oil at a temperature [K].

    >>> round(float(needle_test(NEEDLE.pitch, NEEDLE.cone_angle, 313.15).gain[0]), 1)
    6.5
    """
    fluid = fluid_at(temperature, oil_of_index(*SCHOOL_OIL))
    needles = [replace(NEEDLE, pitch=pitch, cone_angle=cone_angle, clicks=int(click)) for click in CLICKS]
    areas = np.array([needle.area(PRESSURE) for needle in needles])
    walls = np.array([needle.resistance for needle in needles])
    style = {"discharge": needles[0].discharge}
    flow = orifice_flow(PRESSURE, areas, fluid.density, viscosity=fluid.viscosity, resistance=walls, **style)
    return NeedleTest(flow, orifice_flow(PRESSURE, areas, fluid.density, **style), areas)
