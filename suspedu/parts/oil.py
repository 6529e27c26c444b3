"""Fork oil: viscosity, density, vapour pressure and stiffness, each from the state of the oil.

Labels such as "5W" are not a viscosity. Everything here starts from two measured
kinematic viscosities, at 40 and at 100 degC, as a data sheet prints them.
"""

from __future__ import annotations

import numpy as np

from suspedu.units import STANDARD_ATMOSPHERE, InputError, check_fields, part, quantity, require, shown

HOTTEST = 473.15  # K, 200 degC: above it a fork oil burns off or breaks down
SHEET_TEMPERATURES = (313.15, 373.15)  # K, the 40 and 100 degC of every data sheet
DENSITY_TEMPERATURE = 288.15  # K, the 15 degC at which data sheets give the density
# Mid-point [mm2/s] of each grade by its number (printed, from memory)
ISO_GRADES = {2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8, 10: 10, 15: 15, 22: 22, 32: 32, 46: 46, 68: 68, 100: 100, 150: 150,
              220: 220, 320: 320, 460: 460, 680: 680, 1000: 1000, 1500: 1500}


@part
class Oil:
    """An oil as its data sheet describes it; the last four values default to a common mineral oil."""

    viscosity_40: float = quantity("mm**2/s", 2, 1500, "oil viscosity at 40 degC")
    viscosity_100: float = quantity("mm**2/s", 0.8, 200, "oil viscosity at 100 degC")
    density_15: float = quantity("kg/m**3", 700, 1100, "oil density at 15 degC", default=870.0)
    expansion: float = quantity("1/K", 5e-4, 12e-4, "thermal expansion of the oil", default=8e-4)
    bulk_modulus: float = quantity("GPa", 0.8, 2.5, "bulk modulus of the oil", default=1.6e9)
    pour_point: float = quantity("degC", -75, 15, "pour point of the oil", default=233.15)

    def __post_init__(self):
        check_fields(self)
        if self.viscosity_100 >= self.viscosity_40:
            cold, hot = shown(self.viscosity_40, "mm**2/s"), shown(self.viscosity_100, "mm**2/s")
            raise InputError(f"oil viscosity is {cold} at 40 degC but {hot} at 100 degC; "
                             "oil thins as it warms (were the two values swapped?)")


def kinematic_viscosity(temperature, oil: Oil):
    """Kinematic viscosity of an oil, on the Walther line through its two sheet values.

    nu = 10^10^(A - B log10 T) - 0.7, nu in mm2/s

    Parameters: temperature [any shape, K]; oil.
    Returns: viscosity [same shape, m2/s].
    Raises: InputError below the pour point and above 200 degC.

    >>> round(float(kinematic_viscosity(293.15, Oil(15e-6, 3.5e-6))) * 1e6, 1)  # mm2/s: more than twice that at 40 degC
    33.1

    Source: astm-d341, equation with the constant 0.7 (printed, from memory)
    """
    kelvin = _oil_temperature(temperature, oil)
    a, b = walther_coefficients((oil.viscosity_40, oil.viscosity_100), SHEET_TEMPERATURES)
    return (10.0 ** 10.0 ** (a - b * np.log10(kelvin)) - 0.7) * 1e-6


def _oil_temperature(temperature, oil: Oil):
    cold = np.asarray(temperature) < oil.pour_point
    slip = "oil below its pour range does not flow" if np.any(cold) else "is this in kelvin, and is the oil still oil?"
    return np.asarray(require("oil temperature", temperature, oil.pour_point, HOTTEST, "degC", slip), dtype=float)


def walther_coefficients(viscosities, temperatures) -> tuple[float, float]:
    """Coefficients A, B of the Walther line through two points.

    log10 log10(nu + 0.7) = A - B log10 T, nu in mm2/s

    Parameters: viscosities [2, m2/s], temperatures [2, K].
    Returns: A [-] and B [-].
    Valid for: nu above 2 mm2/s; below, ASTM D341 adds terms that reach 0.3 % of nu at 1.5 mm2/s.

    >>> a, b = walther_coefficients((32e-6, 5.4e-6), (313.15, 373.15))
    >>> round(a, 3), round(b, 3)
    (9.531, 3.747)

    Source: astm-d341, equation with the constant 0.7 (printed, from memory)
    """
    heights = np.log10(np.log10(np.asarray(viscosities) * 1e6 + 0.7))
    places = np.log10(np.asarray(temperatures))
    slope = (heights[0] - heights[1]) / (places[1] - places[0])
    return float(heights[0] + slope * places[0]), float(slope)


def density(temperature, oil: Oil):
    """Density of an oil, falling linearly with temperature.

    rho = rho_15 (1 - expansion (T - 288.15 K))

    Parameters: temperature [any shape, K]; oil.
    Returns: density [same shape, kg/m3].
    Assumes: atmospheric pressure; a fork's few bar change it by under 0.1 %.

    >>> round(float(density(333.15, Oil(15e-6, 3.5e-6))), 1)
    838.7

    Source: merritt, section 2-2 (printed, from memory)
    """
    return oil.density_15 * (1.0 - oil.expansion * (_oil_temperature(temperature, oil) - DENSITY_TEMPERATURE))


def dynamic_viscosity(temperature, oil: Oil):
    """Dynamic viscosity of an oil, mu = nu rho.

    Parameters: temperature [any shape, K]; oil.
    Returns: viscosity [same shape, Pa s].

    >>> round(float(dynamic_viscosity(313.15, Oil(15e-6, 3.5e-6))), 5)
    0.01279

    Source: merritt, section 2-3 (printed, from memory)
    """
    return kinematic_viscosity(temperature, oil) * density(temperature, oil)


