"""The air over the oil: a second spring, stiffer the further it is squeezed.

Oil height is measured from the top of the tube down to the oil, with the leg
fully compressed and the spring out (common practice, no source): a *smaller*
number is *more* oil and so less air. A closed cartridge seals its rod away: the
air acts on the tube less that rod, and its room shrinks by as much.
"""

from suspedu.parts.air_spring.chamber import (
    LEAST_AIR_HEIGHT,
    TUBE_LIMIT,
    AirSpring,
    air_area,
    air_volume,
    level_area,
    oil_height,
    oil_volume,
    start_pressure,
)
from suspedu.parts.air_spring.laws import (
    air_element,
    air_energy,
    air_force,
    air_pressure_absolute,
    air_rate,
    peak_pressure,
)
from suspedu.parts.air_spring.polytropic import ADIABATIC, ISOTHERMAL, polytropic_pressure, polytropic_work

__all__ = ["ADIABATIC", "ISOTHERMAL", "LEAST_AIR_HEIGHT", "TUBE_LIMIT", "AirSpring", "air_area", "air_element",
           "air_energy", "air_force", "air_pressure_absolute", "air_rate", "air_volume", "level_area", "oil_height",
           "oil_volume", "peak_pressure", "polytropic_pressure", "polytropic_work", "start_pressure"]
