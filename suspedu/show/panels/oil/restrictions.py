"""Panel on restrictions: which part of a pressure drop is wall and which is jet."""

from __future__ import annotations

import numpy as np

from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.damper.valves import Fluid, fluid_at, path_flow
from suspedu.parts.oil import density, dynamic_viscosity
from suspedu.parts.restrictions import orifice_flow, reynolds_number
from suspedu.show.panel import Panel
from suspedu.show.panels.oil.oil import INDEX, VISCOSITY, oil_of_index
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View

CONE = np.radians(30.0)
WAYS = {
    "hole of 2 mm in a thin wall": Hole(2e-3, 0.3e-3),
    "hole of 2 mm, 8 mm long": Hole(2e-3, 8e-3),
    "needle, 3 clicks out": Needle(2.2e-3, CONE, 0.04e-3, 0.3e-3, clicks=3),
    "ring gap of 0.02 mm": Clearance(22e-3, 0.02e-3, 4e-3),
}
TEMPERATURE = Control("temperature", "Oil temperature", "°C", 0, 80, 1, 40, "warmer = thinner")
CONTROLS_RESTRICTION = (
    Choice("way", "Way for the oil", tuple(WAYS), "hole of 2 mm in a thin wall"),
    Control("pressure", "Pressure drop", "bar", 0.1, 20, 0.1, 5),
    TEMPERATURE,
    VISCOSITY,
)
BARS = np.geomspace(0.01, 100.0, 121)
DEGREES = np.linspace(0.0, 80.0, 81)
AXES_RESTRICTION = (
    Axes("pressure drop [bar]", "flow [cm3/s]", (0.01, 100), (1e-4, 1e3), "Flow through it", xscale="log", yscale="log",
         xticks=((0.01, "0.01"), (0.1, "0.1"), (1, "1"), (10, "10"), (100, "100")),
         yticks=((1e-3, "0.001"), (1e-2, "0.01"), (0.1, "0.1"), (1, "1"), (10, "10"), (100, "100")), share=1.2),
    Axes("oil temperature [°C]", "share of the pressure [%]", (0, 80), (-4, 104), "What the pressure is spent on"),
)  # fmt: skip


def view_restriction(way, pressure, temperature, viscosity_40) -> View:
    """Flow of a way for the oil over pressure [bar], and how walls and jet share the pressure, at one temperature."""
    path, oil = WAYS[way], oil_of_index(viscosity_40, INDEX.start)
    fluid, drop = fluid_at(temperature + 273.15, oil), pressure * 1e5
    flow, jet, wall = (flow * 1e6 for flow in _flows(path, fluid, BARS * 1e5))
    here, spent = float(path_flow(drop, path, fluid)), wall_share(path, _warm(oil), drop)
    now = float(np.interp(temperature, DEGREES, spent))
    items = (
        Curve("jet alone", BARS, jet, 0, "third", "jet alone"),
        Curve("walls alone", BARS, wall, 0, "second", "walls alone"),
        Curve("flow", BARS, flow, 0, "main", "both"),
        Mark("here", pressure, here * 1e6, f"{here * 1e6:.3g} cm3/s"),
        Curve("wall share", DEGREES, spent, 1, "second", "walls"),
        Curve("jet share", DEGREES, 100.0 - spent, 1, "third", "jet"),
        Mark("share here", temperature, now, f"{now:.0f} %", 1, "second"),
    )
    reynolds = float(reynolds_number(here, path.perimeter, fluid.viscosity / fluid.density))
    sentence = _spent_sentence(way, pressure, now, _warmed(path, oil, drop))
    return View(items, _spent_numbers(here, now, reynolds), sentence)


def _warm(oil) -> Fluid:
    """The oil at all DEGREES at once."""
    kelvin = DEGREES + 273.15
    return Fluid(density(kelvin, oil), dynamic_viscosity(kelvin, oil))


def _flows(path, fluid, drop):
    """Flow as it is, with the jet alone, and with the walls alone [m3/s]."""
    jet = orifice_flow(drop, path.area(drop), fluid.density, discharge=path.discharge)
    return path_flow(drop, path, fluid), jet, drop / (path.resistance * fluid.viscosity)


def wall_share(path, fluid, drop):
    """Share of a pressure drop [Pa] that goes into friction along the walls [%]."""
    return 100.0 * path.resistance * fluid.viscosity * path_flow(drop, path, fluid) / drop


def _warmed(path, oil, drop) -> float:
    """Flow at 70 degC over flow at 5 degC."""
    return float(np.divide(*(path_flow(drop, path, fluid_at(degrees + 273.15, oil)) for degrees in (70.0, 5.0))))


def _spent_numbers(flow, share, reynolds) -> tuple:
    return (
        ("Flow", f"{flow * 1e6:.3g} cm3/s"),
        ("Pressure spent on the walls", f"{share:.0f} %"),
        ("Pressure spent on the jet", f"{100 - share:.0f} %"),
        ("Reynolds number", f"{reynolds:.0f}" if reynolds >= 10 else f"{reynolds:.2f}"),
        ("Pressure grows with flow to the power", f"{2 - share / 100:.2f}"),
    )


def _spent_sentence(way, pressure, share, warmed) -> str:
    kind = "walls" if share > 50.0 else "jet"
    meaning = "thickness of the oil counts" if share > 50.0 else "size counts, and thickness of the oil little"
    return (
        f"In the {way}, {max(share, 100 - share):.0f} % of the {pressure:g} bar goes into the {kind}, so {meaning}. "
        f"From a morning of 5 °C to a hot ride of 70 °C its flow grows {warmed:.2f} times: that is how much the "
        "rider's adjustment wanders by itself."
    )


def restriction(**start) -> Panel:
    """The panel of walls and jet in four ways through a damper; start values by name."""
    return Panel(view_restriction, CONTROLS_RESTRICTION, AXES_RESTRICTION, title="Walls and jet", start=start)
