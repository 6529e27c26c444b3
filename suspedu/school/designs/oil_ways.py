"""Ways for oil, chosen so that cold and hot oil cost what was wanted."""

from __future__ import annotations

from suspedu.damper import Clearance, Hole, Valve, fluid_at, pressure_drop
from suspedu.parts.oil import Oil
from suspedu.school.designs.design import Design, Number, Reached, Values, near
from suspedu.units import to_si

PISTON, LENGTH, SHORT = 22e-3, 4e-3, 0.5e-3  # m: piston and gap, and the length of the hole
SHARE = 0.03  # of the drop, either way (guess of the course)


def _hole_and_gap(design: Values, given: Values) -> tuple[Reached, ...]:
    """Pressure drops of a hole beside a ring gap, in cold and in hot oil."""
    valve = Valve(Clearance(PISTON, design["gap"] / 1e3, LENGTH), holes=Hole(design["hole"] / 1e3, SHORT))
    oil = Oil(given["thick_at_40"] * 1e-6, given["thick_at_100"] * 1e-6)
    drops = {at: pressure_drop(given["through"] * 1e-6, valve, fluid_at(to_si(given[at], "degC"), oil)) / 1e5
             for at in ("cold", "hot")}
    return tuple(near(f"the drop at {given[at]:g} °C", drops[at], given[f"{at}_drop"], SHARE, "bar", 2)
                 for at in drops)


DESIGNS = {"hole-and-gap": Design((Number("hole", 0.5, 3.0, "mm"), Number("gap", 0.01, 0.09, "mm")), _hole_and_gap)}
