"""The gas behind the bladder of a closed cartridge as a spring: what its pressure does on the end of the rod.

An open damper has none of its own: the fork's air presses on its rod from both sides.
"""

from __future__ import annotations

import numpy as np

from suspedu.damper.architectures import ClosedCartridge, Damper, reservoir_pressure
from suspedu.parts import Elastic
from suspedu.parts.air_spring import polytropic_work
from suspedu.units import ROOM_TEMPERATURE, STANDARD_ATMOSPHERE


def gas_force(stroke, damper: Damper, temperature=ROOM_TEMPERATURE):
    """Force of a cartridge's gas on its rod, F = (p_res - p_atm) A_r, at rest or moving.

    Parameters: stroke [m], any shape; damper; temperature of the gas [K]. Returns: force [N].

    >>> from suspedu.damper.architectures import stock_damper
    >>> [round(float(gas_force(x, stock_damper("closed cartridge")))) for x in (0.0, 0.3)]
    [20, 38]

    Source: moran-shapiro, section 2.2, polytropic process
    """
    if not isinstance(damper, ClosedCartridge):
        return np.zeros_like(stroke, dtype=float)
    return (reservoir_pressure(stroke, damper, temperature) - STANDARD_ATMOSPHERE) * damper.displaced_area


def gas_rate(stroke, damper: Damper, temperature=ROOM_TEMPERATURE):
    """Slope of `gas_force`, dF/dx = n p A_r^2 / V.

    Parameters: stroke [m], any shape; damper; temperature of the gas [K]. Returns: rate [N/m].

    >>> from suspedu.damper.architectures import stock_damper
    >>> float(gas_rate(0.1, stock_damper("open cartridge")))
    0.0
    """
    if not isinstance(damper, ClosedCartridge):
        return np.zeros_like(stroke, dtype=float)
    pressure, gas = reservoir_pressure(stroke, damper, temperature), damper.pressuriser
    return gas.exponent * pressure * damper.displaced_area**2 / _gas_left(stroke, damper)


def gas_energy(stroke, damper: Damper, temperature=ROOM_TEMPERATURE):
    """Work that pushing the rod in from full extension takes against the gas, less what the atmosphere gives.

    E = W(V_0 -> V) - p_atm A_r x

    Parameters: stroke x [m], any shape; damper; temperature of the gas [K]. Returns: energy [J].

    >>> from suspedu.damper.architectures import stock_damper
    >>> round(float(gas_energy(0.3, stock_damper("closed cartridge"))), 1)
    8.4
    """
    if not isinstance(damper, ClosedCartridge):
        return np.zeros_like(stroke, dtype=float)
    gas, start = damper.pressuriser, reservoir_pressure(0.0, damper, temperature)
    work = polytropic_work(start, gas.gas_volume, gas.gas_volume / _gas_left(stroke, damper), gas.exponent)
    return work - STANDARD_ATMOSPHERE * damper.displaced_area * np.asarray(stroke, dtype=float)


def gas_element(damper: Damper, temperature=ROOM_TEMPERATURE) -> Elastic:
    """The gas behind a damper's bladder as an elastic element; one that pushes nothing where the damper is open.

    Parameters: damper; temperature of the gas [K].

    >>> from suspedu.damper import stock_damper
    >>> round(float(gas_element(stock_damper("closed cartridge")).force(0.3)))
    38
    """
    return Elastic(lambda stroke: gas_force(stroke, damper, temperature),
                   lambda stroke: gas_rate(stroke, damper, temperature),
                   lambda stroke: gas_energy(stroke, damper, temperature))


def _gas_left(stroke, damper):
    return damper.pressuriser.gas_volume - damper.displaced_area * np.asarray(stroke, dtype=float)
