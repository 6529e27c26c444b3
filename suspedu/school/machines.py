"""The machines of the riding school and one's own, set by what stands on a sheet: workshop units, clicks out."""

from __future__ import annotations

from suspedu.machine import Machine, load
from suspedu.machine.adjusters import adjuster
from suspedu.machine.changing import change, has, range_of
from suspedu.numerics import remembered
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.school.own_files import own_files, own_machine
from suspedu.units import STANDARD_ATMOSPHERE, InputError, nearest

MACHINES = ("enduro", "trail")


@remembered
def school_machine(name: str = "enduro") -> Machine:
    """A machine of the school as it stands in its file.

    >>> school_machine("trail").name
    'School trail'
    """
    return load(name)


def machine_choices() -> dict[str, str]:
    """What can be chosen by name: the school's machines, then one's own, id -> the words that stand in a list.

    >>> list(machine_choices().items())[:2]
    [('enduro', 'School enduro'), ('trail', 'School trail')]
    """
    return {name: school_machine(name).name for name in MACHINES} | {name: f"{name} (own)" for name in own_files()}


def chosen_machine(name: str) -> Machine:
    """A machine by an id of `machine_choices`, one's own as its file stands now.

    Raises: InputError, one sentence: an unknown name, or the first slip in one's own file.

    >>> chosen_machine("trail").name
    'School trail'
    """
    if name in MACHINES:
        return school_machine(name)
    if name in own_files():
        return own_machine(name)
    known = machine_choices()
    raise InputError(f"machine '{name}' is not known{nearest(name, known)}; there are: {', '.join(known)}")


def set_machine(name: str = "enduro", **sheet) -> Machine:
    """A machine, the school's or one's own, with adjusters as a setting sheet gives them.

    Parameters: name, as `chosen_machine` takes it; sheet, adjusters by name [each in its own workshop unit, or clicks
    out].
    Raises: InputError for an adjuster that is none, that this machine lacks, or a value out of range.

    >>> fork = set_machine("enduro", preload=8, rebound=6)
    >>> fork.legs[0].spring.preload, fork.legs[0].damper.unit.rebound.needle.clicks
    (0.008, 6)
    """
    return _sheeted(chosen_machine(name), **sheet)


@remembered(size=1024)
def _sheeted(machine: Machine, **sheet) -> Machine:
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
