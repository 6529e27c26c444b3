"""The settings of a machine on the bench: everything that can be turned, by name, in workshop units or clicks out."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS, CLICKS, LEG, Adjuster, adjuster
from suspedu.machine.changing import change, has, range_of, refitted, setting
from suspedu.parts.oil import Oil
from suspedu.school.bench_fittings import FITTINGS
from suspedu.school.machines import chosen_machine
from suspedu.school.oils import SHELF
from suspedu.units import InputError, nearest

AS_IT_CAME = "as it came"
TURNED = ("preload", "coil_rate", "oil_height", "oil_volume", "compression_low", "compression_high", "rebound",
          "tyre_pressure", "rider_mass", "gauge_pressure", "oil_temperature", "mid_float")  # rows of the table
CHOSEN = ("damper", "oil")  # by id; a damper of the shelf, an oil of SHELF
ON_THE_BENCH = (*TURNED, *FITTINGS, *CHOSEN)
SAME = 1e-9


def bench_reading(machine: Machine, name: str) -> float:
    """Where something that can be turned stands on a machine, in workshop units or clicks out.

    Returns: number [in the unit of its control].
    Raises: InputError for what is not on the bench, or not on this machine.

    >>> from suspedu.school.machines import school_machine
    >>> bench_reading(school_machine(), "preload"), bench_reading(school_machine(), "mid_shims")
    (4.0, 11)
    """
    if name in FITTINGS:
        return FITTINGS[name].read(machine)
    row = adjuster(name)
    return round(float(row.shown(setting(machine, name))), 9)


def bench_has(machine: Machine, name: str) -> bool:
    """Whether a machine has something that the bench turns.

    >>> from suspedu.school.machines import school_machine
    >>> [bench_has(school_machine("trail"), name) for name in ("compression_high", "charge", "mid_shims", "damper")]
    [False, False, True, True]
    """
    if name in FITTINGS:
        return FITTINGS[name].there(machine)
    return name in CHOSEN or has(machine, name)


def bench_machine(name: str = "enduro", **sheet) -> Machine:
    """A machine with everything set as the bench says; what stands as it came is left as it came.

    Parameters: name, as `chosen_machine` takes it; sheet, by names of ON_THE_BENCH: numbers in workshop units or clicks
    out, and "damper", "oil" by id or AS_IT_CAME. Two legs that differ are moved alike, each from where it stands. What
    this machine does not have is left aside: see `left_aside`.
    Raises: InputError for a name that is not on the bench, or a value out of range.

    >>> trail = bench_machine("trail", preload=6.0)  # its legs had 5 and 3 mm
    >>> [round(leg.spring.preload * 1e3, 6) for leg in trail.legs]
    [6.0, 4.0]
    """
    for each in sheet:
        if each not in ON_THE_BENCH:
            raise InputError(f"'{each}' is not on the bench{nearest(each, ON_THE_BENCH)}; there are: "
                             f"{', '.join(ON_THE_BENCH)}")
    return _sheeted(chosen_machine(name), **sheet)


@lru_cache(1024)  # a machine is frozen already, and deep: not walked through at each move
def _sheeted(machine: Machine, **sheet) -> Machine:
    for each in (*CHOSEN, *(other for other in sheet if other not in CHOSEN)):
        if each in sheet and bench_has(machine, each):
            machine = _set(machine, each, sheet[each])
    return machine


def left_aside(name: str, **sheet) -> tuple[str, ...]:
    """Names of a sheet that the machine, with the damper of that sheet, does not have.

    >>> left_aside("trail", compression_high=10, rebound=12)
    ('compression_high',)
    """
    machine = bench_machine(name, **{each: sheet[each] for each in CHOSEN if each in sheet})
    return tuple(each for each in sheet if each not in _there(machine))


@lru_cache(64)
def _there(machine: Machine) -> frozenset:
    return frozenset(each for each in ON_THE_BENCH if bench_has(machine, each))


def _set(machine: Machine, name: str, value) -> Machine:
    if name in CHOSEN:
        return machine if value == AS_IT_CAME else _chosen(machine, name, value)
    stands = bench_reading(machine, name)
    if abs(value - stands) <= SAME:
        return machine
    if name in FITTINGS:
        return FITTINGS[name].fit(machine, value)
    return _turned_to(machine, adjuster(name), value, stands)


def _chosen(machine: Machine, name: str, value: str) -> Machine:
    return refitted(machine, value) if name == "damper" else change(machine, "oil", oil_named(value))


def oil_named(name: str) -> Oil:
    """An oil of the school's shelf.

    Raises: InputError for one that is not there.
    """
    if name not in SHELF:
        raise InputError(f"oil '{name}' is not on the shelf{nearest(name, SHELF)}; there are: {', '.join(SHELF)}")
    return SHELF[name]


def _turned_to(machine: Machine, row: Adjuster, value: float, stands: float) -> Machine:
    """All that has the adjuster moved as far as the first that has it, within its own ends."""
    if not row.place.startswith(LEG) or len(machine.legs) == 1:
        return change(machine, row.name, _given(row, value))
    for number, leg in enumerate(machine.legs, start=1):
        if has(leg, row.name):
            own = float(row.shown(setting(leg, row.name))) + value - stands
            low, high = (float(row.shown(end)) for end in range_of(leg, row.name))
            machine = change(machine, row.name, _given(row, float(np.clip(own, low, high))), number)
    return machine


def _given(row: Adjuster, value: float):
    return round(value) if row.unit == CLICKS else row.si(value)


def bench_label(name: str) -> str:
    """What stands over the control.

    >>> bench_label("rebound"), bench_label("fork_height")
    ('Rebound', 'Tubes above the clamp')
    """
    if name in FITTINGS:
        return FITTINGS[name].label
    return {"damper": "Damper", "oil": "Fork oil"}.get(name) or ADJUSTERS[name].label
