"""Clicks, a float and springs, chosen so that a leg's forces, its pressures and its way back are as wanted."""

from __future__ import annotations

import numpy as np

from suspedu.machine import damped_leg, rebound_damping_ratio, rider_sag
from suspedu.school.designs.design import Design, Number, Reached, Values, near
from suspedu.school.machines import set_machine

PLACE = 0.1  # m of stroke
SLOW, FAST, SUPPORT, HARD = 0.15, 2.0, 1.0, 4.0  # m/s
SHARE = 0.03  # of a force, either way (guess of the course)
ROOM = 4.0  # bar above what is needed (guess of the course)
LOW = Number("low", 0, 24, "clicks", whole=True)
HIGH = Number("high", 0, 20, "clicks", whole=True)
REBOUND = Number("rebound", 0, 24, "clicks", whole=True)
RATE = Number("rate", 3.0, 5.4, "N/mm")


def _leg(velocity: np.ndarray, **sheet):
    return damped_leg(set_machine("enduro", **sheet).legs[0], PLACE, velocity)


def _two_forces(design: Values, given: Values) -> tuple[Reached, ...]:
    """Compression force of one leg, slow and fast."""
    sheet = {"compression_low": design["low"], "compression_high": design["high"],
             "oil_temperature": given["temperature"]}
    forces = _leg(np.array([SLOW, FAST]), **sheet).damping_force
    return tuple(near(f"the force at {speed:g} m/s", force, given[wanted], SHARE, "N")
                 for speed, force, wanted in zip((SLOW, FAST), forces, ("slow_force", "fast_force"), strict=True))


def _support_and_margin(design: Values, given: Values) -> tuple[Reached, ...]:
    """Support at medium speed, and what is left of the pressure above the piston on a hard landing."""
    sheet = {"mid_float": design["gap"], "compression_high": design["high"], "oil_temperature": given["temperature"]}
    leg, least = _leg(np.array([SUPPORT, HARD]), **sheet), given["least_margin"]
    margin = float(leg.margin[1]) / 1e5
    return (near("the force at 1 m/s", leg.damping_force[0], given["support"], SHARE, "N"),
            Reached("the margin at 4 m/s", margin, least, least + ROOM, "bar"))


def _sag_and_ratio(design: Values, given: Values) -> tuple[Reached, ...]:
    """Rider sag and damping ratio of the way back, for a rider."""
    fork = set_machine("enduro", coil_rate=design["rate"], rebound=design["rebound"], rider_mass=given["rider"])
    sag, ratio = 1e3 * float(rider_sag(fork)), rebound_damping_ratio(fork)
    return (Reached("the rider sag", sag, given["wanted_sag"] - 1.0, given["wanted_sag"] + 1.0, "mm"),
            Reached("the damping ratio", ratio, given["wanted_ratio"] - 0.05, given["wanted_ratio"] + 0.05, digits=2))


DESIGNS = {"two-forces": Design((LOW, HIGH), _two_forces),
           "support-and-margin": Design((Number("gap", 0.05, 0.6, "mm"), HIGH), _support_and_margin),
           "sag-and-ratio": Design((RATE, REBOUND), _sag_and_ratio)}
