"""The front tyre: its pressure makes most of its rate; it pushes on the ground and never pulls; behind is the rim."""

from __future__ import annotations

import numpy as np

from suspedu.units import part, quantity

GRIPPED = 3e-3  # m of squash over which the damping comes in (guess of the course): no jolt at the first touch


@part(kw_only=True)
class Tyre:
    """A front tyre at its pressure. Casing, rate over pressure and rim are the course's own (guess of the course)."""

    pressure: float = quantity("bar", 0.3, 4, "tyre pressure", "a gauge shows it above that of the open air")
    damping: float = quantity("N*s/m", 0, 2000, "tyre damping")
    width: float = quantity("mm", 20, 150, "mean width of the tyre's contact")
    radius: float = quantity("mm", 150, 500, "tyre radius", default=0.345)
    casing_rate: float = quantity("N/mm", 0, 400, "rate of the tyre without pressure", default=60e3)
    pressure_rate: float = quantity("N/mm/bar", 0, 400, "tyre rate for each bar", default=0.65)
    rim_squash: float = quantity("mm", 10, 200, "squash at which the rim is met", default=0.065)
    rim_rate: float = quantity("N/mm**2", 0, 1000, "stiffening past the rim", default=100e6)

    @property
    def rate(self):
        """Rate of the tyre, k = k_casing + k_bar p [N/m].

        Valid for: 0.6 to 1.4 bar.

        >>> float(Tyre(pressure=1e5, damping=250.0, width=0.046).rate)
        125000.0
        """
        return self.casing_rate + self.pressure_rate * self.pressure


def tyre_force(squash, squash_rate, tyre: Tyre):
    """Force between tyre and ground.

    F = k s + k_rim max(s - s_rim, 0)^2 + c min(s/s_0, 1) s' while s > 0, at least 0

    Parameters: squash s [m], how far the ground reaches into the round tyre; squash_rate s' [m/s]; any shape; tyre.
    Returns: force [N].
    Assumes: a straight spring as far as the rim; the damping comes in over the first s_0 = 3 mm.

    >>> tyre = Tyre(pressure=1e5, damping=250.0, width=0.046)
    >>> [float(tyre_force(s, -1.0, tyre)) for s in (0.01, 0.001, -0.01)]
    [1000.0, 41.66666666666667, 0.0]
    """
    damped = tyre.damping * np.clip(np.divide(squash, GRIPPED), 0.0, 1.0) * squash_rate
    return np.maximum(tyre_spring_force(squash, tyre) + damped, 0.0)[()]


def tyre_spring_force(squash, tyre: Tyre):
    """Force of the tyre at rest [N], casing, pressure and rim, at a squash [m] of any shape; nothing in the air.

    >>> tyre = Tyre(pressure=1e5, damping=250.0, width=0.046)
    >>> [round(float(tyre_spring_force(s, tyre))) for s in (0.01, 0.065, 0.075)]  # 10 mm past the rim: twice the force
    [1250, 8125, 19375]
    """
    borne, past = np.maximum(squash, 0.0), np.maximum(np.subtract(squash, tyre.rim_squash), 0.0)
    return tyre.rate * borne + tyre.rim_rate * past**2


def tyre_energy(squash, tyre: Tyre):
    """Energy held by the tyre [J], k s^2/2 + k_rim (s - s_rim)^3/3, at a squash [m] of any shape; none in the air.

    >>> round(float(tyre_energy(0.01, Tyre(pressure=1e5, damping=250.0, width=0.046))), 9)
    6.25
    """
    borne, past = np.maximum(squash, 0.0), np.maximum(np.subtract(squash, tyre.rim_squash), 0.0)
    return tyre.rate * borne**2 / 2 + tyre.rim_rate * past**3 / 3


def static_squash(load, tyre: Tyre):
    """Squash at which the tyre carries a load at rest [m], for a load [N] of any shape: the inverse of its spring.

    >>> float(static_squash(1250.0, Tyre(pressure=1e5, damping=250.0, width=0.046)))
    0.01
    """
    at_rim = tyre.rate * tyre.rim_squash
    extra = np.maximum(np.subtract(load, at_rim), 0.0)
    past = 2 * extra / (tyre.rate + np.sqrt(tyre.rate**2 + 4 * tyre.rim_rate * extra))
    return np.minimum(load, at_rim) / tyre.rate + past


def contact_length(load, tyre: Tyre):
    """Length on which the tyre stands: a load over its width and over what presses on the ground.

    l = N/((p + k_casing/k_bar) w)

    Parameters: load N [N], any shape; tyre, with pressure p and width w.
    Returns: length [m].
    Assumes: pressure and casing press evenly, each by its share of the rate; a casing counts as so much more pressure.

    >>> tyre = Tyre(pressure=1e5, damping=250.0, width=0.046)
    >>> round(float(contact_length(880.0, tyre)), 4)
    0.0995
    """
    return np.divide(load, tyre.width) * tyre.pressure_rate / tyre.rate
