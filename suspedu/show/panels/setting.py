"""Controls made from the table of adjusters: each slider knows its label, unit, range and direction from there."""

from __future__ import annotations

from dataclasses import replace

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import setting
from suspedu.school.machines import MACHINES, school_machine
from suspedu.show.view import Choice, Control


def slider(adjuster: str, **changes) -> Control:
    """The slider of an adjuster, from where the school's enduro stands; `changes` of the control by name.

    >>> slider("preload").high, slider("rebound", start=8).start
    (20.0, 8)
    """
    row = ADJUSTERS[adjuster]
    zero, fine, low, high, start = (round(float(row.shown(value)), 9) for value in (
        0.0, row.fine, row.low, row.high, setting(school_machine(), adjuster)))
    step = fine - zero if row.kind == "quantity" else fine
    control = Control(adjuster, row.label, str(row.unit), low, high, round(step, 9), start, row.more)
    return replace(control, **changes)


MACHINE = Choice("machine", "Machine", {name: school_machine(name).name for name in MACHINES}, "enduro")
RIDER, RATE, PRELOAD, OIL = (slider(name) for name in ("rider_mass", "coil_rate", "preload", "oil_height"))
TYRE = slider("tyre_pressure")
LOW, HIGH, REBOUND = (slider(name) for name in ("compression_low", "compression_high", "rebound"))
CARTRIDGE = Choice("cartridge", "Cartridge", {name: name for name in ("closed cartridge", "open cartridge")},
                   "closed cartridge")
CHARGE = Control("charge", "Charge of a closed cartridge", "bar", 0, 4, 0.2, 1.8, "gauge; more = later to tear")
