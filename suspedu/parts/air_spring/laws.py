"""Pressure, force, rate and energy of the air over a stroke."""

from __future__ import annotations

from suspedu.parts import Elastic
from suspedu.parts.air_spring.chamber import AirSpring, air_area, air_volume, shut_in_gas
from suspedu.parts.air_spring.polytropic import ADIABATIC, polytropic_pressure, polytropic_work
from suspedu.units import STANDARD_ATMOSPHERE


def air_force(stroke, travel, air: AirSpring, exponent=None, settled=0.0):
    """Force of the air in one leg, F = (p - p_atm) A_air.

    Parameters: stroke [m], any shape; travel [m]; air, the chamber; exponent [1], the chamber's own if not given;
    settled [m], see `air_pressure_absolute`.
    Returns: force [N].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> [round(float(air_force(x, 0.3, air))) for x in (0.0, 0.15, 0.3)]
    [0, 165, 1339]
    """
    return (air_pressure_absolute(stroke, travel, air, exponent, settled) - STANDARD_ATMOSPHERE) * air_area(air)


def air_pressure_absolute(stroke, travel, air: AirSpring, exponent=None, settled=0.0):
    """Absolute pressure of the air at a stroke.

    p = p_s (V(s)/V(x))^n, p_s V(s) = p_0 V(0)

    Parameters: stroke x [m], any shape; travel [m]; air, the chamber; exponent n [1], the chamber's own if not given;
    settled, the stroke s [m] at which the air has had time and its heat has left; full extension if not given.
    Returns: absolute pressure [Pa].
    Assumes: the air moves along the polytrope through the place where it settled, isothermally.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(air_pressure_absolute(0.3, 0.3, air, exponent=1.0) / 1e5, 2)
    5.91

    Source: moran-shapiro, section 2.2, polytropic process (printed, from memory)
    """
    n = air.exponent if exponent is None else exponent
    room = air_volume(settled, travel, air)
    return polytropic_pressure(shut_in_gas(travel, air) / room, room / air_volume(stroke, travel, air), n)


def peak_pressure(travel, air: AirSpring):
    """Gauge pressure at full travel, squeezed from full extension so fast that no heat escapes [Pa]: a landing.

    Parameters: travel [m]; air, the chamber (its values may be arrays too).

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(peak_pressure(0.3, air) / 1e5, 1)
    11.0
    """
    return air_pressure_absolute(travel, travel, air, ADIABATIC) - STANDARD_ATMOSPHERE


def air_rate(stroke, travel, air: AirSpring, exponent=None, settled=0.0):
    """Slope of the air's force, dF/dx = n p A_air^2 / V.

    Parameters: stroke [m], any shape; travel [m]; air, the chamber; exponent [1], the chamber's own if not given;
    settled [m], see `air_pressure_absolute`.
    Returns: rate [N/m].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> [round(float(air_rate(x, 0.3, air))) for x in (0.0, 0.15, 0.3)]
    [608, 1972, 29454]
    """
    n = air.exponent if exponent is None else exponent
    pressure = air_pressure_absolute(stroke, travel, air, n, settled)
    return n * pressure * air_area(air) ** 2 / air_volume(stroke, travel, air)


def air_energy(stroke, travel, air: AirSpring, exponent=None, settled=0.0):
    """Work that squeezing the air from full extension takes, less what the atmosphere gives.

    E = W(V(0) -> V(x)) - p_atm A_air x

    Parameters: stroke x [m], any shape; travel [m]; air, the chamber; exponent [1], the chamber's own if not given;
    settled [m], see `air_pressure_absolute`.
    Returns: energy [J].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(float(air_energy(0.3, 0.3, air)), 1)
    85.4
    """
    n = air.exponent if exponent is None else exponent
    volume = air_volume(0.0, travel, air)
    start = air_pressure_absolute(0.0, travel, air, n, settled)
    work = polytropic_work(start, volume, volume / air_volume(stroke, travel, air), n)
    return work - STANDARD_ATMOSPHERE * air_area(air) * stroke


def air_element(travel, air: AirSpring, exponent=None, settled=0.0) -> Elastic:
    """The air of a leg as an elastic element.

    Parameters: travel [m]; air, the chamber; exponent [1], the chamber's own if not given; settled [m], see
    `air_pressure_absolute`.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(float(air_element(0.3, air).force(0.15)))
    165
    """
    return Elastic(lambda stroke: air_force(stroke, travel, air, exponent, settled),
                   lambda stroke: air_rate(stroke, travel, air, exponent, settled),
                   lambda stroke: air_energy(stroke, travel, air, exponent, settled))
