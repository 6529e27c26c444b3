"""Restrictions: how much oil passes a hole, a needle or a gap for a given pressure drop.

Two causes of a pressure drop stand in series in every real passage: friction along its walls (proportional to
flow and viscosity) and the jet that is thrown away behind it (proportional to flow squared and density).
"""

from __future__ import annotations

import numpy as np

from suspedu.units import InputError, from_si, require

FREE_STREAMLINE = np.pi / (np.pi + 2)  # contraction of a jet behind a sharp slit, 0.611


def orifice_flow(pressure_drop, area, density, *, viscosity=0.0, resistance=0.0, discharge=0.61):
    """Flow through an orifice with a laminar passage in series.

    dp = R mu Q + (rho/2) (Q / (Cd A))^2, solved for its positive root; R = 0 is the sharp orifice Cd A sqrt(2 dp/rho).

    Parameters: pressure_drop [any shape, Pa], of either sign; area [any shape, m2]; density [kg/m3];
    viscosity, dynamic [Pa s]; resistance [1/m3], of the passage; discharge, coefficient of the jet [-].
    Returns: flow [m3/s], with the sign of the pressure drop.
    Assumes: steady flow without cavitation in the jet.

    >>> round(float(orifice_flow(1e6, 1e-6, 850.0)) * 1e6, 2)  # cm3/s through one square millimetre at 10 bar
    29.59

    Source: merritt, section 3-2 to 3-4 (printed, from memory)
    """
    drop, conductance = np.abs(pressure_drop), discharge * np.asarray(area, dtype=float)
    wall = resistance * viscosity * conductance
    # The textbook root (-b + sqrt(b^2 + 4ac)) / 2a loses all its digits in creeping flow; this form of it does not.
    below = wall + np.sqrt(wall * wall + 2.0 * density * drop)
    return np.sign(pressure_drop) * 2.0 * drop * conductance / np.where(below > 0.0, below, 1.0)


def orifice_drop(flow, area, density, *, viscosity=0.0, resistance=0.0, discharge=0.61):
    """Pressure drop of an orifice with a laminar passage in series: the inverse of `orifice_flow`.

    dp = R mu Q + (rho/2) (Q / (Cd A))^2

    Parameters: flow [any shape, m3/s], of either sign; area [any shape, m2], above zero; density [kg/m3];
    viscosity, dynamic [Pa s]; resistance [1/m3], of the passage; discharge, coefficient of the jet [-].
    Returns: pressure drop [Pa], with the sign of the flow.

    >>> round(float(orifice_drop(29.59e-6, 1e-6, 850.0)) / 1e5, 1)  # bar
    10.0

    Source: merritt, section 3-2 to 3-4 (printed, from memory)
    """
    jet = flow / (discharge * np.asarray(area, dtype=float))
    return resistance * viscosity * flow + 0.5 * density * jet * np.abs(jet)


def bore_area(diameter, count=1):
    """Area of equal round holes: n pi d^2 / 4.

    Parameters: diameter [any shape, m]; count of holes [-]. Returns: area [m2].

    >>> round(bore_area(2e-3, 4) * 1e6, 2)  # mm2
    12.57
    """
    return count * np.pi / 4.0 * diameter**2


def bore_resistance(diameter, length, count=1):
    """Laminar resistance of equal round bores side by side: R = 128 L / (n pi d^4), in dp = R mu Q.

    Parameters: diameter, length [any shape, m]; count of bores [-]. Returns: resistance [1/m3].
    Valid for: Reynolds numbers below about 2000 in the bore (friction factor 64/Re).

    >>> round(bore_resistance(2e-3, 5e-3) * 0.01 * 1e-5 / 1e5, 4)  # bar for 10 cm3/s of oil at 0.01 Pa s
    0.0127

    Source: merritt, section 3-1 (printed, from memory)
    """
    return 128.0 * length / (count * np.pi * diameter**4)


def clearance_resistance(diameter, gap, length, eccentricity=0.0):
    """Laminar resistance of the ring gap round a piston: R = 12 L / (pi D c^3 (1 + 1.5 e^2)), in dp = R mu Q.

    Parameters: diameter, gap (radial, when centred), length [any shape, m]; eccentricity [-], 0 centred, 1 touching.
    Returns: resistance [1/m3].
    Raises: InputError for a gap that is not above zero or an eccentricity outside 0 to 1.
    Valid for: a gap small against the diameter.

    >>> round(float(clearance_resistance(0.02, 5e-5, 0.01) / clearance_resistance(0.02, 5e-5, 0.01, 1.0)), 3)
    2.5

    Source: merritt, section 3-1; piercy-1933 (printed, from memory)
    """
    require("radial clearance", gap, 1e-7, 5e-3, "mm")
    require("eccentricity", eccentricity, 0.0, 1.0)
    return 12.0 * length / (np.pi * diameter * gap**3 * (1.0 + 1.5 * np.square(eccentricity)))


