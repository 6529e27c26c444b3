"""The rider on arms and legs: a mass of its own over the bars and pegs, on a spring and a damper."""

from __future__ import annotations

import numpy as np

from suspedu.units import STANDARD_GRAVITY, InputError, nearest, part, quantity

POSTURES = {"standing": (2.75, 0.4), "sitting": (5.0, 0.35)}  # natural frequency [Hz], damping ratio [-]


@part
class RiderOnLegs:
    """The front share of a rider, whom arms and legs carry.

    Assumes: limbs are straight laws; they pull too (hands hold on), and past their range body meets machine, at a
    rate many times theirs. Damping ratios, range and end rate are a guess of the course.

    Source: matsumoto-griffin-1998, resonance frequencies, vertical (printed, from memory)
    """

    mass: float = quantity("kg", 0.001, 160, "front share of the rider")
    frequency: float = quantity("Hz", 0.5, 1000, "natural frequency of the rider on the limbs", default=2.75)
    damping_ratio: float = quantity("", 0, 2, "damping ratio of the limbs", default=0.4)
    range: float = quantity("mm", 20, 1000, "range of the limbs", default=0.4)
    end_factor: float = quantity("", 0, 50, "rate past the range, in times the limbs'", default=10.0)

    @property
    def rate(self) -> float:
        """Rate of the limbs, k = m (2 pi f)^2 [N/m].

        >>> round(RiderOnLegs(36.0).rate)
        10748
        """
        return self.mass * (2 * np.pi * self.frequency) ** 2

    @property
    def damping(self) -> float:
        """Damping of the limbs, c = 2 z m 2 pi f [N s/m].

        >>> round(RiderOnLegs(36.0).damping)
        498
        """
        return 2 * self.damping_ratio * self.mass * 2 * np.pi * self.frequency

    @property
    def settled(self) -> float:
        """Squeeze of the limbs at rest, g/(2 pi f)^2 [m].

        >>> round(RiderOnLegs(36.0).settled * 1e3)
        33
        """
        return STANDARD_GRAVITY / (2 * np.pi * self.frequency) ** 2


def rider_on_legs(mass: float, posture: str = "standing") -> RiderOnLegs:
    """The front share of a rider in a posture.

    Parameters: mass [kg], front share; posture, "standing" or "sitting".
    Raises: InputError for another posture.

    >>> rider_on_legs(36.0, "sitting").frequency
    5.0

    Source: matsumoto-griffin-1998, resonance of standing persons with bent legs (printed, from memory)
    """
    if posture not in POSTURES:
        raise InputError(f"posture '{posture}' is not known{nearest(posture, POSTURES)}; there are: "
                         f"{', '.join(POSTURES)}")
    return RiderOnLegs(mass, *POSTURES[posture])


def limb_energy(squeeze, rider: RiderOnLegs):
    """Energy held by the limbs [J] at a squeeze of them [m, any shape].

    >>> round(float(limb_energy(0.1, RiderOnLegs(36.0))), 1)
    53.7
    """
    past = np.maximum(np.subtract(squeeze, rider.range), 0.0)
    return rider.rate * (np.square(squeeze) + rider.end_factor * past**2) / 2
