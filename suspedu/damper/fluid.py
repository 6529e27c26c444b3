"""Oil at one temperature, as a valve meets it."""

from __future__ import annotations

from dataclasses import dataclass

from suspedu.parts import oil as oils


@dataclass(frozen=True)
class Fluid:
    """Oil at one temperature: density [kg/m3], dynamic viscosity [Pa s], vapour pressure [Pa]."""

    density: float
    viscosity: float
    vapour_pressure: float = 0.0


def fluid_at(temperature, oil: oils.Oil, air_fraction=0.0) -> Fluid:
    """Oil at one temperature, with entrained air: rho (1 - alpha).

    Parameters: temperature [K]; oil, an `Oil`; air_fraction alpha, volume of air over volume of foam [-].
    Returns: a `Fluid`. Raises: InputError for oil below its pour point.
    Assumes: small bubbles that move with the oil and leave its viscosity alone.

    >>> from suspedu.parts.oil import Oil
    >>> thin = Oil(15e-6, 3.5e-6, 860.0, 8e-4, 1.6e9, 233.15)
    >>> [round(fluid_at(313.15, thin, air).density) for air in (0.0, 0.05)]
    [843, 801]

    Source: merritt, section 2-3 (printed, from memory)
    """
    density = oils.density(temperature, oil)
    thick = oils.dynamic_viscosity(temperature, oil)
    return Fluid(float(density) * (1.0 - air_fraction), float(thick), float(oils.vapour_pressure(temperature)))
