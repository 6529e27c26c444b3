"""Oil poured into the school's leg by volume: what height it makes, what air it leaves, how high that is pressed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine import Machine, tube_pressures
from suspedu.machine.changing import adjusted
from suspedu.numerics import remembered
from suspedu.parts.air_spring import air_volume, level_area
from suspedu.school.machines import school_machine
from suspedu.school.tables import Tabulated
from suspedu.units import to_si

VOLUMES = to_si(np.linspace(285.0, 395.0, 23), "cm^3")
STEP = 5e-3  # m of oil height that the trade moves at once (common practice)


@dataclass(frozen=True, eq=False)
class Filling:
    """A leg with a volume of oil: heights and volumes as measured cold, pressures at its temperature."""

    machine: Machine
    height: float  # m, of oil from the top of the tube
    air: float  # m3 left at the end of the stroke
    peak: float  # Pa, gauge, in a hard landing
    limit: float  # Pa, gauge, that the tube holds
    step: float  # m3 of oil for 5 mm of height
    heights: Tabulated  # m over m3
    peaks: Tabulated  # Pa over m3


@remembered
def filled(volume: float, temperature: float) -> Filling:
    """The school enduro's legs with so much oil in each.

    Parameters: volume of oil in each leg [m3]; temperature of air and oil [K].

    >>> found = filled(350e-6, 293.15)
    >>> round(found.height * 1e3), round(found.step * 1e6, 1)
    (111, 7.9)
    """
    machines = [adjusted(school_machine(), air_temperature=temperature, oil_volume=float(each))
                for each in (volume, *VOLUMES)]
    peaks = [float(tube_pressures(machine)[0]) for machine in machines]
    leg = machines[0].legs[0]
    return Filling(machines[0], float(leg.air.oil_height), float(air_volume(leg.travel, leg.travel, leg.air)), peaks[0],
                   leg.air.pressure_limit, float(level_area(leg.air)) * STEP,
                   Tabulated(VOLUMES, np.array([one.legs[0].air.oil_height for one in machines[1:]])),
                   Tabulated(VOLUMES, np.array(peaks[1:])))
