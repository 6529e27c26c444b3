"""Coil springs: rate and stress from the wire, preload, force and stored energy.

A round wire wound to a helix is a torsion bar: pulling or pushing on the coil
twists the wire. That one picture gives the rate, the stress and the limits.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import numpy as np

from suspedu.parts import Elastic
from suspedu.units import InputError, check_fields, part, quantity, require


@part(kw_only=True)
class CoilSpring:
    """A fork's coil spring as fitted: its rate (given, or from its wire), and the preload it is set to.

    Give either `rate`, or all of `wire`, `mean_diameter`, `active_coils`, `shear_modulus`.
    With `free_length` and the wire known, the height at which the coils touch is guarded too.
    """

    preload: float = quantity("mm", 0, 60, "preload")
    rate: float | None = quantity("N/mm", 0.5, 30, "coil rate", default=None)
    wire: float | None = quantity("mm", 2, 10, "wire diameter", default=None)
    mean_diameter: float | None = quantity("mm", 15, 80, "mean coil diameter", default=None)
    active_coils: float | None = quantity("", 2, 100, "active coils", "fewer than 2 are no spring: EN 13906-1",
                                          default=None)
    dead_coils: float = quantity("", 0, 4, "dead coils", "closed and ground ends have 2 in all", default=2.0)
    shear_modulus: float | None = quantity("GPa", 30, 90, "shear modulus", "steel is near 80 GPa", default=None)
    free_length: float | None = quantity("mm", 100, 700, "free length", default=None)

    def __post_init__(self):
        check_fields(self)
        wire_facts = [self.wire, self.mean_diameter, self.active_coils, self.shear_modulus]
        if self.rate is None and any(fact is None for fact in wire_facts):
            raise InputError("a coil spring needs its rate, or else its wire, mean_diameter, active_coils "
                             "and shear_modulus, all four")
        if self.rate is not None and any(fact is not None for fact in wire_facts):
            raise InputError("a coil spring has a rate or a wire, not both: two answers to one question may differ")
        if self.rate is None:
            require("spring index (mean diameter over wire)", spring_index(self.wire, self.mean_diameter), 3, 25, "",
                    "was the outside or the wire's own diameter taken for the mean diameter?")

    def replaced(self, name: str, value) -> CoilSpring:
        """The spring with another value [SI] by its name; another rate is another spring, without wire."""
        if name == "rate":
            return CoilSpring(preload=self.preload, rate=value)
        return dataclasses.replace(self, **{name: value})


def coil_rate(wire, mean_diameter, active_coils, shear_modulus):
    """Rate of a helical spring of round wire, from the twist of the wire.

    k = G d^4 / (8 D^3 N_a)

    Parameters: wire d [m], mean_diameter D [m], active_coils N_a [1], shear_modulus G [Pa]; any shape.
    Returns: rate [N/m].
    Assumes: close-coiled (small pitch angle), so the wire is twisted and hardly bent.

    >>> round(coil_rate(4.8e-3, 36e-3, 28, 79.5e9))
    4038

    Source: shigley, section 10-3, eq. 10-9; en-13906-1, rate of a compression spring (printed, from memory)
    """
    return shear_modulus * wire**4 / (8 * mean_diameter**3 * active_coils)


def spring_rate(spring: CoilSpring):
    """Rate of a fitted spring [N/m]: the given one, or that of its wire.

    >>> spring_rate(CoilSpring(preload=0.004, rate=4200.0))
    4200.0
    """
    if spring.rate is not None:
        return spring.rate
    return coil_rate(spring.wire, spring.mean_diameter, spring.active_coils, spring.shear_modulus)


def spring_index(wire, mean_diameter):
    """How tightly the wire is wound, C = D / d [1], for wire and mean_diameter [m] of any shape.

    >>> round(spring_index(0.004, 0.032), 9)
    8.0

    Source: shigley, section 10-1, eq. 10-1 (printed, from memory)
    """
    return mean_diameter / wire


def wahl_factor(index):
    """Stress at the inside of the coil over that of a straight bar: curvature and direct shear together.

    K_W = (4C - 1)/(4C - 4) + 0.615/C

    Parameters: index C [1], any shape, above 1. Returns: factor [1].

    >>> round(float(wahl_factor(5.0)), 4)
    1.3105

    Source: shigley, section 10-2, eq. 10-4; wahl, round-wire helical springs (printed, from memory)
    """
    return (4 * index - 1) / (4 * index - 4) + 0.615 / index


def bergstraesser_factor(index):
    """The standards' simpler factor for the same thing, within 1 % of `wahl_factor` for usual springs.

    K_B = (4C + 2)/(4C - 3) = (C + 0.5)/(C - 0.75)

    Parameters: index C [1], any shape, above 0.75. Returns: factor [1].

    >>> round(float(bergstraesser_factor(5.0)), 4)
    1.2941

    Source: shigley, section 10-2, eq. 10-5; en-13906-1, stress correction factor (printed, from memory)
    """
    return (index + 0.5) / (index - 0.75)


def shear_stress(force, wire, mean_diameter, factor: Callable = wahl_factor):
    """Greatest shear stress in the wire, at the inside of the coil.

    tau = K 8 F D / (pi d^3)

    Parameters: force [N], wire d [m], mean_diameter D [m], any shape; factor, a function of the spring index.
    Returns: stress [Pa].

    >>> round(shear_stress(1300.0, 4.8e-3, 36e-3) / 1e6)
    1290

    Source: shigley, section 10-2, eq. 10-7 (printed, from memory)
    """
    return factor(spring_index(wire, mean_diameter)) * 8 * force * mean_diameter / (np.pi * wire**3)


def solid_height(wire, active_coils, dead_coils=2.0):
    """Length at which the coils touch, L_s = d (N_a + N_dead), for ground ends.

    Parameters: wire [m], active_coils [1], dead_coils [1]; any shape. Returns: length [m].

    >>> round(solid_height(4.8e-3, 28), 4)
    0.144

    Source: shigley, table 10-1, squared and ground ends (printed, from memory)
    """
    return wire * (active_coils + dead_coils)


def coil_room(spring: CoilSpring):
    """How far the spring can be squeezed before its coils touch [m]; without limit where its wire is not known.

    >>> coil_room(CoilSpring(preload=0.0, rate=4200.0))
    inf
    """
    if spring.free_length is None or spring.wire is None:
        return np.inf
    return spring.free_length - solid_height(spring.wire, spring.active_coils, spring.dead_coils)


def coil_force(stroke, spring: CoilSpring):
    """Force of a coil spring that is squeezed by the stroke and by its preload; it never pulls.

    F = k (x + preload), at least 0

    Parameters: stroke x [m], any shape; spring, with rate k. Returns: force [N].

    >>> round(float(coil_force(0.1, CoilSpring(preload=0.005, rate=4200.0))), 9)
    441.0
    """
    return np.maximum(spring_rate(spring) * (stroke + spring.preload), 0.0)


def coil_energy(stroke, spring: CoilSpring):
    """Energy held by a coil spring, counted from its free length: preload alone already stores some.

    E = k (x + preload)^2 / 2, and nothing where the spring is loose

    Parameters: stroke x [m], any shape; spring, with rate k. Returns: energy [J].

    >>> round(float(coil_energy(0.3, CoilSpring(preload=0.005, rate=4200.0))), 2)
    195.35
    """
    return spring_rate(spring) * np.maximum(stroke + spring.preload, 0.0) ** 2 / 2


def coil_element(spring: CoilSpring) -> Elastic:
    """A fitted coil spring as an elastic element; of one rate at every stroke that squeezes it.

    >>> coil_element(CoilSpring(preload=0.005, rate=4200.0)).rate([0.0, 0.1]).tolist()
    [4200.0, 4200.0]
    """
    return Elastic(lambda stroke: coil_force(stroke, spring),
                   lambda stroke: np.where(np.add(stroke, spring.preload) >= 0.0, spring_rate(spring), 0.0),
                   lambda stroke: coil_energy(stroke, spring))
