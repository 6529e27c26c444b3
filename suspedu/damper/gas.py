"""What presses on the displaced oil: gas of a cartridge's own, which is a spring on its rod, or the fork's air.

An open damper has no such spring: the fork's air presses on its rod from both sides.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.damper.circuit import Damper, reservoir_pressure
from suspedu.parts import Elastic
from suspedu.parts.air_spring import polytropic_work
from suspedu.units import ROOM_TEMPERATURE, STANDARD_ATMOSPHERE, InputError, part, quantity


@part
class Pressuriser:
    """The gas behind the bladder of a closed cartridge, charged at room temperature with the rod out."""

    charge: float = quantity("bar", 0, 12, "charge of the cartridge (gauge)")
    gas_volume: float = quantity("cm**3", 20, 300, "gas volume of the cartridge")
    exponent: float = quantity("", 1, 1.4, "polytropic exponent", default=1.2)

    def pressure(self, stroke, displaced_area, temperature, air_pressure):
        """Absolute pressure of the gas, squeezed by the rod; the fork's air does nothing to it.

        p = p_0 (T / T_0) (V_0 / (V_0 - A_r x))^n

        Parameters: stroke [any shape, m]; displaced_area [m2]; temperature [K]; air_pressure [Pa]. Returns: [Pa].
        """
        left = self.gas_left(stroke, displaced_area)
        if np.any(left < 0.05 * self.gas_volume):
            raise InputError(f"the rod leaves {float(np.min(left)) * 1e6:.3g} cm³ of the {self.gas_volume * 1e6:.3g} "
                             "cm³ of gas in the cartridge; give it a larger gas volume or a thinner rod")
        charge = (self.charge + STANDARD_ATMOSPHERE) * temperature / ROOM_TEMPERATURE
        return charge * (self.gas_volume / left) ** self.exponent

    def gas_left(self, stroke, displaced_area):
        """Volume that is left to the gas [m3], at a stroke [m] by a displaced_area [m2]."""
        return self.gas_volume - displaced_area * np.asarray(stroke, dtype=float)

    def outside_pressure(self, pressure_abs):
        """Pressure on the rod's outer end [Pa]: that of the open air, whatever pressure_abs [Pa]."""
        return np.full_like(pressure_abs, STANDARD_ATMOSPHERE)

    def sealed_area(self, displaced_area):
        """Area of the rod that is sealed away from the fork's air [m2]: all of the displaced_area [m2]."""
        return displaced_area

    def rate(self, stroke, displaced_area, temperature):
        """Slope of its push [N/m], n p A_r^2 / V, at a stroke [m] by a displaced_area [m2], at a temperature [K]."""
        pressure = self.pressure(stroke, displaced_area, temperature, STANDARD_ATMOSPHERE)
        return self.exponent * pressure * displaced_area**2 / self.gas_left(stroke, displaced_area)

    def energy(self, stroke, displaced_area, temperature):
        """Work against the gas from full extension, less what the atmosphere gives.

        E = W(V_0 -> V) - p_atm A_r x

        Parameters: stroke x [any shape, m]; displaced_area A_r [m2]; temperature [K]. Returns: energy [J].
        """
        start = self.pressure(np.asarray(0.0), displaced_area, temperature, STANDARD_ATMOSPHERE)
        ratio = self.gas_volume / self.gas_left(stroke, displaced_area)
        work = polytropic_work(start, self.gas_volume, ratio, self.exponent)
        return work - STANDARD_ATMOSPHERE * displaced_area * np.asarray(stroke, dtype=float)


@dataclass(frozen=True)
class ForksAir:
    """No gas of its own: the fork's air presses on the oil and on the rod's outer end alike."""

    def pressure(self, stroke, displaced_area, temperature, air_pressure):
        """That of the fork's air_pressure [Pa, absolute], at any stroke [m], displaced_area [m2], temperature [K]."""
        return np.broadcast_arrays(np.asarray(air_pressure, dtype=float), stroke)[0].copy()

    def outside_pressure(self, pressure_abs):
        """The same pressure_abs [Pa]: so no force of its own."""
        return np.array(pressure_abs)[()]

    def sealed_area(self, displaced_area):
        """None of the displaced_area [m2]: the fork's air is all round the rod."""
        return 0.0 * displaced_area

    def rate(self, stroke, displaced_area, temperature):
        """No slope [N/m] and no energy [J] at any stroke [m], displaced_area [m2], temperature [K]."""
        return np.zeros_like(stroke, dtype=float)

    energy = rate


def sealed_area(damper: Damper):
    """Area of the rod on which a cartridge's own gas presses, and so the fork's air does not [m2]; 0 if it is open.

    >>> from suspedu.damper import stock_damper
    >>> [round(sealed_area(stock_damper(name)) * 1e6, 1) for name in ("closed cartridge", "open cartridge")]
    [113.1, 0.0]
    """
    return damper.reservoir.sealed_area(damper.displaced_area)


def gas_force(stroke, damper: Damper, temperature=ROOM_TEMPERATURE):
    """Force of a cartridge's gas on its rod, at rest or moving.

    F = (p_res - p_out) A_r

    Parameters: stroke [m], any shape; damper; temperature of the gas [K]. Returns: force [N].

    >>> from suspedu.damper import stock_damper
    >>> [round(float(gas_force(x, stock_damper("closed cartridge")))) for x in (0.0, 0.3)]
    [20, 38]

    Source: moran-shapiro, section 2.2, polytropic process (printed, from memory)
    """
    pressure = reservoir_pressure(stroke, damper, temperature)
    return (pressure - damper.reservoir.outside_pressure(pressure)) * damper.displaced_area


def gas_rate(stroke, damper: Damper, temperature=ROOM_TEMPERATURE):
    """Slope of `gas_force`.

    dF/dx = n p A_r^2 / V

    Parameters: stroke [m], any shape; damper; temperature of the gas [K]. Returns: rate [N/m].

    >>> from suspedu.damper import stock_damper
    >>> [round(float(gas_rate(0.1, stock_damper(name)))) for name in ("closed cartridge", "open cartridge")]
    [50, 0]
    """
    return damper.reservoir.rate(stroke, damper.displaced_area, temperature)


def gas_energy(stroke, damper: Damper, temperature=ROOM_TEMPERATURE):
    """Work that pushing the rod in from full extension takes against the gas, less what the atmosphere gives.

    E = W(V_0 -> V) - p_atm A_r x

    Parameters: stroke x [m], any shape; damper; temperature of the gas [K]. Returns: energy [J].

    >>> from suspedu.damper import stock_damper
    >>> round(float(gas_energy(0.3, stock_damper("closed cartridge"))), 1)
    8.4
    """
    return damper.reservoir.energy(stroke, damper.displaced_area, temperature)


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
