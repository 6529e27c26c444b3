"""The straight front of lesson 09: a spring and a damping that keep shake, travel and frequency within limits."""

from __future__ import annotations

from suspedu.ride import LinearVehicle
from suspedu.ride.linear import natural_frequencies, white_noise_variances
from suspedu.school.designs.design import Design, Number, Reached, Values

ENTRIES = (Number("spring", 4.0, 30.0, "N/mm"), Number("damping", 100.0, 4000.0, "N*s/m"))


def _calm_and_firm(design: Values, given: Values) -> tuple[Reached, ...]:
    """Shake, travel and the body's frequency on random ground."""
    front = LinearVehicle(given["body"], given["wheel"], design["spring"] * 1e3, design["damping"],
                          given["tyre"] * 1e3)
    spread = white_noise_variances(front, given["roughness"])
    return (Reached("the shake", spread["acceleration"] ** 0.5, high=given["most_shake"], unit="m/s^2", digits=3),
            Reached("the r.m.s. travel", 1e3 * spread["travel"] ** 0.5, high=given["most_travel"], unit="mm", digits=2),
            Reached("the body's frequency", float(natural_frequencies(front)[0]), low=given["least_frequency"],
                    unit="Hz", digits=2))


DESIGNS = {"calm-and-firm": Design(ENTRIES, _calm_and_firm)}
