"""Panel: what rate and preload do to the force along the stroke, and so to the sag."""

from __future__ import annotations

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.forces import force_split, rate_split
from suspedu.machine.statics import fork_load, free_sag, front_load, hanging_stroke, rider_sag, sag_per_preload
from suspedu.show.panel import Panel
from suspedu.show.panels.setting import PRELOAD, RATE, RIDER, millimetres, set_machine
from suspedu.show.view import Axes, Curve, Mark, View

CONTROLS_COIL_SPRING = (RATE, PRELOAD, RIDER)
# Both legs together; 120 mm holds the sag of the heaviest rider on the softest spring.
REACH = 120.0  # mm
AXES_COIL_SPRING = (
    Axes("sag: stroke from the hanging wheel [mm]", "force of the fork [N]", (0, REACH), (0, 1400), "Force", share=1.5),
    Axes("sag [mm]", "slope of the force [N/mm]", (0, REACH), (0, 14), "Slope"),
)


def view_coil_spring(coil_rate, preload, rider_mass) -> View:
    """Force and its slope near the sag, for a rate [N/mm] and preload [mm] of each leg and a rider [kg]."""
    machine = set_machine(coil_rate=coil_rate, preload=preload, rider_mass=rider_mass)
    sags = {"free": free_sag(machine), "rider": rider_sag(machine)}
    loads = {who: fork_load(machine, front_load(machine, who == "rider")) for who in sags}
    items = (*_curves(machine), *_load_lines(sags, loads), *_marks(sags, loads))
    return View(items, _numbers(machine, sags), _sentence(machine, sags))


def _curves(machine: Machine) -> tuple[Curve, ...]:
    """Force and slope of the coils alone, and with all that helps them; the sag counts from the hanging wheel."""
    sag = np.linspace(0.0, REACH / 1e3, 121)
    stroke = sag + hanging_stroke(machine)
    force, rate = force_split(machine, stroke), rate_split(machine, stroke)
    return (
        Curve("coils", sag * 1e3, force.coil, 0, "second", "coils alone"),
        Curve("fork", sag * 1e3, force.total, 0, "main", "coils, air, gas, top-out"),
        Curve("coil slope", sag * 1e3, rate.coil / 1e3, 1, "second", "coils"),
        # without the top-out spring, whose first 5 mm would need an axis ten times as high
        Curve("fork slope", sag * 1e3, (rate.coil + rate.air) / 1e3, 1, "main", "with air"),
    )


def _load_lines(sags, loads) -> tuple[Curve, ...]:
    """From the load on the left across to the curve, and down to the sag."""
    across, down = np.array([0.0, 1e3, 1e3]), np.array([1.0, 1.0, 0.0])
    return tuple(Curve(f"{who} load", across * sags[who], down * loads[who], 0, "limit") for who in sags)


def _marks(sags, loads) -> tuple[Mark, ...]:
    words = {"free": "alone", "rider": "rider"}
    return tuple(
        Mark(who, sags[who] * 1e3, loads[who], f"{words[who]}: {millimetres(sags[who])}", 0, "ink") for who in sags
    )


def _numbers(machine: Machine, sags) -> tuple:
    split, rate = force_split(machine, 0.0), rate_split(machine, 0.0)
    return (
        ("Free sag", millimetres(sags["free"], 1)),
        ("Rider sag", millimetres(sags["rider"], 1)),
        ("Force of the coils before the stroke begins", f"{float(split.coil):.0f} N"),
        ("Slope of the coils, both legs", f"{float(rate.coil) / 1e3:.2f} N/mm"),
        ("Sag that one more millimetre of preload takes away", f"{-float(sag_per_preload(machine)):.2f} mm"),
    )


def _sentence(machine: Machine, sags) -> str:
    slope = float(rate_split(machine, 0.0).coil) / 1e3
    preload = machine.legs[0].spring.preload
    return (
        f"A rider of {machine.rider.mass:.0f} kg settles {millimetres(sags['rider'])} into the stroke, the machine "
        f"alone {millimetres(sags['free'])}. Every further millimetre costs {slope:.1f} N in the two coils, with "
        f"{preload * 1e3:g} mm of preload or with any other: preload lifts the line, the rate tilts it."
    )


def coil_spring(**start) -> Panel:
    """The panel of spring rate and preload on the school's enduro machine; start values by name."""
    return Panel(view_coil_spring, CONTROLS_COIL_SPRING, AXES_COIL_SPRING, title="Spring rate and preload", start=start)
