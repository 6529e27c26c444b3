"""Discharge of the mouthpieces that textbooks set beside the sharp plate: re-entrant 0.51, rounded 0.98.

Source: borda-1766, momentum balance (printed, from memory); merritt, section 3-2 (printed, from memory); fluids
Derived, and set against the loss coefficients that the library carries from several handbooks, whose spread is the
tolerance: rennels, miller, idelchik, harris-1928, harris-1930, crane-410.
"""

import pytest
from fluids.fittings import entrance_distance, entrance_rounded

from suspedu.parts.restrictions import FREE_STREAMLINE, orifice_flow

RE_ENTRANT, ROUNDED = 0.51, 0.98  # (printed: textbooks of hydraulics)
AREA, DENSITY, DROP = 2e-6, 850.0, 4e5


def full_flow(discharge):
    return orifice_flow(DROP, AREA, DENSITY, discharge=discharge)


def test_re_entrant_by_momentum():
    """Walls too far off to be pushed on: dp A = rho V^2 A_jet and dp = rho V^2 / 2, so the jet is half the hole.

    Textbooks print 0.51, for a real edge is not infinitely thin: within 2 % of the theory.
    """
    speed = (2 * DROP / DENSITY) ** 0.5
    jet = DROP * AREA / (DENSITY * speed**2)
    assert full_flow(jet / AREA) == pytest.approx(jet * speed, rel=1e-12)
    assert jet / AREA == pytest.approx(RE_ENTRANT, rel=0.021)
    assert pytest.approx(RE_ENTRANT, rel=0.021) != FREE_STREAMLINE  # the sharp plate's coefficient is caught


@pytest.mark.parametrize("method", ["Rennels", "Idelchik", "Miller", "Harris"])
def test_re_entrant_by_the_loss_of_a_pipe_entrance(method):
    """Behind the jet the stream slows to the pipe's own speed: K = (1/Cc - 1)^2 (Borda-Carnot)."""
    loss = entrance_distance(Di=0.1, t=0.0005, l=0.06, method=method)
    assert 1 / (1 + loss**0.5) == pytest.approx(RE_ENTRANT, rel=0.03)
    assert loss**-0.5 - 1 != pytest.approx(RE_ENTRANT, rel=0.03)  # formula upside down


@pytest.mark.parametrize("method", ["Idelchik", "Crane", "Miller"])
def test_rounded_by_the_loss_of_a_rounded_entrance(method):
    """The jet fills the hole, and its head is that of an entrance which keeps 1/(1 + K): Cd = (1 + K)^(-1/2)."""
    kept = 1 / (1 + entrance_rounded(Di=0.1, rc=0.02, method=method))
    library = AREA * (2 * DROP * kept / DENSITY) ** 0.5
    assert full_flow(ROUNDED) == pytest.approx(library, rel=0.01)
    assert full_flow(RE_ENTRANT) != pytest.approx(library, rel=0.3)
