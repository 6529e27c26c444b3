"""Panel on restrictions: which part of a pressure drop is wall and which is jet."""

from __future__ import annotations

from suspedu.school.openings import Restriction, restriction
from suspedu.show.declared import Declared
from suspedu.show.panels.oil.viscosity import INDEX, VISCOSITY, oil_of
from suspedu.show.panels.setting import slider
from suspedu.show.panels.words import percent
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import from_si, to_si

WAYS = {"thin-hole": "hole of 2 mm in a thin wall", "long-hole": "hole of 2 mm, 8 mm long",
        "needle": "needle, 3 clicks out", "ring-gap": "ring gap of 0.02 mm"}  # fmt: skip
COUNTS = 1.25  # times that the flow grows from cold to hot (guess of the course)
TEMPERATURE = slider("oil_temperature", name="temperature", start=40)
LOOKS = {"jet": ("jet alone", "third", "jet alone"), "walls": ("walls alone", "second", "walls alone"),
         "real": ("flow", "main", "both")}  # fmt: skip


def view_restriction(way, pressure, temperature, viscosity_40) -> View:
    """Flow of a way for the oil over pressure [bar], and how walls and jet share the pressure, at one temperature."""
    oil = oil_of(viscosity_40, INDEX.start)
    found = restriction(way, to_si(pressure, "bar"), to_si(temperature, "degC"), oil)
    degrees, spent, now = from_si(found.shares.x, "degC"), 100.0 * found.shares.y, percent(found.share)
    flow = from_si(found.flow, "cm**3/s")
    items = (
        *(Curve(name, from_si(found.flows[key].x, "bar"), from_si(found.flows[key].y, "cm**3/s"), 0, role, label)
          for key, (name, role, label) in LOOKS.items()),
        Mark("here", pressure, flow, f"{flow:.3g} cm³/s"),
        Curve("wall share", degrees, spent, 1, "second", "walls"),
        Curve("jet share", degrees, 100.0 - spent, 1, "third", "jet"),
        Mark("share here", temperature, 100.0 * found.share, f"{now} %", 1, "second"),
    )  # fmt: skip
    return View(items, _numbers(flow, found), _sentence(way, pressure, found), _axes(way))


def _axes(way: str) -> tuple[Axes, Axes]:
    """The axes for a way: a hole passes far more than a gap, and its walls alone would pass more still."""
    low, high = (-1, 5) if way.endswith("hole") else (-4, 3)
    flows = tuple((10.0**power, f"{10.0**power:g}") for power in range(low, high + 1))
    return (Axes("pressure drop [bar]", "flow [cm³/s]", (0.01, 100), (10.0**low, 10.0**high), "Flow through it",
                 xscale="log", yscale="log", yticks=flows, share=1.2,
                 xticks=((0.01, "0.01"), (0.1, "0.1"), (1, "1"), (10, "10"), (100, "100"))),
            Axes("oil temperature [°C]", "share of the pressure [%]", (0, 80), (-4, 104),
                 "What the pressure is spent on"))


def _numbers(flow, found: Restriction) -> tuple:
    return (
        ("Flow", f"{flow:.3g} cm³/s"),
        ("Pressure spent on the walls", f"{percent(found.share)} %"),
        ("Pressure spent on the jet", f"{percent(1.0 - found.share)} %"),
        ("Reynolds number", f"{found.reynolds:.0f}" if found.reynolds >= 10 else f"{found.reynolds:.2f}"),
        ("Pressure grows with flow to the power", f"{found.power:.2f}"),
    )


def _sentence(way, pressure, found: Restriction) -> str:
    kind, share = ("walls", found.share) if found.of_walls else ("jet", 1.0 - found.share)
    counts = "thickness of the oil counts" if found.warmed >= COUNTS else "size counts, and thickness of the oil little"
    return (
        f"In the {WAYS[way]}, {percent(share)} % of the {pressure:g} bar goes into the {kind} at this temperature. "
        f"From a morning of 5 °C to a hot ride of 70 °C its flow grows {found.warmed:.2f} times, so {counts}: that is "
        "how much the rider's adjustment wanders by itself."
    )


RESTRICTION = Declared(
    id="restriction", title="Walls and jet", view=view_restriction,
    controls=(Choice("way", "Way for the oil", WAYS, "thin-hole"),
              Control("pressure", "Pressure drop", "bar", 0.1, 20, 0.1, 5), TEMPERATURE, VISCOSITY),
    axes=_axes("thin-hole"))
