"""Least squares and their standard deviations on a certified set: Misra1a, y = b1 (1 - exp(-b2 x)).

Source: nist-strd, data set Misra1a (printed, from memory)
"""

import numpy as np
import pytest
import scipy

from suspedu.recordings.fitting import slopes
from suspedu.recordings.identification import covariance, student_t

# Certified data, values, standard deviations and residual standard deviation (printed, from memory: they agree to the
# last of their digits, which a slip of memory would not)
X = np.array([77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0])
Y = np.array([10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78])
VALUES, DEVIATIONS, RESIDUAL = (2.3894212918e2, 5.5015643181e-4), (2.7070075241e0, 7.2668688436e-6), 1.0187876330e-1


def fitted():
    """By the search's own steps: slopes by differences, values by their logarithms."""
    def missed(at):
        return Y - np.exp(at[0]) * -np.expm1(-np.exp(at[1]) * X)

    edges = np.array([[0.0, -12.0], [10.0, 0.0]])
    found = scipy.optimize.least_squares(missed, np.log([250.0, 5e-4]),
                                         jac=lambda at: slopes(missed, at, missed(at), edges), xtol=1e-15, ftol=1e-15,
                                         gtol=1e-15, x_scale=0.1)
    return found, np.sqrt(found.fun @ found.fun / (len(X) - 2))


def test_values_and_their_deviations_are_the_certified_ones():
    """Values and deviations to what slopes taken by a step of 0.002 leave (printed, from memory)."""
    found, residual = fitted()
    np.testing.assert_allclose(np.exp(found.x), VALUES, rtol=2e-4)
    assert residual == pytest.approx(RESIDUAL, rel=1e-5)
    deviations, _ = covariance(found.jac)
    np.testing.assert_allclose(residual * deviations * np.exp(found.x), DEVIATIONS, rtol=5e-3)
    assert abs(residual * deviations[0] * VALUES[0] / DEVIATIONS[1] - 1.0) > 1.0  # the one is not the other's


def test_width_of_a_band_is_students_table():
    """t for 95 %, two-sided: 12.706 for one degree, 2.228 for ten (printed, from memory: Student's table)."""
    for freedom, printed in ((1, 12.706), (2, 4.303), (5, 2.571), (10, 2.228), (30, 2.042), (120, 1.980)):
        assert abs(student_t(0.95, 1, freedom) - printed) <= 0.0005
    assert student_t(0.95, 7, 600.0) == pytest.approx(scipy.stats.t.ppf(1 - 0.05 / 14, 600), rel=1e-9)
