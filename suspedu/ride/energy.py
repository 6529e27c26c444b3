"""Where the energy of a ride goes: an account that must close."""

from __future__ import annotations

import numpy as np

from suspedu.parts.stops import bumper_energy, metal_energy, top_out_energy
from suspedu.parts.tyre import tyre_energy
from suspedu.ride.rider import limb_energy
from suspedu.ride.simulate import Ride
from suspedu.ride.vehicle import LEGS, ForkLaw
from suspedu.units import STANDARD_GRAVITY

DISSIPATED = ("damper", "end stop", "friction", "tyre", "bumper", "limbs")  # in the order of the loop's energies
PUT_IN = ("ground", "load")  # and its last two


def spring_energy(stroke, fork: ForkLaw):
    """Energy in the springs from full extension: exact integral of the table's straight pieces [J].

    Parameters: stroke [any shape, m]; fork. Returns: energy [J], the same shape.

    >>> from suspedu.ride.engine import example
    >>> round(float(spring_energy(0.1, example()[1])), 6)  # k x^2/2 of a straight spring of 10 N/mm
    50.0
    """
    x = np.asarray(stroke, dtype=float)
    step = fork.strokes[1] - fork.strokes[0]
    force = np.asarray(fork.spring_force, dtype=float)
    at_nodes = np.concatenate([[0.0], np.cumsum((force[1:] + force[:-1]) * step / 2)])
    j = np.clip((x - fork.strokes[0]) // step, 0, len(fork.strokes) - 2).astype(int)
    past = x - fork.strokes[j]
    return at_nodes[j] + force[j] * past + (force[j + 1] - force[j]) / step * past**2 / 2


def elastic_energies(stroke, fork: ForkLaw) -> dict:
    """Energy in springs, top-out springs, bumpers and metal [J] at a stroke [any shape, m]."""
    return {"springs": spring_energy(stroke, fork),
            "top-out": sum(top_out_energy(stroke, each) for each in fork.top_outs),
            "bumper": sum(bumper_energy(stroke, fork.travel, each) for each in fork.bumpers),
            "metal": LEGS * metal_energy(stroke, fork.travel)}


def elastic_energy(stroke, fork: ForkLaw):
    """Energy in all that gives it back [J] at a stroke [any shape, m].

    >>> from suspedu.ride.engine import example
    >>> law = example()[1]
    >>> round(float(elastic_energy(0.2, law) - elastic_energy(0.1, law)), 6)  # 10 N/mm from 100 to 200 mm
    150.0
    """
    return sum(elastic_energies(stroke, fork).values())


def energy_account(ride: Ride) -> dict:
    """Energies over time [n, J]: kinetic, potential, stored per element, dissipated per element, put in.

    kinetic + potential + stored + dissipated - put in = constant

    Returns: dict of arrays [n, J]; "imbalance" is what the account does not explain, against its start.
    Source: derivation, work-energy theorem (computed by derivation)
    """
    names = [f"{name}, dissipated" for name in DISSIPATED] + [f"{name}, put in" for name in PUT_IN]
    signs = np.array([1] * len(DISSIPATED) + [-1] * len(PUT_IN))
    kinetic, potential = _of_masses(ride)
    stored = _stored(ride)
    total = kinetic + potential + sum(stored.values()) + ride.energies @ signs
    return {"kinetic": kinetic, "potential": potential,
            **{f"{k}, stored": e for k, e in stored.items()},
            **dict(zip(names, ride.energies.T, strict=True)),
            "imbalance": total - total[0]}


def _of_masses(ride: Ride):
    """Kinetic and potential energy [n, J] of chassis, wheel and rider."""
    v, body = ride.vehicle, 0.0 if ride.vehicle.rider is None else ride.vehicle.rider.mass
    kinetic = 0.5 * (v.sprung_mass * ride.sprung_velocity**2 + v.unsprung_mass * ride.wheel_velocity**2
                     + body * ride.rider_velocity**2)
    return kinetic, STANDARD_GRAVITY * (v.sprung_mass * ride.sprung_height + v.unsprung_mass * ride.wheel_height
                                        + body * ride.rider_height)


def _stored(ride: Ride) -> dict:
    v, fork = ride.vehicle, ride.fork
    limbs = {} if v.rider is None else {"limbs": limb_energy(ride.sprung_height - ride.rider_height, v.rider)}
    return {**elastic_energies(ride.stroke, fork),
            "tyre": tyre_energy(ride.road - ride.wheel_height, v.tyre), **limbs}
