"""Panel: free sag and rider sag as a pair, and the spring that suits a rider."""

from __future__ import annotations

from functools import cache

import numpy as np

from suspedu.machine import Machine, adjusted
from suspedu.machine.statics import free_sag, rider_sag, sag_band, spring_for_rider
from suspedu.show.panel import Panel
from suspedu.show.panels.setting import AIM_SLACK, FREE_AIM, PRELOAD, RATE, RIDER, RIDER_AIM, millimetres, set_machine
from suspedu.show.view import Axes, Curve, Mark, View, band, box

CONTROLS_SAG = (RIDER, RATE, PRELOAD)
AXES_SAG = (
    Axes("preload of each leg [mm]", "sag [mm]", (0, 20), (0, 105), "Both sags of this spring", share=1.15),
    Axes("rider in gear [kg]", "rate of each leg [N/mm]", (55, 115), (2.5, 6.0), "Which spring for whom"),
)
PRELOADS = np.linspace(0.0, 20.0, 21)  # mm, the range of the slider
MASSES = np.linspace(55.0, 115.0, 13)  # kg


def view_sag(rider_mass, coil_rate, preload) -> View:
    """The pair of sags for a rider [kg], a rate [N/mm] and a preload [mm], and the rate that the pair asks for."""
    machine = set_machine(rider_mass=rider_mass, coil_rate=coil_rate, preload=preload)
    free, rider = float(free_sag(machine)), float(rider_sag(machine))
    needed = float(np.interp(rider_mass, MASSES, _needed_rates(0.0)))
    items = (*_pair_items(machine, free, rider), *_rate_items(rider_mass, coil_rate))
    return View(items, _numbers(machine, free, rider, needed), _sentence(machine, free, rider))


def _aims(machine: Machine):
    """Rider sag and free sag that the school aims at, and how far off is still right [m]."""
    return RIDER_AIM * machine.travel, FREE_AIM * machine.travel, AIM_SLACK * machine.travel


def _pair_items(machine: Machine, free, rider) -> tuple:
    """Both sags over preload, the two windows that are aimed at, and the present pair."""
    rider_aim, free_aim, slack = (1e3 * length for length in _aims(machine))
    preload, any_preload = machine.legs[0].spring.preload * 1e3, adjusted(machine, preload=PRELOADS / 1e3)
    return (
        box("rider aim", 0, rider_aim - slack, 20, 2 * slack, role="main", tint=0.2, edge=0.0),
        box("free aim", 0, free_aim - slack, 20, 2 * slack, role="second", tint=0.2, edge=0.0),
        Curve("rider sag", PRELOADS, rider_sag(any_preload) * 1e3, 0, "main", "rider sag"),
        Curve("free sag", PRELOADS, free_sag(any_preload) * 1e3, 0, "second", "free sag"),
        Mark("rider", preload, rider * 1e3, millimetres(rider), 0, "main"),
        Mark("free", preload, free * 1e3, millimetres(free), 0, "second"),
    )


@cache
def _needed_rates(widening: float) -> np.ndarray:
    """Rates [N/mm] over `MASSES` that give the sags aimed at, the pair drawn `widening` apart [m]."""
    machine = set_machine()
    rider_aim, free_aim, _ = _aims(machine)
    return spring_for_rider(machine, MASSES, rider_aim + widening / 2, free_aim - widening / 2)[0] / 1e3


def _rate_items(rider_mass, coil_rate) -> tuple:
    """The rate that each rider needs, how sharply the window says so, and where this rider and spring stand."""
    slack = _aims(set_machine())[2]
    softest, stiffest = _needed_rates(2 * slack), _needed_rates(-2 * slack)
    return (
        band("within the aim", MASSES, softest, stiffest, axes=1, role="third", tint=0.15),
        Curve("needed", MASSES, _needed_rates(0.0), 1, "third", "both sags as aimed"),
        Mark("rider and spring", rider_mass, coil_rate, f"{coil_rate:.2f} N/mm", 1, "main"),
    )


def _numbers(machine: Machine, free, rider, needed) -> tuple:
    low, high = sag_band(machine)
    return (
        ("Free sag", millimetres(free, 1)),
        ("Rider sag", millimetres(rider, 1)),
        ("Where friction may leave the rider sag", f"{low * 1e3:.0f} to {high * 1e3:.0f} mm"),
        ("Rate that gives this rider both sags", f"{needed:.2f} N/mm"),
    )


def _sentence(machine: Machine, free, rider) -> str:
    rider_aim, free_aim, slack = _aims(machine)
    off = _verdict(free - free_aim, rider - rider_aim, slack)
    return (
        f"A rider of {machine.rider.mass:.0f} kg on {machine.legs[0].spring.rate / 1e3:g} N/mm with "
        f"{machine.legs[0].spring.preload * 1e3:g} mm of preload has a rider sag of {millimetres(rider)} "
        f"and free sag {millimetres(free)}, where the school aims at {millimetres(rider_aim)} and "
        f"{millimetres(free_aim)}, give or take {millimetres(slack)}. {off}"
    )


def _verdict(free_error, rider_error, slack) -> str:
    """What a practitioner reads from the pair: preload moves both sags alike, so their difference judges the rate."""
    spread = rider_error - free_error
    if abs(free_error) <= slack and abs(rider_error) <= slack:
        return "Both are right: spring and preload suit this rider."
    if abs(spread) > slack:
        reading = "apart: this rider needs a stiffer" if spread > 0 else "together: this rider needs a softer"
        return f"The two lie too {'far ' if spread > 0 else 'close '}{reading} spring, whatever the preload."
    deep = free_error + rider_error > 0
    return f"Together they are too {'deep: more' if deep else 'small: less'} preload, and the spring may stay."


def sag(**start) -> Panel:
    """The panel of rider sag and free sag on the school's enduro machine; start values by name."""
    return Panel(view_sag, CONTROLS_SAG, AXES_SAG, title="Sag and the right spring", start=start)
