"""The quarter vehicle with straight-line laws: closed forms that say why before any ride is run.

ms z_s'' = ks (z_u - z_s) + c (z_u' - z_s');  mu z_u'' = kt (h - z_u) + ct (h' - z_u') - the same. All vertical, at the
wheel: a fork of rate k along a rake r counts as ks = k/cos^2 r.
"""

from __future__ import annotations

import numpy as np

from suspedu.units import part, quantity


@part
class LinearVehicle:
    """Two masses, a spring, a damper and a tyre."""

    sprung_mass: float = quantity("kg", 1, 5000, "sprung mass")
    unsprung_mass: float = quantity("kg", 0.5, 1000, "unsprung mass")
    rate: float = quantity("N/mm", 0.1, 1000, "rate at the wheel")
    damping: float = quantity("N*s/m", 0, 1e5, "damping at the wheel")
    tyre_rate: float = quantity("N/mm", 1, 5000, "tyre rate")
    tyre_damping: float = quantity("N*s/m", 0, 1e5, "tyre damping", default=0.0)


def state_matrices(v: LinearVehicle) -> tuple[np.ndarray, np.ndarray]:
    """A and B of y' = A y + B (ground velocity), y = (z_u - z_s, z_s', h - z_u, z_u').

    Parameters: v, linear vehicle.
    Returns: A [4, 4], B [4, 1].

    >>> state_matrices(LinearVehicle(250, 35, 60e3, 2e3, 150e3))[0].shape
    (4, 4)

    Source: gobbi-mastinu-2001, equations of motion (printed, from memory)
    """
    ks, c, kt, ct, ms, mu = v.rate, v.damping, v.tyre_rate, v.tyre_damping, v.sprung_mass, v.unsprung_mass
    A = [[0, -1, 0, 1], [ks / ms, -c / ms, 0, c / ms], [0, 0, 0, -1], [-ks / mu, c / mu, kt / mu, -(c + ct) / mu]]
    return np.array(A, dtype=float), np.array([[0.0], [0.0], [1.0], [ct / mu]])


def natural_frequencies(v: LinearVehicle) -> np.ndarray:
    """Undamped natural frequencies, of body and of wheel, from det(K - w^2 M) = 0.

    Parameters: v, linear vehicle.
    Returns: frequencies [2, Hz], the body's first.

    >>> natural_frequencies(LinearVehicle(250, 35, 60e3, 2e3, 150e3)).round(2)
    array([ 2.07, 12.4 ])

    Source: gobbi-mastinu-2001, undamped system (printed, from memory)
    """
    ks, kt, ms, mu = v.rate, v.tyre_rate, v.sprung_mass, v.unsprung_mass
    half = (ks / ms + (ks + kt) / mu) / 2
    root = np.sqrt(half**2 - ks * kt / (ms * mu))
    return np.sqrt([half - root, half + root]) / (2 * np.pi)


def damping_ratio(v: LinearVehicle) -> float:
    """Damping ratio of the body on a wheel held still: c/(2 sqrt(ks ms)).

    Parameters: v, linear vehicle.
    Returns: ratio [-].

    >>> round(damping_ratio(LinearVehicle(250, 35, 60e3, 2e3, 150e3)), 3)
    0.258

    Source: shigley, single degree of freedom (printed, from memory: any text on vibration)
    """
    return float(v.damping / (2 * np.sqrt(v.rate * v.sprung_mass)))


def responses(frequency, v: LinearVehicle) -> dict:
    """Complex responses to the ground's height: "sprung" and "wheel" height, "travel", "tyre" force [N/m].

    Parameters: frequency [any shape, Hz]; v, linear vehicle.
    Returns: dict of arrays of the same shape; multiply "sprung" by -(2 pi f)^2 for acceleration.

    >>> round(float(abs(responses(0.0, LinearVehicle(250, 35, 60e3, 2e3, 150e3))["sprung"])), 6)
    1.0

    Source: gobbi-mastinu-2001, transfer functions (printed, from memory)
    """
    s = 2j * np.pi * np.asarray(frequency, dtype=float)
    fork, tyre = v.rate + v.damping * s, v.tyre_rate + v.tyre_damping * s
    follows = fork / (v.sprung_mass * s**2 + fork)  # sprung over wheel
    wheel = tyre / (v.unsprung_mass * s**2 + v.sprung_mass * s**2 * follows + tyre)
    return {"sprung": follows * wheel, "wheel": wheel, "travel": wheel - follows * wheel, "tyre": tyre * (1 - wheel)}


