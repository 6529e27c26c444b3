"""Orifice plates through the library `fluids`.

Source: iso-5167-2, discharge coefficient (computed by fluids); fluids
Its worked example: D 73.91 mm, d 22.2 mm, flange taps, 1.165 kg/m3, 1.85e-5 Pa s, 0.12 kg/s: C = 0.5990.
"""

import numpy as np
import pytest
from fluids.flow_meter import C_Reader_Harris_Gallagher, flow_meter_discharge

from suspedu.parts import restrictions as r


def within_last_digit(value, printed: str) -> bool:
    """Whether a value rounds to the printed one."""
    digits = len(printed.partition(".")[2])
    return abs(value - float(printed)) <= 0.5 * 10.0**-digits * (1 + 1e-9)


# (computed by fluids)
PLATE = {"D": 0.07391, "Do": 0.0222, "rho": 1.165, "mu": 1.85e-5, "m": 0.12, "taps": "flange"}


def test_iso_5167_discharge_is_what_a_sharp_orifice_is_given():
    assert within_last_digit(C_Reader_Harris_Gallagher(**PLATE), "0.5990")


@pytest.mark.parametrize("drop", [1e2, 1e4, 1e6])
def test_iso_5167_mass_flow(drop):
    """The library's mass flow at equal C; C / sqrt(1 - beta^4) is the coefficient of an orifice in a pipe."""
    discharge = C_Reader_Harris_Gallagher(**PLATE) / np.sqrt(1 - (0.0222 / 0.07391) ** 4)
    library = flow_meter_discharge(D=0.07391, Do=0.0222, P1=2e6, P2=2e6 - drop, rho=998.0,
                                   C=C_Reader_Harris_Gallagher(**PLATE))
    ours = 998.0 * r.orifice_flow(drop, r.bore_area(0.0222), 998.0, discharge=discharge)
    assert ours == pytest.approx(library, rel=1e-12)
    wrong = 998.0 * r.orifice_flow(drop, r.bore_area(0.0222), 998.0, discharge=0.61 * 0.61)  # contraction taken twice
    assert wrong != pytest.approx(library, rel=0.1)