def needle_lift(clicks, pitch, last_click):
    """Lift of a needle that is counted out from gently closed: s = clicks x pitch.

    Parameters: clicks out [any shape, -]: 0 is closed, more = softer; pitch [m], lift per click;
    last_click [-], where the screw ends. Returns: lift [m].
    Raises: InputError for clicks below zero or past the end.

    >>> round(needle_lift(12, 6e-5, 24) * 1e3, 2)  # mm
    0.72
    """
    slip = "clicks are counted out from gently closed; beyond the last click the screw comes out of its thread"
    require("clicks out", clicks, 0, last_click, slip=slip)
    return clicks * pitch


def needle_area(lift, seat_diameter, cone_angle, travel=np.inf):
    """Free area between a conical needle and its seat: the smallest cone frustum, never above the bore's own area.

    A = pi s sin(a/2) (d - s sin(a/2) cos(a/2))

    Parameters: lift s [any shape, m]; seat_diameter d [m]; cone_angle a, whole angle [rad]; travel [m], its last lift.
    Returns: area [m2].
    Raises: InputError for a lift below zero or beyond the needle's travel.

    >>> round(float(needle_area(5e-4, 3e-3, np.radians(30.0))) * 1e6, 5)  # mm2
    1.16884

    Source: merritt, table 5-1, poppet with a conical seat (printed, from memory)
    """
    require("needle lift", lift, 0.0, travel, "mm", "the needle has left its seat's range")
    side, half = lift * np.sin(cone_angle / 2.0), cone_angle / 2.0
    clear = seat_diameter / (2.0 * np.sin(half) * np.cos(half))  # here the frustum's area has its maximum
    side = np.minimum(side, clear * np.sin(half))
    return np.minimum(np.pi * side * (seat_diameter - side * np.cos(half)), bore_area(seat_diameter))


def reynolds_number(flow, wetted_perimeter, kinematic_viscosity):
    """Reynolds number on the hydraulic diameter 4A/P: Re = V (4A/P) / nu = 4 Q / (P nu); the area cancels.

    Parameters: flow [any shape, m3/s]; wetted_perimeter P [m], all walls; kinematic_viscosity [m2/s].
    Returns: Reynolds number [-].

    >>> round(float(reynolds_number(2e-5, np.pi * 2e-3, 1e-5)))  # a 2 mm hole
    1273

    Source: merritt, section 3-1 (printed, from memory)
    """
    return 4.0 * np.abs(flow) / (wetted_perimeter * kinematic_viscosity)


def clicks_for_area(area, pitch, seat_diameter, cone_angle):
    """Clicks out at which a conical needle frees a given area: the root of `needle_area` (a quadratic) over the pitch.

    Parameters: area [any shape, m2]; pitch [m]; seat_diameter [m]; cone_angle [rad].
    Returns: clicks [-], not rounded.
    Raises: InputError for an area above the bore's own.

    >>> round(float(clicks_for_area(1.16884e-6, 5e-5, 3e-3, np.radians(30.0))), 2)
    10.0

    Source: merritt, table 5-1 (printed, from memory)
    """
    if np.any(np.asarray(area) > bore_area(seat_diameter)):
        raise InputError(f"area {from_si(float(np.max(area)), 'mm^2'):.4g} mm² is more than the whole seat")
    half = cone_angle / 2.0
    below = seat_diameter + np.sqrt(seat_diameter**2 - 4.0 * np.cos(half) * np.asarray(area) / np.pi)
    return 2.0 * np.asarray(area) / np.pi / below / np.sin(half) / pitch


def bore_end_resistance(diameter, count=1):
    """Laminar resistance of the sharp ends of equal round bores side by side: R = 24 / (n d^3), in dp = R mu Q.

    Creeping oil drops so much through a hole in a plate of no thickness; a bore of some length adds its walls.

    Parameters: diameter [any shape, m]; count of bores [-]. Returns: resistance [1/m3].
    Valid for: Reynolds numbers below about 1; at larger ones the jet's part hides it.

    >>> round(bore_end_resistance(2e-3) / bore_resistance(2e-3, 5e-3), 2)
    0.24

    Source: happel-brenner, section 4-29, flow through a circular aperture; dagan-1982 (printed, from memory)
    """
    return 24.0 / (count * diameter**3)


def slit_end_resistance(gap, width):
    """Laminar resistance of the sharp ends of a slit: R = 32 / (pi b^2 w), in dp = R mu Q.

    Parameters: gap b [any shape, m], above zero; width w [m], along the slit. Returns: resistance [1/m3].
    Valid for: a gap small against the width; Reynolds numbers below about 1.

    >>> round(float(slit_end_resistance(0.05e-3, 0.05)) / 1e9, 1)  # Pa s/m3, per thousandth of a Pa s: 1/mm3
    81.5

    Source: merritt, section 3-4 (printed, from memory)
    """
    return 32.0 / (np.pi * np.square(gap) * width)
