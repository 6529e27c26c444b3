"""Panel: free sag and rider sag as a pair, and the springs that are sold and suit a rider."""

from __future__ import annotations

from suspedu.machine import Machine, energy_per_kilogram
from suspedu.machine.statics import free_sag, rider_sag, sag_band
from suspedu.school import set_machine
from suspedu.school.sag import (
    COLLAR,
    SpringVerdict,
    sag_aims,
    sags_over_preload,
    sold_for,
    sold_springs,
    spring_verdict,
)
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import PRELOAD, RATE, RIDER
from suspedu.show.panels.words import millimetres, number, with_unit
from suspedu.show.view import Axes, Curve, Mark, View, band, box
from suspedu.units import from_si

VERDICTS = {
    "right": "Sags and energy to bottom are right: spring and preload suit this rider.",
    "more": "More preload, and the spring may stay: {range} of it put sags and energy to bottom right.",
    "less": "Less preload, and the spring may stay: {range} of it put sags and energy to bottom right.",
    "stiffer": "At no preload from {collar} are sags and energy to bottom all right: a stiffer spring.",
    "softer": "At no preload from {collar} are sags and energy to bottom all right: a softer spring.",
}


def view_sag(rider_mass, coil_rate, preload) -> View:
    """The pair of sags for a rider [kg], a rate [N/mm] and a preload [mm], and the rate that the pair asks for."""
    machine = set_machine(rider_mass=rider_mass, coil_rate=coil_rate, preload=preload)
    free, rider = float(free_sag(machine)), float(rider_sag(machine))
    items = (*_pair_items(machine, free, rider), *_rate_items(rider_mass, coil_rate))
    return View(items, _numbers(machine, free, rider), _sentence(machine, free, rider))


def _pair_items(machine: Machine, free, rider) -> tuple:
    """Both sags over preload, the two windows that are aimed at, and the present pair."""
    aims, preload = sag_aims(machine), from_si(machine.legs[0].spring.preload, "mm")
    slack = from_si(aims.slack, "mm")
    windows = {"rider": ("main", from_si(aims.rider, "mm")), "free": ("second", from_si(aims.free, "mm"))}
    curves = dict(zip(("free", "rider"), sags_over_preload(machine), strict=True))
    return (
        *(box(f"{who} aim", 0, aim - slack, 20, 2 * slack, role=role, tint=0.2, edge=0.0)
          for who, (role, aim) in windows.items()),
        *(Curve(f"{who} sag", from_si(curves[who].x, "mm"), from_si(curves[who].y, "mm"), 0, role, f"{who} sag")
          for who, (role, _) in windows.items()),
        *(Mark(who, preload, from_si(sag, "mm"), millimetres(sag), 0, windows[who][0])
          for who, sag in (("rider", rider), ("free", free))),
    )  # fmt: skip


def _rate_items(rider_mass, coil_rate) -> tuple:
    """The rates that are sold and suit each rider, the middle of them, and where this rider and spring stand."""
    rates = {name: from_si(table.y, "N/mm") for name, table in sold_springs().items()}
    masses = sold_springs()["rate"].x
    return (
        band("within the bands", masses, rates["softest"], rates["stiffest"], axes=1, role="third", tint=0.15),
        Curve("middle", masses, rates["rate"], 1, "third", "middle of the band"),
        Mark("rider and spring", rider_mass, coil_rate, f"{coil_rate:.2f} N/mm", 1, "main"),
    )


def _numbers(machine: Machine, free, rider) -> tuple:
    (low, high), sold = sag_band(machine), sold_for(float(machine.rider.mass))
    return (
        ("Free sag", millimetres(free, 1)),
        ("Rider sag", millimetres(rider, 1)),
        ("Where friction may leave the rider sag", f"{number(low, 'mm')} to {millimetres(high)}"),
        ("Energy to bottom, for each kilogram", with_unit(energy_per_kilogram(machine), "J/kg", 2)),
        ("Springs sold that suit this rider",
         f"{number(sold.softest, 'N/mm', 1)} to {with_unit(sold.stiffest, 'N/mm', 1)}"),
        ("Their middle, and its preload", f"{with_unit(sold.rate, 'N/mm', 1)}, {millimetres(sold.preload)}"),
    )


def _sentence(machine: Machine, free, rider) -> str:
    aims, spring, sold = sag_aims(machine), machine.legs[0].spring, sold_for(float(machine.rider.mass))
    return (
        f"A rider of {machine.rider.mass:.0f} kg on {from_si(spring.rate, 'N/mm'):g} N/mm with "
        f"{from_si(spring.preload, 'mm'):g} mm of preload has a rider sag of {millimetres(rider)} "
        f"and free sag {millimetres(free)}, where the school aims at {millimetres(aims.rider, 1)} and "
        f"{millimetres(aims.free, 1)}, give or take {millimetres(aims.slack, 1)}. "
        + _told(spring_verdict(machine, (free, rider)))
        + f" Springs sold that suit this rider run from {number(sold.softest, 'N/mm', 1)} N/mm (the next softer one "
        f"{sold.softer_fails}) to {number(sold.stiffest, 'N/mm', 1)} N/mm (the next stiffer one {sold.stiffer_fails})."
    )


def _told(found: SpringVerdict) -> str:
    low, high = (number(preload, "mm") for preload in found.preloads or (0.0, 0.0))
    suits = millimetres(found.preloads[0]) if found.preloads and low == high else f"{low} to {high} mm"
    return VERDICTS[found.word].format(range=suits, collar=f"{number(COLLAR[0], 'mm')} to {millimetres(COLLAR[1])}")


SAG = Declared(
    id="sag", title="Sag and the right spring", controls=(RIDER, RATE, PRELOAD), view=view_sag,
    axes=(Axes("preload of each leg [mm]", "sag [mm]", (0, 20), (0, 105), "Both sags of this spring", share=1.15),
          Axes("rider in gear [kg]", "rate of each leg [N/mm]", (52, 135), (2.0, 5.6), "Which spring for whom")))
