"""How a fork warms up on the trail: the damper's work heats oil and metal, the air round it cools them."""

from __future__ import annotations

import numpy as np

from suspedu.units import require


def warmed_temperature(time, power, capacity, loss, surrounding):
    """Temperature of a body that is heated evenly and loses heat to the air round it.

    T = T_a + P/G (1 - exp(-G t/C))

    Parameters: time [any shape, s]; power P [W]; capacity C of oil and metal [J/K]; loss G [W/K]; surrounding T_a [K].
    Returns: temperature [same shape, K].
    Raises: InputError for a capacity or a loss that is not above zero.
    Assumes: one temperature for all of it; the loss goes with the difference of temperature (Newton's law of cooling).

    >>> warmed_temperature(np.array([0.0, 600.0, 1e6]), 200.0, 3000.0, 5.0, 293.15).round(1).tolist()
    [293.2, 318.4, 333.2]

    Source: derivation: balance of heat of the first order, C dT/dt = P - G (T - T_a) (computed by derivation)
    """
    require("heat capacity", capacity, 1.0, 1e6, "J/K")
    require("heat loss", loss, 1e-3, 1e4, "W/K")
    return surrounding + power / loss * -np.expm1(-loss / capacity * np.asarray(time, dtype=float))
