"""Where the energy of a ride goes: an account that must close."""

from __future__ import annotations

import numpy as np

from suspedu.parts.stops import bumper_energy, top_out_energy
from suspedu.parts.tyre import tyre_energy
from suspedu.ride.simulate import Ride
from suspedu.ride.vehicle import ForkLaw
from suspedu.units import STANDARD_GRAVITY

DISSIPATED = ("damper", "end stop", "friction", "tyre")  # in the order of the loop's states 4 to 7
PUT_IN = ("ground", "load")  # states 8 and 9


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


def energy_account(ride: Ride) -> dict:
    """Energies over time [n, J]: kinetic, potential, stored per element, dissipated per element, put in.

    kinetic + potential + stored + dissipated - put in = constant

    Returns: dict of arrays [n, J]; "imbalance" is what the account does not explain, against its start.
    Source: derivation, work-energy theorem (computed by derivation)
    """
    v, fork = ride.vehicle, ride.fork
    kinetic = 0.5 * (v.sprung_mass * ride.sprung_velocity**2 + v.unsprung_mass * ride.wheel_velocity**2)
    potential = STANDARD_GRAVITY * (v.sprung_mass * ride.sprung_height + v.unsprung_mass * ride.wheel_height)
    stored = {"springs": spring_energy(ride.stroke, fork),
              "top-out": sum(top_out_energy(ride.stroke, each) for each in fork.top_outs),
              "bumper": sum(bumper_energy(ride.stroke, fork.travel, each) for each in fork.bumpers),
              "tyre": tyre_energy(ride.road - ride.wheel_height, v.tyre)}
    names = [f"{name}, dissipated" for name in DISSIPATED] + [f"{name}, put in" for name in PUT_IN]
    total = kinetic + potential + sum(stored.values()) + ride.energies @ np.array([1, 1, 1, 1, -1, -1])
    return {"kinetic": kinetic, "potential": potential,
            **{f"{k}, stored": e for k, e in stored.items()},
            **dict(zip(names, ride.energies.T, strict=True)),
            "imbalance": total - total[0]}
