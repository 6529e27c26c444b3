"""Which spring a rider needs: for one sag with the preload as it is, or for both sags at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from suspedu.machine.changing import adjusted
from suspedu.machine.forces import force_split
from suspedu.machine.model import Machine
from suspedu.machine.statics import fork_load, front_load, hanging_stroke
from suspedu.units import InputError, require

COILS = (500.0, 30e3)  # N/m: what a leg's coil can be
START = 4000.0  # N/m, where the search begins
MANY_STEPS = 200  # the hanging stroke depends so weakly on the coil that some ten are enough


def rate_for_rider(machine: Machine, rider_mass, target_sag):
    """Coil rate, alike in both legs, that gives a rider the sag aimed at, with the present preload.

    k = (load - air - top-out - bumper - gas) / sum(x + preload)

    Parameters: machine; rider_mass in gear [kg]; target_sag, rider sag [m]; any shape.
    Returns: rate [N/m].
    Raises: InputError where no coil of the trade's range does it.

    >>> from suspedu.machine import load, rider_sag
    >>> rate = rate_for_rider(load("enduro"), 95.0, 0.070)
    >>> round(float(rider_sag(adjusted(load("enduro"), coil_rate=rate, rider_mass=95.0))), 9)
    0.07
    """
    machine = adjusted(machine, rider_mass=rider_mass)
    require("target sag", target_sag, 0.005, machine.travel / 2, "mm")

    def better(rate, _):
        stroke = target_sag + hanging_stroke(_sprung(machine, rate))
        return _coil_share(machine, stroke) / _squeeze(machine, stroke), None

    return require("coil rate for this rider and sag", _settled(better, START)[0], *COILS, "N/mm",
                   "no such spring: look at the sag aimed at, the preload and the oil height")


def spring_for_sags(machine: Machine, rider_mass, target_rider_sag, target_free_sag):
    """Coil rate and preload, alike in both legs, that give both sags at once: two springs' worth of facts.

    k = (load_rider - load_free - change of air and stops) / (2 (x_rider - x_free)), then preload from the free sag

    Parameters: machine; rider_mass in gear [kg]; target_rider_sag, target_free_sag [m]; any shape.
    Returns: rate [N/m], preload [m]; a negative preload is a spring that would have to be shortened
    (its size is then approximate).
    Raises: InputError where no coil of the trade's range does it.

    >>> from suspedu.machine import load
    >>> rate, preload = spring_for_sags(load("enduro"), 80.0, 0.070, 0.032)
    >>> round(float(rate)), round(float(preload) * 1e3, 1)
    (3316, 4.0)
    """
    machine = adjusted(machine, rider_mass=rider_mass)
    if np.any(np.less_equal(target_rider_sag, target_free_sag)):
        raise InputError("rider sag must be more than free sag: were the two swapped?")

    def better(rate, preload):
        start = hanging_stroke(_sprung(machine, rate, np.clip(preload, 0.0, 0.06)))
        free, loaded = target_free_sag + start, target_rider_sag + start
        low, high = (_coil_share(machine, x, rider) for x, rider in ((free, False), (loaded, True)))
        rate = (high - low) / (2 * (loaded - free))
        return rate, low / (2 * rate) - free

    rate, preload = _settled(better, START, 0.0)
    return require("coil rate for these two sags", rate, *COILS, "N/mm", "no such spring"), preload


def _settled(better: Callable, rate, preload=None):
    """Rate and preload that `better` leaves as they are: the fixed point, by going there."""
    for _ in range(MANY_STEPS):
        before, (rate, preload) = rate, better(rate, preload)
        if np.allclose(rate, before, rtol=1e-14, atol=0):
            break
    return rate, preload


def _sprung(machine: Machine, rate, preload=None) -> Machine:
    """The machine on coils as near to a rate as there are."""
    machine = adjusted(machine, coil_rate=np.clip(rate, *COILS))
    return machine if preload is None else adjusted(machine, preload=preload)


def _coil_share(machine: Machine, stroke, rider: bool = True):
    """What of the load at a stroke the coils must carry [N], air and stops having taken theirs."""
    split = force_split(machine, stroke)
    return fork_load(machine, front_load(machine, rider), stroke) - (split.total - split.coil)


def _squeeze(machine: Machine, stroke):
    return sum(stroke + leg.spring.preload for leg in machine.both_legs)