def transmissibility(frequency, v: LinearVehicle):
    """How much of the ground's height reaches the chassis, |z_s/h|.

    Parameters: frequency [any shape, Hz]; v, linear vehicle.
    Returns: ratio [-].

    >>> round(float(transmissibility(2.0, LinearVehicle(250, 35, 60e3, 2e3, 150e3))), 2)
    3.61

    Source: gobbi-mastinu-2001, transfer functions (printed, from memory)
    """
    return np.abs(responses(frequency, v)["sprung"])


def white_noise_intensity(mean_roughness: float, speed: float) -> float:
    """Two-sided intensity W of the ground's velocity: W = (2 pi n0)^2 Gd(n0) v/2, n0 = 0.1 cycles/m.

    Parameters: mean_roughness Gd(n0) [m3]; speed [m/s].
    Returns: W [m2/s].

    >>> round(white_noise_intensity(256e-6, 20.0) * 1e3, 5)
    1.01065

    Source: iso-8608, spectrum of exponent 2, met by a vehicle at a steady speed (printed, from memory)
    """
    return (2 * np.pi * 0.1) ** 2 * mean_roughness * speed / 2


def white_noise_variances(v: LinearVehicle, intensity: float) -> dict:
    """Variances of sprung acceleration [m2/s4], travel [m2] and tyre force [N2] on white-noise ground velocity.

    Parameters: v, linear vehicle; intensity W, two-sided [m2/s].
    Returns: dict of the three.
    Assumes: no tyre damping.

    >>> case = white_noise_variances(LinearVehicle(250, 35, 60e3, 2e3, 150e3), white_noise_intensity(256e-6, 20))
    >>> round(case["acceleration"] ** 0.5, 5)
    2.56384

    Source: scheibe-smith-2009; gobbi-mastinu-2001 (computed by forms derived again)
    """
    ks, c, kt, ms, mu = v.rate, v.damping, v.tyre_rate, v.sprung_mass, v.unsprung_mass
    m = ms + mu
    bracket = m**3 * ks**2 / (kt**2 * ms**2) - 2 * mu * m * ks / (kt * ms) + mu
    return {"acceleration": intensity * (c * kt / (2 * ms**2) + m * ks**2 / (2 * c * ms**2)),
            "travel": intensity * m / (2 * c),
            "tyre": intensity * kt**2 * (c * m**2 / (2 * kt * ms**2) + bracket / (2 * c))}


def comfort_damping(v: LinearVehicle) -> float:
    """Damping of the least sprung acceleration on white-noise ground velocity: ks sqrt((ms+mu)/kt).

    Parameters: v, linear vehicle.
    Returns: c at the wheel [N s/m].

    >>> round(comfort_damping(LinearVehicle(250, 35, 60e3, 2e3, 150e3)), 2)
    2615.34

    Source: scheibe-smith-2009, optimum for comfort (computed by the derivative of the variance, zero there)
    """
    return float(v.rate * np.sqrt((v.sprung_mass + v.unsprung_mass) / v.tyre_rate))


def invariant_points(v: LinearVehicle) -> dict:
    """Points that no spring and no damper can move: (frequency [Hz], response to ground velocity).

    |acceleration| = sqrt(kt mu)/ms [1/s] at sqrt(kt/mu)
    |travel| = (1 + mu/ms) sqrt((ms+mu)/kt) [s] at sqrt(kt/(ms+mu))

    Parameters: v, linear vehicle.
    Returns: {"acceleration": ..., "travel": ...}.
    Assumes: no tyre damping.

    >>> round(invariant_points(LinearVehicle(250, 35, 60e3, 2e3, 150e3))["acceleration"][0], 2)
    10.42

    Source: hedrick-butsuen-1990, invariant properties (printed, from memory)
    """
    kt, ms, mu = v.tyre_rate, v.sprung_mass, v.unsprung_mass
    wheel, both = (float(np.sqrt(kt / m)) for m in (mu, ms + mu))  # rad/s
    return {"acceleration": (wheel / (2 * np.pi), float(np.sqrt(kt * mu)) / ms),
            "travel": (both / (2 * np.pi), (1 + mu / ms) / both)}
