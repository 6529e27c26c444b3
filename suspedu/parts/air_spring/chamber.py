"""The room that holds the air: how much oil stands in it, and what a stroke leaves of it."""

from __future__ import annotations

import dataclasses

import numpy as np

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

TUBE_LIMIT = 20e5  # Pa above the open air that a tube and its seals shall hold (guess of the course)
LEAST_AIR_HEIGHT = 0.005  # m of air left at full compression: less is an oil lock, not a spring


@part(kw_only=True)
class AirSpring:
    """The air chamber of one leg, with the oil height it is filled to.

    The exponent is that of riding; slow settling on the sag is isothermal whatever it says.
    The gauge pressure is what the chamber is bled or pumped to, at full extension and `fill_temperature`, at which the
    oil was measured too. Where it is not known what fills the leg to its top, the oil is taken to keep its volume.
    """

    also = ("oil_volume",)  # what can be changed besides the fields: see `replaced`

    oil_height: float = quantity("mm", 1, 300, "oil height")
    tube_diameter: float = quantity("mm", 25, 70, "sliding tube's outside diameter")
    bore: float = quantity("mm", 20, 75, "bore that holds the air")
    displaced_volume: float = quantity("cm^3", 0, 300, "volume of the spring, and what else comes in after the oil")
    inside_diameter: float = quantity("mm", 0, 60, "diameter of the cartridge or rod that stands in the oil",
                                      default=0.0)
    full_volume: float | None = quantity("cm^3", 50, 2000, "oil that fills the leg to the top of its tube",
                                         default=None)
    exponent: float = quantity("", 1, 1.4, "polytropic exponent", "1 is slow, 1.4 is fast and without heat loss",
                               default=1.2)
    gauge_pressure: float = quantity("bar", 0, 15, "air pressure (gauge) at full extension", default=0.0)
    fill_temperature: float = quantity("degC", -20, 60, "temperature when filled", default=ROOM_TEMPERATURE)
    temperature: float = quantity("degC", -30, 120, "temperature of air and oil", default=ROOM_TEMPERATURE)
    pressure_limit: float = quantity("bar", 5, 60, "pressure (gauge) that the tube holds", default=TUBE_LIMIT)
    # From the leg's damper, see `Leg`: the rod that a closed cartridge seals away, and how its oil swells.
    sealed_area: float = quantity("mm**2", 0, 1500, "area of a closed cartridge's rod", default=0.0)
    oil_expansion: float = quantity("1/K", 5e-4, 12e-4, "thermal expansion of the oil", default=8e-4)

    def __post_init__(self):
        check_fields(self)
        if np.any(np.greater_equal(self.inside_diameter, self.bore)):
            raise InputError("what stands in the oil is as wide as the bore: no room is left for oil and air")
        swell, area = _swell(self), level_area(self)
        lowest = np.max((self.displaced_volume + (self.full_volume or 0.0) * swell) / (area * (1 + swell)))
        require("oil height", self.oil_height, lowest + LEAST_AIR_HEIGHT, 0.3, "mm", "so much oil leaves no air at "
                "full compression: it is measured from the top of the tube down to the oil, so more millimetres are "
                "less oil")
        if self.full_volume is not None and np.any(np.less(oil_volume(self), 0.0)):
            raise InputError("the oil stands below the bottom of the leg: is its full volume right, or the oil height?")

    def replaced(self, name: str, value) -> AirSpring:
        """The chamber with another value [SI] by its name; another volume of oil is another oil height."""
        if name == "oil_volume":
            return dataclasses.replace(self, oil_height=oil_height(value, self))
        return dataclasses.replace(self, **{name: value})

    @property
    def oil_volume(self):
        """Oil in the leg [m3]: see the law of this name."""
        return oil_volume(self)


def level_area(air: AirSpring):
    """Cross-section in which the oil level stands [m2]: the bore less what stands in it.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(level_area(air) * 1e6)
    1521
    """
    return np.pi * (air.bore**2 - air.inside_diameter**2) / 4