def vapour_pressure(temperature):
    """Vapour pressure of a light mineral oil, with n-hexadecane standing in for its lightest part.

    ln(p/p_c) = (A t + B t^1.5 + C t^2.5 + D t^5) T_c/T, t = 1 - T/T_c (Wagner)

    Parameters: temperature [any shape, K].
    Returns: pressure [same shape, Pa]: next to nothing beside one atmosphere.
    Valid for: 240 to 500 K; coefficients fitted from 291 K upwards.
    Assumes: order of magnitude only. A real oil lets dissolved *air* out long before it boils; that is not in here.

    >>> round(float(vapour_pressure(353.15)), 1)
    26.6

    Source: poling, appendix A (computed by chemicals: its coefficients of n-hexadecane)
    """
    reduced = np.asarray(require("temperature", temperature, 240.0, 500.0, "degC"), dtype=float) / 722.0
    t = 1.0 - reduced
    return 1.435e6 * np.exp((-10.03664 * t + 3.41426 * t**1.5 - 6.8627 * t**2.5 - 4.863 * t**5) / reduced)


def effective_bulk_modulus(pressure_abs, oil: Oil, air_fraction, *, polytropic: float = 1.4):
    """Bulk modulus of oil that carries free air: a little air makes it soft until pressure squeezes it small.

    1/B = (V_oil/B_oil + V_air/(n p)) / (V_oil + V_air), V_air = a (p_atm/p)^(1/n), V_oil = 1 - a

    Parameters: pressure_abs [any shape, Pa]; oil; air_fraction a [any shape, -], share of volume at one atmosphere;
        polytropic n [-], 1.4 for a fast stroke, 1 for a slow one.
    Returns: bulk modulus [broadcast shape, Pa].
    Assumes: the air stays free; Henry's-law dissolving, which stiffens the oil over seconds, is left out.

    >>> round(float(effective_bulk_modulus(2e5, Oil(15e-6, 3.5e-6), 0.01)) / 1e6)  # 1 % of air: 1600 MPa drop to
    44

    Source: merritt, section 2-4; manring, section on effective bulk modulus (printed, from memory)
    """
    pressure = np.asarray(require("absolute pressure", pressure_abs, 1e2, 1e9, "bar", "is it a gauge pressure?"))
    air = np.asarray(require("air fraction", air_fraction, 0.0, 0.5))
    air_now = air * (STANDARD_ATMOSPHERE / pressure) ** (1.0 / polytropic)
    oil_now = 1.0 - air
    return (oil_now + air_now) / (oil_now / oil.bulk_modulus + air_now / (polytropic * pressure))


def iso_grade(viscosity_40: float) -> str:
    """Name of the ISO 3448 grade that holds a viscosity, or an empty text where it falls between two grades.

    0.9 mid-point <= nu_40 <= 1.1 mid-point

    Parameters: viscosity_40 [scalar, m2/s].
    Returns: text such as "ISO VG 15".

    >>> iso_grade(15.8e-6), iso_grade(18.5e-6)
    ('ISO VG 15', '')

    Source: iso-3448, table 1 (printed, from memory)
    """
    require("oil viscosity at 40 degC", viscosity_40, 1e-7, 1e-2, "mm**2/s")
    edge = 1e-9  # so that 16.5 mm2/s, a limit in decimal digits, is not lost to binary rounding
    for name, middle in ISO_GRADES.items():
        if abs(viscosity_40 * 1e6 / middle - 1.0) <= 0.1 + edge:
            return f"ISO VG {name}"
    return ""


# L and H of ASTM D2270 as polynomials of Y = nu_100 [mm2/s] above each Y in the first column (printed, from memory);
# a test holds them to the table of the standard as the library `chemicals` carries it (within 0.1 %).
_L_AND_H = np.array([
    (2.0, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077),
    (3.8, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183),
    (4.4, 2.50000, -7.2143, 13.812, 0.82143, 1.5679, 0.119),
    (5.0, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557),
    (6.4, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656),
    (7.0, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610),
    (7.7, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240),
    (9.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810),
    (12.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490),
    (15.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930),
    (18.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730),
    (22.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230),
    (28.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750),
    (40.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620),
    (55.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940),
    (70.0, 0.83531, 14.6731, -216.246, 0.16841, 11.8493, -96.947)])


def viscosity_index(viscosity_40, viscosity_100):
    """Viscosity index of an oil: how little it thins between 40 and 100 degC.

    A: VI = 100 (L - nu_40)/(L - H); B, where nu_40 < H: VI = 100 + (10^N - 1)/0.00715, N = ln(H/nu_40)/ln nu_100

    Parameters: viscosity_40, viscosity_100 [any shape, m2/s].
    Returns: index [broadcast shape, -], not rounded (a data sheet rounds to whole numbers).
    Valid for: nu_100 from 2 mm2/s, where the standard begins.

    >>> round(float(viscosity_index(73.30e-6, 8.86e-6)))
    92

    Source: astm-d2270, procedures A and B (printed, from memory)
    """
    y = np.asarray(require("oil viscosity at 100 degC", viscosity_100, 2e-6, 1e-3, "mm**2/s")) * 1e6
    u = np.asarray(require("oil viscosity at 40 degC", viscosity_40, 2e-6, 1e-1, "mm**2/s")) * 1e6
    row = _L_AND_H[np.searchsorted(_L_AND_H[:, 0], y, side="right") - 1]
    powers = np.stack([y * y, y, np.ones_like(y)], axis=-1)
    low, high = (row[..., 1:4] * powers).sum(-1), (row[..., 4:7] * powers).sum(-1)
    by_b = 100.0 + (10.0 ** (np.log(high / u) / np.log(y)) - 1.0) / 0.00715
    return np.where(u >= high, 100.0 * (low - u) / (low - high), by_b)
