"""What the riding school aims at with the two sags, and what a pair of them tells about spring and preload."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import change
from suspedu.machine.spring_bands import (
    ENERGY,
    ENERGY_BAND,
    FREE_BAND,
    PRELOADS,
    RATES,
    RIDER_BAND,
    SAGS,
    SpringChoice,
    bands_met,
    energy_per_kilogram,
    spring_for_rider,
)
from suspedu.machine.statics import free_sag, rider_sag, share_of_travel
from suspedu.numerics import remembered
from suspedu.school.machines import MACHINES, school_machine
from suspedu.school.tables import Tabulated

# The middle of the bands of sag, and half their width, as shares of the travel (guess of the course): every rider can
# meet them with a spring that is sold and a preload that a collar has; a maker's manual may differ.
RIDER_AIM, FREE_AIM, AIM_SLACK = sum(RIDER_BAND) / 2, sum(FREE_BAND) / 2, (RIDER_BAND[1] - RIDER_BAND[0]) / 2


COLLAR = float(PRELOADS[0]), float(PRELOADS[-1])  # m: what a collar reaches


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


@dataclass(frozen=True)
class SpringVerdict:
    """What sags and energy to bottom tell about spring and preload.

    `word`: "right"; "more" or "less" preload, and this spring may stay; "stiffer" or "softer", for at no preload of a
    collar are all three right; "none", for no spring that is sold suits this rider on this machine as it is filled.
    """

    word: str
    preloads: tuple[float, float] | None  # m, from and to: the collar's that make all three right with this spring
    misses: tuple[str, ...]  # what is not right now


def spring_verdict(machine: Machine, sags: tuple[float, float] | None = None) -> SpringVerdict:
    """One verdict for every preload: whether the spring suits does not hang on where the collar stands.

    Parameters: machine; sags, of the machine alone and with its rider [m], where the caller has them.

    >>> spring = change(school_machine(), "coil_rate", 4600.0)
    >>> [spring_verdict(change(spring, "preload", mm / 1e3)).word for mm in (2, 3, 4, 5)]
    ['softer', 'softer', 'softer', 'softer']
    """
    energy = _energy_of(_named(machine))
    rate, preload = machine.legs[0].spring.rate, machine.legs[0].spring.preload
    misses = _missed(machine, energy, sags or (float(free_sag(machine)), float(rider_sag(machine))))
    suit = _suiting(machine, energy, np.array([rate]))[0]
    if suit.any():
        low, high = (float(PRELOADS[k]) for k in np.flatnonzero(suit)[[0, -1]])
        word = "right" if not misses else "more" if preload < low else "less"
        return SpringVerdict(word, (low, high), misses)
    sold = next((found for rates in (RATES[::3], RATES)  # a third of them nearly always does
                 if len(found := rates[_suiting(machine, energy, rates).any(axis=1)])), np.array([rate]))
    nearest = sold[np.argmin(np.abs(sold - rate))]
    return SpringVerdict("stiffer" if nearest > rate else "softer" if nearest < rate else "none", None, misses)


def _missed(machine: Machine, energy: float, sags: tuple[float, float]) -> tuple[str, ...]:
    """Which of the three lie outside their bands as the machine stands, sags to the millimetre that a tape reads."""
    shares = [float(share_of_travel(machine, round(1e3 * sag) / 1e3)) for sag in reversed(sags)]
    out = [not low <= share <= high for share, (low, high) in zip(shares, (RIDER_BAND, FREE_BAND), strict=True)]
    out.append(abs(float(energy_per_kilogram(machine)) / energy - 1.0) > ENERGY_BAND)
    return tuple(name for name, wrong in zip((*SAGS, ENERGY), out, strict=True) if wrong)


def _suiting(machine: Machine, energy: float, rates) -> np.ndarray:
    """Whether all three are right, over rates and the collar's preloads."""
    plain = change(change(machine, "preload", float(PRELOADS[0])), "coil_rate", float(RATES[0]))
    return _suiting_of(plain, energy, tuple(rates.tolist()))


@remembered
def _energy_of(name: str) -> float:
    """Energy to bottom for each kilogram of a machine of the school as it came [J/kg]."""
    return float(energy_per_kilogram(school_machine(name)))


@remembered
def _suiting_of(plain: Machine, energy: float, rates: tuple[float, ...]) -> np.ndarray:
    return np.logical_and.reduce(list(bands_met(plain, float(plain.rider.mass), rates, energy).values()))


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
