"""Quarter vehicle on white-noise ground velocity.

Source: scheibe-smith-2009; gobbi-mastinu-2001 (computed by forms derived again; the printed pages were not seen)
Two general-purpose routes check them here: the Lyapunov equation and an integral over the frequency response.
"""

import dataclasses

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.linalg import solve_continuous_lyapunov

from suspedu.ride.linear import (
    LinearVehicle,
    comfort_damping,
    damping_ratio,
    natural_frequencies,
    responses,
    state_matrices,
    transmissibility,
    white_noise_intensity,
    white_noise_variances,
)
from suspedu.ride.roughness import mean_roughness

# (computed by the closed forms)
CASE = LinearVehicle(250.0, 35.0, 60e3, 2000.0, 150e3)
W = white_noise_intensity(mean_roughness("C"), 20.0)
OTHERS = [CASE, LinearVehicle(80.0, 15.0, 11e3, 900.0, 130e3), LinearVehicle(30.0, 60.0, 4e4, 300.0, 2e5)]


def by_lyapunov(v):
    """A P + P A' + B W B' = 0 and the three outputs' variances (computed by scipy)."""
    A, B = state_matrices(v)
    P = solve_continuous_lyapunov(A, -W * B @ B.T)
    rows = {"acceleration": A[1], "travel": np.array([1.0, 0, 0, 0]), "tyre": np.array([0, 0, v.tyre_rate, 0])}
    return {name: row @ P @ row for name, row in rows.items()}


@pytest.mark.parametrize("name, rms, unit", [("acceleration", 2.56384, 1), ("travel", 8.48579, 1e3),
                                             ("tyre", 742.578, 1)])
def test_case_class_c_at_20_m_s(name, rms, unit):
    assert unit * white_noise_variances(CASE, W)[name] ** 0.5 == pytest.approx(rms, abs=0.5 * 10.0 ** (
        int(np.log10(rms)) - 5))


@pytest.mark.parametrize("v", OTHERS)
def test_closed_forms_against_the_lyapunov_equation(v):
    assert white_noise_variances(v, W) == pytest.approx(by_lyapunov(v), rel=1e-9)


def test_one_sided_taken_for_two_sided_is_caught():
    """Wrong on purpose: twice the intensity is sqrt 2 in r.m.s."""
    assert white_noise_variances(CASE, 2 * W)["travel"] ** 0.5 * 1e3 != pytest.approx(8.48579, rel=0.3)


def test_travel_variance_by_the_integral_over_frequency():
    """Two-sided intensity over all frequencies: 2 times the integral over f > 0 of |travel per velocity|^2 W."""
    def density(f):
        return abs(responses(f, CASE)["travel"]) ** 2 / (2 * np.pi * f) ** 2

    whole = quad(density, 1e-6, 200, limit=500, points=[2.0, 12.0])[0]
    assert 2 * W * whole == pytest.approx(white_noise_variances(CASE, W)["travel"], rel=1e-3)


def test_optimal_damping_for_comfort():
    assert comfort_damping(CASE) == pytest.approx(2615.34, abs=0.005)
    best = white_noise_variances(dataclasses.replace(CASE, damping=comfort_damping(CASE)), W)["acceleration"]
    for factor in (0.9, 1.1):  # either side is worse
        other = dataclasses.replace(CASE, damping=factor * comfort_damping(CASE))
        assert white_noise_variances(other, W)["acceleration"] > best


@pytest.mark.parametrize("v", OTHERS)
def test_natural_frequencies_are_the_eigenvalues_without_damping(v):
    """Eigenvalues of the state matrix (computed by numpy)."""
    A, _ = state_matrices(dataclasses.replace(v, damping=0.0))
    eigen = np.sort(np.abs(np.linalg.eigvals(A).imag))[::2] / (2 * np.pi)
    assert natural_frequencies(v) == pytest.approx(eigen, rel=1e-9)


def test_damping_ratio_is_that_of_a_wheel_held_still():
    poles = np.roots([CASE.sprung_mass, CASE.damping, CASE.rate])
    assert damping_ratio(CASE) == pytest.approx(-poles[0].real / abs(poles[0]), rel=1e-12)


@pytest.mark.parametrize("v", OTHERS)
def test_transmissibility_from_state_space(v):
    """C (i w I - A)^-1 B, integrated once (computed by numpy): the sprung mass's velocity over ground velocity."""
    A, B = state_matrices(v)
    for f in (0.3, 1.7, 5.0, 12.0, 40.0):
        states = np.linalg.solve(2j * np.pi * f * np.eye(4) - A, B)
        assert transmissibility(f, v) == pytest.approx(abs(states[1, 0]), rel=1e-9)


def test_sympy_derives_the_comfort_optimum():
    """The root of the variance's derivative (computed by sympy)."""
    from sympy import diff, simplify, solve, symbols

    ks, c, kt, ms, mu = symbols("k_s c k_t m_s m_u", positive=True)
    variance = c * kt / (2 * ms**2) + (ms + mu) * ks**2 / (2 * c * ms**2)
    best = solve(diff(variance, c), c)
    assert len(best) == 1
    assert simplify(best[0] ** 2 - ks**2 * (ms + mu) / kt) == 0
