"""The quarter vehicle of straight-line laws with the rider as a mass of his own: three masses, still closed forms.

mr z_r'' = kl (z_s - z_r) + cl (z_s' - z_r'); the chassis bears the same, reversed; the rest as in `linear`.
"""

from __future__ import annotations

import numpy as np
import scipy

from suspedu.ride.linear import LinearVehicle
from suspedu.units import part, quantity


@part
class LinearRider:
    """A linear vehicle, whose sprung mass is the chassis with bars, and a rider on limbs over it."""

    vehicle: LinearVehicle
    mass: float = quantity("kg", 1e-6, 5000, "rider's mass")
    rate: float = quantity("N/mm", 1e-9, 1e6, "rate of the limbs")
    damping: float = quantity("N*s/m", 0, 1e6, "damping of the limbs")


def rider_matrices(r: LinearRider) -> tuple[np.ndarray, np.ndarray]:
    """A and B of y' = A y + B (ground velocity), y = (z_u - z_s, z_s', h - z_u, z_u', z_s - z_r, z_r').

    Parameters: r, linear vehicle with rider.
    Returns: A [6, 6], B [6, 1].

    >>> enduro = LinearRider(LinearVehicle(39, 15, 12e3, 1500, 125e3), 36, 10.7e3, 500)
    >>> rider_matrices(enduro)[0].shape
    (6, 6)

    Source: derivation, Newton's law for each mass (computed by derivation)
    """
    v, mr, kl, cl = r.vehicle, r.mass, r.rate, r.damping
    ks, c, kt, ct, ms, mu = v.rate, v.damping, v.tyre_rate, v.tyre_damping, v.sprung_mass, v.unsprung_mass
    A = [[0, -1, 0, 1, 0, 0],
         [ks / ms, -(c + cl) / ms, 0, c / ms, -kl / ms, cl / ms],
         [0, 0, 0, -1, 0, 0],
         [-ks / mu, c / mu, kt / mu, -(c + ct) / mu, 0, 0],
         [0, 1, 0, 0, 0, -1],
         [0, cl / mr, 0, 0, kl / mr, -cl / mr]]  # fmt: skip
    return np.array(A, dtype=float), np.array([[0.0], [0.0], [1.0], [ct / mu], [0.0], [0.0]])


def rider_frequencies(r: LinearRider) -> np.ndarray:
    """Undamped natural frequencies from det(K - w^2 M) = 0, rising.

    Parameters: r, linear vehicle with rider. Returns: frequencies [3, Hz].

    >>> rider_frequencies(LinearRider(LinearVehicle(39, 15, 12e3, 1500, 125e3), 36, 10.7e3, 500)).round(2)
    array([ 1.69,  4.32, 15.23])

    Source: derivation, eigenvalues of M^-1 K (computed by derivation)
    """
    v, kl = r.vehicle, r.rate
    K = np.array([[kl, -kl, 0], [-kl, kl + v.rate, -v.rate], [0, -v.rate, v.rate + v.tyre_rate]])
    squares = np.linalg.eigvals(K / np.array([[r.mass], [v.sprung_mass], [v.unsprung_mass]])).real
    return np.sqrt(np.sort(squares)) / (2 * np.pi)


def rider_responses(frequency, r: LinearRider) -> dict:
    """Complex responses to the ground's height: "rider", "sprung" and "wheel" height, "travel", "tyre" force [N/m].

    The rider hangs on the chassis as mr s^2 times what follows of it, (kl + cl s)/(mr s^2 + kl + cl s).

    Parameters: frequency [any shape, Hz]; r, linear vehicle with rider.
    Returns: dict of arrays of the same shape; multiply a height by -(2 pi f)^2 for acceleration.

    >>> enduro = LinearRider(LinearVehicle(39, 15, 12e3, 1500, 125e3), 36, 10.7e3, 500)
    >>> [round(float(abs(rider_responses(6.0, enduro)[name])), 2) for name in ("sprung", "rider")]
    [0.85, 0.41]

    Source: derivation, one mass after the other (computed by derivation)
    """
    s, v = 2j * np.pi * np.asarray(frequency, dtype=float), r.vehicle
    limbs, fork = r.rate + r.damping * s, v.rate + v.damping * s
    tyre = v.tyre_rate + v.tyre_damping * s
    follows = limbs / (r.mass * s**2 + limbs)  # rider over bars
    carried = v.sprung_mass + r.mass * follows
    bars = fork / (carried * s**2 + fork)  # bars over wheel
    wheel = tyre / (v.unsprung_mass * s**2 + carried * s**2 * bars + tyre)
    sprung = bars * wheel
    return {"rider": follows * sprung, "sprung": sprung, "wheel": wheel, "travel": wheel - sprung,
            "tyre": tyre * (1 - wheel)}


def rider_variances(r: LinearRider, intensity: float) -> dict:
    """Variances on white-noise ground velocity, from the Lyapunov equation A P + P A' + W B B' = 0.

    Parameters: r, linear vehicle with rider; intensity W, two-sided [m2/s].
    Returns: variances of "acceleration" (bars) and "rider" (body) [m2/s4], "travel" [m2], "tyre" force [N2].
    Assumes: no tyre damping, through which white noise would reach the tyre's force without bound.

    >>> enduro = LinearRider(LinearVehicle(39, 15, 12e3, 1500, 125e3), 36, 10.7e3, 500)
    >>> found = rider_variances(enduro, 1e-3)
    >>> round(found["acceleration"] ** 0.5, 2), round(found["rider"] ** 0.5, 2)
    (7.02, 2.4)

    Source: gobbi-mastinu-2001, covariance of a linear system (printed, from memory)
    """
    A, B = rider_matrices(r)
    P = scipy.linalg.solve_continuous_lyapunov(A, -intensity * B @ B.T)
    rows = {"acceleration": A[1], "rider": A[5], "travel": np.eye(6)[0], "tyre": r.vehicle.tyre_rate * np.eye(6)[2]}
    return {name: float(row @ P @ row) for name, row in rows.items()}
