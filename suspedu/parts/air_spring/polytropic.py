"""Gas that is squeezed: pressure and work of a polytropic change."""

from __future__ import annotations

import numpy as np

ISOTHERMAL = 1.0  # squeezed slowly: the heat has time to leave
ADIABATIC = 1.4  # squeezed fast: dry air keeps its heat


def polytropic_pressure(pressure, volume_ratio, exponent):
    """Absolute pressure after a change of volume, p = p_0 (V_0/V)^n.

    Parameters: pressure p_0, absolute [Pa]; volume_ratio V_0/V [1]; exponent n [1]; any shape.
    Returns: absolute pressure [Pa].

    >>> polytropic_pressure(1e5, 2.0, 1.0)
    200000.0

    Source: moran-shapiro, section 2.2, polytropic process (printed, from memory)
    """
    return pressure * volume_ratio**exponent


def polytropic_work(pressure, volume, volume_ratio, exponent):
    """Work put into a gas that is squeezed from V_0 to V.

    W = p_0 V_0 (r^(n-1) - 1)/(n - 1), and p_0 V_0 ln r for n = 1, with r = V_0/V

    Parameters: pressure p_0, absolute [Pa]; volume V_0 [m3]; volume_ratio r [1]; exponent n [1]; any shape.
    Returns: work [J].

    >>> round(float(polytropic_work(1e5, 1e-3, np.e, 1.0)), 9)
    100.0

    Source: moran-shapiro, section 2.2, polytropic process (printed, from memory)
    """
    log_ratio = np.log(volume_ratio)
    grows = np.asarray((exponent - 1) * log_ratio)
    relative = np.divide(np.expm1(grows), grows, out=np.ones_like(grows), where=grows != 0.0)  # 1: no jump at n = 1
    return pressure * volume * log_ratio * relative
