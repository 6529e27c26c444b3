"""Oils on the school's shelf, an oil of one's own, and what cold and heat do to the damping of a leg."""

from __future__ import annotations

import numpy as np
import scipy

from suspedu.damper import leg_force
from suspedu.numerics import remembered
from suspedu.parts.oil import Oil, kinematic_viscosity, viscosity_index
from suspedu.school.legs import set_damper
from suspedu.school.tables import Tabulated

# Three cans on the school's shelf: invented, as far apart as labels of the trade are (common practice, no source).
SHELF = {"can-a": Oil(15.8e-6, 4.4e-6), "can-b": Oil(26.1e-6, 5.2e-6), "can-c": Oil(21.5e-6, 5.0e-6)}
COLD, ROOM, HOT = 278.15, 293.15, 343.15  # K: a morning of 5 degC, 20 degC, and a hot ride of 70 degC
SLOW = 0.3 * np.linspace(0.0, 1.0, 16) ** 1.5
SPEEDS = np.concatenate([SLOW, np.geomspace(0.35, 3.0, 9)])
PLACE = 0.1  # m of stroke


@remembered
def oil_of_index(viscosity_40: float, index: float) -> Oil:
    """Oil of viscosity_40 [m2/s] at 40 degC and a viscosity index [-], else as a common mineral oil.

    >>> round(oil_of_index(15.8e-6, 150).viscosity_100 * 1e6, 2)  # mm2/s
    3.92
    """
    hot = scipy.optimize.brentq(lambda nu: float(viscosity_index(viscosity_40, nu)) - index, 2e-6, 0.9 * viscosity_40,
                                xtol=1e-10)
    return Oil(viscosity_40, hot)


def viscosity_table(oil: Oil, temperatures) -> Tabulated:
    """Kinematic viscosity [m2/s] of an oil over temperatures [n, K]."""
    return Tabulated(temperatures, kinematic_viscosity(temperatures, oil))


@remembered(size=512)
def damping_in_oil(oil: Oil, temperature: float, way: str, clicks: int) -> Tabulated:
    """Damping force [N], without the gas, over speed [m/s]: one leg with the school's closed cartridge.

    Parameters: oil; temperature [K]; way, "compression" or "rebound"; clicks out of that way's low-speed clicker.

    >>> oil = oil_of_index(16e-6, 150.0)
    >>> cold, hot = (damping_in_oil(oil, at, "rebound", 12).at(0.05) for at in (COLD, HOT))
    >>> round(cold / hot, 1)
    2.7
    """
    sign, name = (-1.0, "rebound") if way == "rebound" else (1.0, "compression_low")
    cartridge = set_damper("closed cartridge", **{name: int(clicks)})
    return Tabulated(SPEEDS, sign * leg_force(PLACE, sign * SPEEDS, cartridge, oil, temperature).damping_force)
