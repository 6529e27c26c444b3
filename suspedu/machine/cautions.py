"""What a setting may do to people and parts: sentences for a page, and the numbers behind them."""

from __future__ import annotations

import numpy as np

from suspedu.machine.model import Machine
from suspedu.parts.air_spring import peak_pressure
from suspedu.units import shown


def tube_pressures(machine: Machine) -> tuple:
    """Highest air pressure (gauge) of each leg [Pa], a hard landing to the end of the travel: see `peak_pressure`.

    >>> from suspedu.machine import load
    >>> [round(float(pressure) / 1e5, 1) for pressure in tube_pressures(load("enduro"))]
    [9.9, 9.9]
    """
    return tuple(peak_pressure(leg.travel, leg.air) for leg in machine.both_legs)


def pressure_caution(machine: Machine) -> str:
    """A caution where a landing could bring the air of a leg above what its tube holds; empty where it could not.

    >>> from suspedu.machine import adjusted, load
    >>> pressure_caution(load("enduro"))
    ''
    >>> pressure_caution(adjusted(load("enduro"), oil_height=0.07))[:68]
    'Caution: in a hard landing the air in the tube could reach 24.9 bar,'
    """
    peaks = [(float(np.max(peak - leg.air.pressure_limit)), float(np.max(peak)), float(np.min(leg.air.pressure_limit)))
             for peak, leg in zip(tube_pressures(machine), machine.both_legs, strict=True)]
    above, peak, limit = max(peaks)
    if above <= 0.0:
        return ""
    reached, allowed = shown(peak, "bar", 3), shown(limit, "bar", 3)
    could = f"reach {reached}, above the {allowed}" if reached != allowed else f"come just above the {allowed}"
    return (f"Caution: in a hard landing the air in the tube could {could} that this course allows a tube and its "
            "seals; seals blow out and parts break loose. Take out oil, bleed the air, or let it cool, and keep to the "
            "maker's oil level.")
