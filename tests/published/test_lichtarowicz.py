"""Long orifices: the straight part of the law, and the short tube of textbooks.

Source: lichtarowicz-1965, equation for long orifices (printed)
"""

import numpy as np
import pytest

from suspedu.parts import restrictions as r


def within_last_digit(value, printed: str) -> bool:
    """Whether a value rounds to the printed one."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5 * 10.0**-digits * (1 + 1e-9)


# Discharge coefficient at high Reynolds number over L/d (printed)
LONG = {2: "0.810", 4: "0.793", 10: "0.742"}


@pytest.mark.parametrize("ratio", LONG)
def test_long_orifice_at_high_reynolds(ratio):
    assert within_last_digit(float(r.long_orifice_discharge(ratio)), LONG[ratio])
    assert not within_last_digit(0.827 - 0.0085 / ratio, LONG[ratio])  # d/L for L/d


def test_long_orifice_matches_the_short_tube_of_textbooks():
    assert r.long_orifice_discharge(np.array([2.0, 3.0, 4.0])) == pytest.approx(0.81, rel=0.03)  # (printed), 3 %


def test_long_orifice_meets_the_iteration_on_the_real_reynolds_number():
    """The same law on Re = V d / nu (computed by iteration here, as one public code does); both must agree."""
    ratio = 5.0
    for reynolds in (30.0, 300.0, 3e4):
        cd = 0.7
        for _ in range(200):
            ideal = reynolds / cd
            bump = 0.005 * ratio / (1 + 7.5 * np.log10(1.5e-4 * ideal) ** 2)
            a, b = 20 / reynolds * (1 + 2.25 * ratio), 1 / (0.827 - 0.0085 * ratio) - bump
            cd = (-b + np.sqrt(b * b + 4 * a)) / (2 * a)
        assert float(r.long_orifice_discharge(ratio, reynolds / cd)) == pytest.approx(cd, rel=1e-9)


def test_long_orifice_is_laminar_in_creeping_flow_only_with_the_ideal_reynolds_number():
    """Creeping flow: Q ~ dp, so Cd ~ sqrt(dp) (computed by the limit of the law); the real Reynolds number fails."""
    drops = np.array([1.0, 4.0])
    ideal = r.ideal_reynolds(drops, 1e-3, 850.0, 1e-3)
    cd = r.long_orifice_discharge(8.0, ideal)
    flow = r.orifice_flow(drops, r.bore_area(1e-3), 850.0, discharge=cd)
    assert flow[1] / flow[0] == pytest.approx(4.0, rel=5e-3)  # 1/Cu still adds half a per cent
    mistaken = r.long_orifice_discharge(8.0, ideal * cd)
    flow = r.orifice_flow(drops, r.bore_area(1e-3), 850.0, discharge=mistaken)
    assert flow[1] / flow[0] != pytest.approx(4.0, rel=0.5)