def oil_volume(air: AirSpring):
    """Oil in the leg when it was measured, V_oil = V_full - A_level h [m3].

    Raises: InputError for a leg of which it is not known what fills it.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6, full_volume=500e-6)
    >>> round(oil_volume(air) * 1e6, 1)
    332.7
    """
    return _full(air) - level_area(air) * air.oil_height


def oil_height(volume, air: AirSpring):
    """Oil height to which a volume of oil fills the leg, h = (V_full - V)/A_level [m].

    Parameters: volume [m3], any shape; air, a leg's chamber, whatever it is filled to.
    Raises: InputError for a leg of which it is not known what fills it.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6, full_volume=500e-6)
    >>> round(oil_height(340e-6, air) * 1e3, 1)
    105.2
    """
    return (_full(air) - volume) / level_area(air)


def _full(air: AirSpring):
    if air.full_volume is None:
        raise InputError("the volume of oil is not known: the file does not say what fills the leg to the top of its "
                         "tube (full_volume, in its table of the air)")
    return air.full_volume


def _swell(air: AirSpring):
    """By how much the oil has grown since it was measured [-]; nothing where its volume is not known."""
    return air.oil_expansion * (air.temperature - air.fill_temperature) * (air.full_volume is not None)


def air_area(air: AirSpring):
    """Area on which the air pushes the leg out [m2]: the sliding tube outside, less a rod that is sealed away.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(air_area(air) * 1e6)
    1810
    """
    return np.pi * air.tube_diameter**2 / 4 - air.sealed_area


def air_volume(stroke, travel, air: AirSpring):
    """Volume of the air at a stroke.

    V(x) = A_level h - V_displaced - V_oil beta (T - T_fill) + A_air (L - x)

    Parameters: stroke x [m], any shape; travel L [m]; air, the chamber (its values may be arrays too).
    Returns: volume [m3]. Raises: InputError for a stroke so far beyond the travel that no air would be left.
    Assumes: the oil swells, but neither foams nor leaves the chamber; the tubes keep their size.

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(air_volume(0.3, 0.3, air) * 1e6, 1)
    112.3
    """
    at_full_compression = level_area(air) * air.oil_height - air.displaced_volume - _swollen_volume(air)
    left = at_full_compression + air_area(air) * (travel - stroke)
    if np.any(np.less_equal(left, 0.0)):
        raise InputError(f"stroke is {shown(np.max(stroke), 'mm')}, but the travel only {shown(np.min(travel), 'mm')}: "
                         "no air would be left (was it given in mm? strokes are in m)")
    return left


def start_pressure(travel, air: AirSpring):
    """Absolute pressure of the leg at full extension.

    p_0 = p_fill (T/T_fill) (V_fill/V(0)): the gas that was shut in stays, in the room that swollen oil leaves of it.

    Parameters: travel [m]; air, the chamber (its values may be arrays too).
    Returns: absolute pressure [Pa].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6, temperature=333.15)
    >>> round(start_pressure(0.3, air))  # its oil is taken to keep its volume
    115151
    """
    return shut_in_gas(travel, air) / air_volume(0.0, travel, air)


def shut_in_gas(travel, air: AirSpring):
    """Pressure times volume of the gas in the leg, the same wherever it has had time.

    p V = p_fill V_fill T/T_fill

    Parameters: travel [m]; air, the chamber (its values may be arrays too).
    Returns: absolute pressure times volume [Pa m3].

    >>> air = AirSpring(oil_height=0.11, tube_diameter=0.048, bore=0.044, displaced_volume=55e-6)
    >>> round(shut_in_gas(0.3, air) / air_volume(0.0, 0.3, air))  # filled to what the open air has
    101325

    Source: moran-shapiro, section 3.12, ideal gas (printed, from memory)
    """
    filled = air_volume(0.0, travel, air) + _swollen_volume(air)
    return (STANDARD_ATMOSPHERE + air.gauge_pressure) * filled * air.temperature / air.fill_temperature


def _swollen_volume(air: AirSpring):
    """What the oil has grown by since it was measured [m3]; nothing where its volume is not known."""
    return 0.0 if air.full_volume is None else oil_volume(air) * _swell(air)
