"""Panel: what rate and preload do to the force along the stroke, and so to the sag."""

from __future__ import annotations

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.forces import force_split, rate_split
from suspedu.machine.statics import fork_load, free_sag, front_load, hanging_stroke, rider_sag, sag_per_preload
from suspedu.school import set_machine
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import PRELOAD, RATE, RIDER
from suspedu.show.panels.words import millimetres, newtons, number, with_unit
from suspedu.show.view import Axes, Curve, Mark, View
from suspedu.units import from_si, to_si

# Both legs together; 120 mm holds the sag of the heaviest rider on the softest spring.
REACH = 120.0  # mm
WHO = {"free": "alone", "rider": "rider"}


def view_coil_spring(coil_rate, preload, rider_mass) -> View:
    """Force and its slope near the sag, for a rate [N/mm] and preload [mm] of each leg and a rider [kg]."""
    machine = set_machine(coil_rate=coil_rate, preload=preload, rider_mass=rider_mass)
    sags = {"free": float(free_sag(machine)), "rider": float(rider_sag(machine))}
    loads = {who: float(fork_load(machine, front_load(machine, who == "rider"))) for who in sags}
    items = (*_curves(machine), *_load_lines(sags, loads), *_marks(sags, loads))
    return View(items, _numbers(machine, sags), _sentence(machine, sags))


def _curves(machine: Machine) -> tuple[Curve, ...]:
    """Force and slope of the coils alone, and with all that helps them; the sag counts from the hanging wheel."""
    sag = np.linspace(0.0, REACH, 121)
    stroke = to_si(sag, "mm") + hanging_stroke(machine)
    force, rate = force_split(machine, stroke), rate_split(machine, stroke)
    return (
        Curve("coils", sag, force.coil, 0, "second", "coils alone"),
        Curve("fork", sag, force.total, 0, "main", "coils, air, gas, top-out"),
        Curve("coil slope", sag, from_si(rate.coil, "N/mm"), 1, "second", "coils"),
        # without the top-out spring, whose first 5 mm would need an axis ten times as high
        Curve("fork slope", sag, from_si(rate.coil + rate.air, "N/mm"), 1, "main", "with air"),
    )


def _load_lines(sags, loads) -> tuple[Curve, ...]:
    """From the load on the left across to the curve, and down to the sag."""
    across, down = np.array([0.0, 1.0, 1.0]), np.array([1.0, 1.0, 0.0])
    return tuple(Curve(f"{who} load", across * from_si(sags[who], "mm"), down * loads[who], 0, "limit") for who in sags)


def _marks(sags, loads) -> tuple[Mark, ...]:
    return tuple(Mark(who, from_si(sags[who], "mm"), loads[who], f"{WHO[who]}: {millimetres(sags[who])}", 0, "ink")
                 for who in sags)


def _numbers(machine: Machine, sags) -> tuple:
    return (
        ("Free sag", millimetres(sags["free"], 1)),
        ("Rider sag", millimetres(sags["rider"], 1)),
        ("Force of the coils before the stroke begins", newtons(force_split(machine, 0.0).coil)),
        ("Slope of the coils, both legs", with_unit(rate_split(machine, 0.0).coil, "N/mm", 2)),
        ("Sag that one more millimetre of preload takes away", f"{-float(sag_per_preload(machine)):.2f} mm"),
    )


def _sentence(machine: Machine, sags) -> str:
    slope, preload = rate_split(machine, 0.0).coil, machine.legs[0].spring.preload
    return (
        f"A rider of {machine.rider.mass:.0f} kg settles {millimetres(sags['rider'])} into the stroke, the machine "
        f"alone {millimetres(sags['free'])}. Every further millimetre costs {number(slope, 'N/mm', 1)} N in the two "
        f"coils, with {from_si(preload, 'mm'):g} mm of preload or with any other: preload lifts the line, the rate "
        "tilts it."
    )


COIL_SPRING = Declared(
    id="coil-spring", title="Spring rate and preload", controls=(RATE, PRELOAD, RIDER), view=view_coil_spring,
    axes=(Axes("sag: stroke from the hanging wheel [mm]", "force of the fork [N]", (0, REACH), (0, 1400), "Force",
               share=1.5),
          Axes("sag [mm]", "slope of the force [N/mm]", (0, REACH), (0, 14), "Slope")))  # fmt: skip
