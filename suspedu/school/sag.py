"""What the riding school aims at with the two sags, and what a pair of them tells about spring and preload."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import change
from suspedu.machine.spring_bands import (
    ENERGY_BAND,
    FREE_BAND,
    RIDER_BAND,
    SpringChoice,
    energy_per_kilogram,
    spring_for_rider,
)
from suspedu.machine.statics import free_sag, rider_sag
from suspedu.numerics import remembered
from suspedu.school.machines import MACHINES, school_machine
from suspedu.school.tables import Tabulated

# The middle of the bands of sag, and half their width, as shares of the travel (guess of the course): every rider can
# meet them with a spring that is sold and a preload that a collar has; a maker's manual may differ.
RIDER_AIM, FREE_AIM, AIM_SLACK = sum(RIDER_BAND) / 2, sum(FREE_BAND) / 2, (RIDER_BAND[1] - RIDER_BAND[0]) / 2


@dataclass(frozen=True)
class SagAims:
    """Rider sag and free sag that the school aims at, and how far off is still right [m]."""

    rider: float
    free: float
    slack: float


def sag_aims(machine: Machine) -> SagAims:
    """What the school aims at on a machine.

    >>> round(sag_aims(school_machine()).rider, 4)
    0.0675
    """
    return SagAims(RIDER_AIM * machine.travel, FREE_AIM * machine.travel, AIM_SLACK * machine.travel)


def sag_verdict(machine: Machine, free: float, rider: float) -> str:
    """What a practitioner reads from the pair: preload moves both sags alike, so their difference judges the rate.

    Parameters: machine; free, rider, the sags [m].
    Returns: "right", "stiffer" or "softer" springs wanted, "more" or "less" preload wanted.

    >>> sag_verdict(school_machine(), 0.026, 0.080)
    'stiffer'
    """
    aims = sag_aims(machine)
    high, deep = free - aims.free, rider - aims.rider
    if abs(high) <= aims.slack and abs(deep) <= aims.slack:
        return "right"
    if abs(deep - high) > aims.slack:
        return "stiffer" if deep > high else "softer"
    return "more" if deep + high > 0 else "less"


def spring_verdict(machine: Machine, free: float, rider: float) -> str:
    """What the pair of sags tells, and where it is right, what the energy to bottom for each kilogram tells.

    Parameters: machine; free, rider, the sags [m].
    Returns: as `sag_verdict`, or "weak" or "strong" for a spring that stores too little or too much for its rider.

    >>> heavy = change(school_machine(), "rider_mass", 115.0)
    >>> spring_verdict(heavy, float(free_sag(heavy)), float(rider_sag(heavy)))
    'weak'
    """
    verdict = sag_verdict(machine, free, rider)
    more = float(energy_per_kilogram(machine) / energy_per_kilogram(school_machine(_named(machine)))) - 1.0
    if verdict != "right" or abs(more) <= ENERGY_BAND:
        return verdict
    return "strong" if more > 0.0 else "weak"


def _named(machine: Machine) -> str:
    """Which machine of the school this one is, by its name; the first, where it is one's own."""
    return next((name for name in MACHINES if school_machine(name).name == machine.name), MACHINES[0])


@remembered
def sags_over_preload(machine: Machine, points: int = 21) -> tuple[Tabulated, Tabulated]:
    """Free sag and rider sag [m] over all preloads that a workshop sets [m].

    >>> free, rider = sags_over_preload(school_machine())
    >>> round(abs(rider.at(0.004) - float(rider_sag(school_machine()))), 9)
    0.0
    """
    row = ADJUSTERS["preload"]
    preloads = np.linspace(row.low, row.high, points)
    machine = change(machine, "preload", preloads)
    return Tabulated(preloads, free_sag(machine)), Tabulated(preloads, rider_sag(machine))


@remembered
def sold_for(rider_mass: float) -> SpringChoice:
    """Springs that are sold for a rider on the school's enduro, see `spring_for_rider`.

    Parameters: rider_mass in gear [kg].

    >>> sold_for(82.0).rate
    3500.0
    """
    return spring_for_rider(school_machine(), rider_mass)


@remembered
def sold_springs() -> dict[str, Tabulated]:
    """Rates [N/m] of each leg that are sold and suit, over riders' masses [kg]: "softest", "rate" (middle), "stiffest".

    >>> round(sold_springs()["rate"].at(82.0), -2)
    3500.0
    """
    row = ADJUSTERS["rider_mass"]
    masses = np.linspace(row.low, row.high, 25)
    found = [sold_for(float(mass)) for mass in masses]
    return {name: Tabulated(masses, np.array([getattr(each, name) for each in found]))
            for name in ("softest", "rate", "stiffest")}
