"""Weights of the smoothing filter that gives velocity: the printed whole numbers over their printed divisors.

Source: savitzky-golay-1964, tables I, III and VI (printed, from memory)
"""

import numpy as np
import pytest

from suspedu.recordings import smoothed_motion

# Weights from the middle outwards on one side, and the divisor (printed, from memory)
SMOOTH = {5: ((17, 12, -3), 35), 7: ((7, 6, 3, -2), 21), 9: ((59, 54, 39, 14, -21), 231)}  # cubic
SLOPE = {5: ((0, 8, -1), 12), 7: ((0, 58, 67, -22), 252), 9: ((0, 126, 193, 142, -86), 1188)}  # cubic, first derivative
BEND = {5: ((-2, -1, 2), 7), 7: ((-4, -3, 0, 5), 42), 9: ((-20, -17, -8, 7, 28), 462)}  # cubic, second derivative


def weights(window, column):
    """What the middle row takes from each of its neighbours: the answer to a row of noughts with a one in it."""
    rows = np.arange(-(window // 2), window // 2 + 1)
    ones = np.eye(4 * window + 1)[2 * window + rows]
    return [getattr(smoothed_motion(np.arange(4.0 * window + 1), one, window), column)[2 * window] for one in ones]


@pytest.mark.parametrize("window", sorted(SMOOTH))
@pytest.mark.parametrize(("column", "table", "odd"), [("stroke", SMOOTH, 1), ("velocity", SLOPE, -1),
                                                      ("acceleration", BEND, 1)])
def test_weights_are_the_printed_ones(window, column, table, odd):
    side, divisor = table[window]
    whole = np.array([*(odd * np.array(side[:0:-1])), *side]) / divisor
    np.testing.assert_allclose(weights(window, column), whole, atol=1e-12)


def test_a_wrong_weight_would_be_caught():
    """The quadratic's slope weights (-2, -1, 0, 1, 2)/10 (printed, from memory) are not the cubic's."""
    assert np.max(np.abs(weights(5, "velocity") - np.array([-2, -1, 0, 1, 2]) / 10)) > 0.1
