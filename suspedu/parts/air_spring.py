"""The air over the oil: a second spring, stiffer the further it is squeezed.

Oil height is measured from the top of the tube down to the oil, with the leg
fully compressed and the spring out (common practice, no source): a *smaller*
number is *more* oil and so less air.
"""

from __future__ import annotations

import numpy as np
from scipy.special import exprel

from suspedu.parts import Elastic
from suspedu.units import (
    ROOM_TEMPERATURE,
    STANDARD_ATMOSPHERE,
    InputError,
    check_fields,
    part,
    quantity,
    require,
    shown,
)

ISOTHERMAL = 1.0  # squeezed slowly: the heat has time to leave
ADIABATIC = 1.4  # squeezed fast: dry air keeps its heat
LEAST_AIR_HEIGHT = 0.005  # m of air left at full compression: less is an oil lock, not a spring


@part(kw_only=True)
class AirSpring:
    """The air chamber of one leg, with the oil height it is filled to.

    The exponent is that of riding; slow settling on the sag is isothermal whatever it says.
    The gauge pressure is what the chamber is bled or pumped to, at full extension and `fill_temperature`.
    """

    oil_height: float = quantity("mm", 1, 300, "oil height")
    tube_diameter: float = quantity("mm", 25, 70, "sliding tube's outside diameter")
    bore: float = quantity("mm", 20, 75, "bore that holds the air")
    displaced_volume: float = quantity("cm^3", 0, 300, "volume of spring and cartridge in the tube")
    exponent: float = quantity("", 1, 1.4, "polytropic exponent", "1 is slow, 1.4 is fast and without heat loss",
                               default=1.2)
    gauge_pressure: float = quantity("bar", 0, 15, "air pressure (gauge) at full extension", default=0.0)
    fill_temperature: float = quantity("degC", -20, 60, "temperature when filled", default=ROOM_TEMPERATURE)
    temperature: float = quantity("degC", -30, 120, "air temperature", default=ROOM_TEMPERATURE)

    def __post_init__(self):
        check_fields(self)
        lowest = np.max(self.displaced_volume / level_area(self)) + LEAST_AIR_HEIGHT
        require("oil height", self.oil_height, lowest, 0.3, "mm", "so much oil leaves no air at full compression: "
                "it is measured from the top of the tube down to the oil, so more millimetres are less oil")


def air_force(stroke, travel, air: AirSpring, exponent=None):
    """Force of the air in one leg, F = (p - p_atm) A_air.

    Parameters: stroke [m], any shape; travel [m]; air, the chamber; exponent [1], the chamber's own if not given.
    Returns: force [N].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> [round(float(air_force(x, 0.3, air))) for x in (0.0, 0.15, 0.3)]
    [0, 165, 1339]
    """
    return (air_pressure_absolute(stroke, travel, air, exponent) - STANDARD_ATMOSPHERE) * air_area(air)


def level_area(air: AirSpring):
    """Cross-section of the bore in which the oil level stands [m2].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(level_area(air) * 1e6)
    1521
    """
    return np.pi * air.bore**2 / 4


def air_area(air: AirSpring):
    """Area on which the air pushes the leg out [m2]: that of the sliding tube, outside.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(air_area(air) * 1e6)
    1810
    """
    return np.pi * air.tube_diameter**2 / 4


def air_volume(stroke, travel, air: AirSpring):
    """Volume of the air at a stroke.

    V(x) = A_bore h - V_displaced + A_air (L - x)

    Parameters: stroke x [m], any shape; travel L [m]; air, the chamber (its values may be arrays too).
    Returns: volume [m3]. Raises: InputError for a stroke so far beyond the travel that no air would be left.
    Assumes: oil neither swells nor foams, and stays in the chamber.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(air_volume(0.3, 0.3, air) * 1e6, 1)
    112.3
    """
    at_full_compression = level_area(air) * air.oil_height - air.displaced_volume
    left = at_full_compression + air_area(air) * (travel - stroke)
    if np.any(np.less_equal(left, 0.0)):
        raise InputError(f"stroke is {shown(np.max(stroke), 'mm')}, but the travel only {shown(np.min(travel), 'mm')}: "
                         "no air would be left (was it given in mm? strokes are in m)")
    return left


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
    return pressure * volume * log_ratio * exprel((exponent - 1) * log_ratio)  # exprel(0) = 1: no jump at n = 1


def start_pressure(air: AirSpring):
    """Absolute pressure at full extension [Pa]: a fixed mass of gas in a fixed volume follows its temperature.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6, temperature=333.15)
    >>> round(start_pressure(air))
    115151

    Source: moran-shapiro, section 3.12, ideal gas (printed, from memory)
    """
    return (STANDARD_ATMOSPHERE + air.gauge_pressure) * air.temperature / air.fill_temperature


def air_pressure_absolute(stroke, travel, air: AirSpring, exponent=None):
    """Absolute pressure of the air at a stroke, p = p_0 (V(0)/V(x))^n.

    Parameters: stroke [m], any shape; travel [m]; air, the chamber; exponent n [1], the chamber's own if not given.
    Returns: absolute pressure [Pa].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(air_pressure_absolute(0.3, 0.3, air, exponent=1.0) / 1e5, 2)
    5.91

    Source: moran-shapiro, section 2.2, polytropic process (printed, from memory)
    """
    n = air.exponent if exponent is None else exponent
    return polytropic_pressure(start_pressure(air), _volume_ratio(stroke, travel, air), n)


def air_rate(stroke, travel, air: AirSpring, exponent=None):
    """Slope of the air's force, dF/dx = n p A_air^2 / V.

    Parameters: stroke [m], any shape; travel [m]; air, the chamber; exponent [1], the chamber's own if not given.
    Returns: rate [N/m].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> [round(float(air_rate(x, 0.3, air))) for x in (0.0, 0.15, 0.3)]
    [608, 1972, 29454]
    """
    n = air.exponent if exponent is None else exponent
    pressure = air_pressure_absolute(stroke, travel, air, n)
    return n * pressure * air_area(air) ** 2 / air_volume(stroke, travel, air)


def air_energy(stroke, travel, air: AirSpring, exponent=None):
    """Work that squeezing the air from full extension takes, less what the atmosphere gives.

    E = W(V(0) -> V(x)) - p_atm A_air x

    Parameters: stroke x [m], any shape; travel [m]; air, the chamber; exponent [1], the chamber's own if not given.
    Returns: energy [J].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(float(air_energy(0.3, 0.3, air)), 1)
    85.4
    """
    n = air.exponent if exponent is None else exponent
    volume = air_volume(0.0, travel, air)
    work = polytropic_work(start_pressure(air), volume, _volume_ratio(stroke, travel, air), n)
    return work - STANDARD_ATMOSPHERE * air_area(air) * stroke


def air_element(travel, air: AirSpring, exponent=None) -> Elastic:
    """The air of a leg as an elastic element.

    Parameters: travel [m]; air, the chamber; exponent [1], the chamber's own if not given.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(float(air_element(0.3, air).force(0.15)))
    165
    """
    return Elastic(lambda stroke: air_force(stroke, travel, air, exponent),
                   lambda stroke: air_rate(stroke, travel, air, exponent),
                   lambda stroke: air_energy(stroke, travel, air, exponent))


def _volume_ratio(stroke, travel, air):
    return air_volume(0.0, travel, air) / air_volume(stroke, travel, air)
