"""Springs that a rider can buy: a band of rates as they are sold, each with a preload that a collar can reach.

Two sags held fixed for every rider would ask for rates far apart and for preloads that no collar has. So the sags may
lie within bands, and what a landing may ask per kilogram decides along with them (common practice; the widths are a
guess of the course).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine.changing import adjusted
from suspedu.machine.forces import stored_work
from suspedu.machine.model import Machine
from suspedu.machine.statics import front_load, resting_stroke, share_of_travel, sprung_mass
from suspedu.units import InputError, require

RIDER_BAND, FREE_BAND = (0.20, 0.25), (0.08, 0.13)  # of the travel (guess of the course)
ENERGY_BAND = 0.15  # either way of what the machine's own rider has per kilogram (guess of the course)
SOLD, COLLAR = 100.0, 1e-3  # N/m between springs as sold (common practice); m between preloads of a collar
RATES = np.arange(20, 76) * SOLD
PRELOADS = np.arange(2, 16) * COLLAR
SAGS, ENERGY = ("rider sag", "free sag"), "energy to bottom"


@dataclass(frozen=True)
class SpringChoice:
    """A spring for a rider, the band it is taken from, and what ends the band; rates and preload of each leg."""

    rate: float  # N/m, as sold
    preload: float  # m
    softest: float  # N/m, of the band
    stiffest: float  # N/m
    softer_fails: str  # what the next softer spring does wrong at every preload, from its verb on
    stiffer_fails: str


def spring_for_rider(machine: Machine, rider_mass: float) -> SpringChoice:
    """Springs that are sold for a rider, with a preload that the collar reaches: the middle of their band.

    rider sag 20 to 25 %, free sag 8 to 13 % of the travel, energy to bottom per kilogram within 15 % of the own rider's

    Parameters: machine, whose own rider and springs say what energy per kilogram is right; rider_mass in gear [kg].
    Returns: `SpringChoice`. Raises: InputError where no sold spring does it.

    >>> from suspedu.machine import load
    >>> found = spring_for_rider(load("enduro"), 82.0)
    >>> found.softest, found.rate, found.stiffest, found.softer_fails
    (2900.0, 3500.0, 4100.0, 'misses energy to bottom')
    """
    require("rider in gear", rider_mass, 30.0, 160.0, "kg")
    met = bands_met(machine, rider_mass)
    fitting = np.logical_and.reduce(list(met.values()))
    good = np.flatnonzero(fitting.any(axis=1))
    if not len(good):
        raise InputError(f"no spring that is sold suits a rider of {rider_mass:.3g} kg on this machine")
    first, last = good[0], good[-1]
    middle = good[len(good) // 2]
    preloads = np.flatnonzero(fitting[middle])
    return SpringChoice(float(RATES[middle]), float(PRELOADS[preloads[len(preloads) // 2]]), float(RATES[first]),
                        float(RATES[last]), _fails(met, first - 1), _fails(met, last + 1))


def bands_met(machine: Machine, rider_mass: float, rates=RATES, energy: float | None = None) -> dict[str, np.ndarray]:
    """Whether each of the three bands is met, over rates and preloads of a collar.

    Parameters: machine; rider_mass in gear [kg]; rates of each leg, those that are sold if left out [n, N/m];
    energy that is right for each kilogram, the machine's own if left out [J/kg].
    Returns: by its name, an array [rates, preloads].

    >>> from suspedu.machine import load
    >>> {name: int(met.sum()) for name, met in bands_met(load("enduro"), 82.0).items()}
    {'rider sag': 114, 'free sag': 202, 'energy to bottom': 248}
    """
    rates = np.asarray(rates, dtype=float)[:, None]
    fitted = adjusted(machine, rider_mass=rider_mass, coil_rate=rates + 0 * PRELOADS, preload=PRELOADS + 0 * rates)
    loads = np.stack([front_load(fitted) + 0 * rates, front_load(fitted, rider=False) + 0 * rates, 0 * rates])
    *settled, hanging = resting_stroke(fitted, loads)  # all at once, for each solution of its own costs as much
    met = {name: (low <= share) & (share <= high) for name, share, (low, high) in zip(
        SAGS, (share_of_travel(fitted, stroke - hanging) for stroke in settled), (RIDER_BAND, FREE_BAND), strict=True)}
    own = energy_per_kilogram(machine) if energy is None else energy
    return met | {ENERGY: np.abs(energy_per_kilogram(fitted) / own - 1) <= ENERGY_BAND}


def energy_per_kilogram(machine: Machine):
    """Work of the fork's springs and air to the end of the travel, over the mass that it carries [J/kg].

    >>> from suspedu.machine import load
    >>> round(float(energy_per_kilogram(load("enduro"))), 2)
    7.51
    """
    return stored_work(machine, machine.travel, None) / sprung_mass(machine)


def _fails(met: dict[str, np.ndarray], row: int) -> str:
    """Which bands a rate misses at every preload; where each can be met, but not together, that."""
    if not 0 <= row < len(RATES):
        return "is not sold"
    alone = [name for name, each in met.items() if not each[row].any()]
    if not alone:
        return "never meets sags and energy to bottom at one preload"
    return f"misses {', '.join(alone[:-1])}{' and ' * (len(alone) > 1)}{alone[-1]}"
