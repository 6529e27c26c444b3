"""The front tyre: a spring and a damper that push on the ground and never pull."""

from __future__ import annotations

import numpy as np

from suspedu.units import part, quantity


@part(kw_only=True)
class Tyre:
    """A front tyre at its pressure, rolling on a contact length."""

    rate: float = quantity("N/mm", 50, 400, "tyre rate")
    damping: float = quantity("N*s/m", 0, 2000, "tyre damping")
    contact_length: float = quantity("mm", 20, 250, "tyre contact length")
    radius: float = quantity("mm", 150, 500, "tyre radius", default=0.345)


def tyre_force(squash, squash_rate, tyre: Tyre):
    """Force between tyre and ground.

    F = k s + c s' while s > 0, at least 0

    Parameters: squash s [m], how far the ground reaches into the round tyre; squash_rate s' [m/s]; any shape; tyre.
    Returns: force [N].
    Assumes: a straight spring; a tyre in the air pushes on nothing.

    >>> tyre = Tyre(rate=130e3, damping=250.0, contact_length=0.11)
    >>> [float(tyre_force(s, -1.0, tyre)) for s in (0.01, 0.001, -0.01)]
    [1050.0, 0.0, 0.0]
    """
    touching = np.greater(squash, 0.0)
    return np.where(touching, np.maximum(tyre.rate * squash + tyre.damping * squash_rate, 0.0), 0.0)[()]


def tyre_energy(squash, tyre: Tyre):
    """Energy held by the tyre, k s^2/2 [J], at a squash [m] of any shape; none in the air.

    >>> round(float(tyre_energy(0.01, Tyre(rate=130e3, damping=250.0, contact_length=0.11))), 9)
    6.5
    """
    return tyre.rate * np.maximum(squash, 0.0) ** 2 / 2


def static_squash(load, tyre: Tyre):
    """Squash at which the tyre carries a load at rest, s = F/k [m], for a load [N] of any shape.

    >>> static_squash(1300.0, Tyre(rate=130e3, damping=250.0, contact_length=0.11))
    0.01
    """
    return load / tyre.rate
