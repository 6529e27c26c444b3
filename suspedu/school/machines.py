"""The machines of the riding school, set by the values that stand on a setting sheet: workshop units, clicks out."""

from __future__ import annotations

from suspedu.machine import Machine, load
from suspedu.machine.adjusters import adjuster
from suspedu.machine.changing import change, has, range_of
from suspedu.numerics import remembered
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.units import STANDARD_ATMOSPHERE

MACHINES = ("enduro", "trail")


@remembered
def school_machine(name: str = "enduro") -> Machine:
    """A machine of the school as it stands in its file.

    >>> school_machine("trail").name
    'School trail'
    """
    return load(name)


@remembered(size=1024)
def set_machine(name: str = "enduro", **sheet) -> Machine:
    """A machine of the school with adjusters as a setting sheet gives them.

    Parameters: name; sheet, adjusters by name [each in its own workshop unit, or clicks out].
    Raises: InputError for an adjuster that is none, that this machine lacks, or a value out of range.

    >>> fork = set_machine("enduro", preload=8, rebound=6)
    >>> fork.legs[0].spring.preload, fork.legs[0].damper.unit.rebound.needle.clicks
    (0.008, 6)
    """
    machine = school_machine(name)
    for each, value in sheet.items():
        row = adjuster(each)
        machine = change(machine, each, round(value) if row.kind == "clicks" else row.si(value))
    return machine


def clicked(machine: Machine, **clicks) -> Machine:
    """The machine at clicks out, each leg as far as it has the adjuster and the adjuster has the clicks.

    Parameters: machine; clicks, adjusters by name [clicks out].

    >>> from suspedu.machine import setting
    >>> enduro = clicked(school_machine("enduro"), compression_high=99)
    >>> setting(enduro, "compression_high")
    20
    """
    for number, leg in enumerate(machine.legs, start=1):
        for name, at in clicks.items():
            if has(leg, name):
                at = min(int(at), range_of(leg, name)[1])
                machine = change(machine, name, at, number if len(machine.legs) == 2 else None)
    return machine


def pressure_at_the_end(machine: Machine) -> float:
    """Pressure of the air over the oil at the end of the stroke [Pa, gauge], in the first leg.

    >>> round(pressure_at_the_end(school_machine()) / 1e5, 2)
    6.77
    """
    leg = machine.legs[0]
    return float(air_pressure_absolute(leg.travel, leg.travel, leg.air)) - STANDARD_ATMOSPHERE
