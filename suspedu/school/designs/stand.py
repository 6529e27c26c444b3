"""A machine on the stand whose sheet does not fit what tape and lap say: which of three things is another?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from suspedu.machine import free_sag, ride, rider_sag, sag_band
from suspedu.machine.changing import change, setting
from suspedu.numerics import remembered
from suspedu.ride import flat_landing
from suspedu.school.designs.design import Design, Must, Number, Reached, Values
from suspedu.school.machines import set_machine
from suspedu.units import InputError

SHEET = {"rate": 4.0, "oil_height": 110.0, "drag": 8.0}  # N/mm; mm; N of each leg's seals
FAULTS = (("rate", 3.1, 3.6), ("rate", 4.5, 5.1), ("oil_height", 138.0, 150.0), ("drag", 18.0, 40.0))
REACH = {"free sag": 1.0, "rider sag": 1.0, "spread of the sag": 1.5, "landing": 1.5}  # mm (guess of the course)
ENTRIES = (Number("rate", 2.6, 5.6, "N/mm"), Number("oil_height", 90.0, 150.0, "mm"), Number("drag", 5.0, 60.0, "N"))


@remembered(size=512)
def measures(rate: float, oil_height: float, drag: float) -> dict[str, float]:
    """What tape and lap say of the school's enduro with these springs, this oil and these seals [mm].

    Parameters: rate of each spring [N/mm]; oil_height [mm]; drag of each leg's seals [N].
    Returns: free sag, rider sag, the spread between let down and pressed in, and the deepest stroke of a flat landing
    from 1.2 m, by name [mm].

    >>> {name: round(value, 1) for name, value in measures(4.0, 110.0, 8.0).items()}
    {'free sag': 26.5, 'rider sag': 60.1, 'spread of the sag': 16.1, 'landing': 245.8}
    """
    fork = set_machine("enduro", coil_rate=rate, oil_height=oil_height)
    seals = setting(fork, "seals")
    fork = change(fork, "seals", replace(seals, sliding=drag))
    low, high = sag_band(fork)
    found = free_sag(fork), rider_sag(fork), high - low, ride(fork, flat_landing(1.2)).stroke.max()
    return {name: 1e3 * float(value) for name, value in zip(REACH, found, strict=True)}


def stand_says(number: int) -> dict[str, float]:
    """What tape and lap say of the machine with a number, to a tenth [mm].

    Parameters: number of the machine [-], 1 to 9999.
    Raises: InputError for another number.

    >>> stand_says(17)["rider sag"]
    60.7
    """
    return {name: round(value, 1) for name, value in measures(**_as_it_is(number)).items()}


def _as_it_is(number: int) -> dict[str, float]:
    if not 1 <= number <= 9999:
        raise InputError(f"number of the machine is {number}; allowed: 1 to 9999")
    draw = np.random.default_rng(number)
    name, low, high = FAULTS[draw.integers(len(FAULTS))]
    return SHEET | {name: round(float(draw.uniform(low, high)), 2)}


def _explains(design: Values, given: Values) -> tuple[Reached | Must, ...]:
    """What a machine as described would measure, against the one on the stand; one thing is another than its sheet."""
    found, told = measures(**{name: float(design[name]) for name in SHEET}), stand_says(given["machine_number"])
    others = sum(abs(design[name] / value - 1.0) > 0.01 for name, value in SHEET.items())
    return (*(Reached(f"the {name}", found[name], told[name] - reach, told[name] + reach, "mm")
              for name, reach in REACH.items()),
            Must("exactly one of the three must be another than on the sheet", others == 1))


DESIGNS = {"explains-the-measures": Design(ENTRIES, _explains)}
