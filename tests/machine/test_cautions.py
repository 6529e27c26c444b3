"""No setting that a page offers drives the tube above its limit without a word, and none of the usual ones needs it."""

from itertools import product

import numpy as np
import pytest

from suspedu.machine import adjusted, change, load, names, pressure_caution, tube_pressures
from suspedu.machine.changing import range_of
from suspedu.parts.air_spring import TUBE_LIMIT

WARMING = ("oil_height", "air_temperature", "gauge_pressure", "air_exponent")


@pytest.fixture(params=names())
def bike(request):
    return load(request.param)


def test_every_corner_above_the_limit_says_so_and_no_other(bike):
    corners = list(product(*(range_of(bike, name) for name in WARMING)))
    told = []
    for corner in corners:
        machine = adjusted(bike, **dict(zip(WARMING, corner, strict=True)))
        peak = max(float(pressure) for pressure in tube_pressures(machine))
        caution = pressure_caution(machine)
        assert bool(caution) == (peak > TUBE_LIMIT)
        assert not caution or f"{peak / 1e5:.3g} bar" in caution
        told.append(bool(caution))
    assert any(told) and not all(told)


def test_every_oil_height_and_volume_that_a_workshop_sets_is_below_the_limit_bled_and_at_room_temperature(bike):
    for name in ("oil_height", "oil_volume"):
        for end in range_of(bike, name):
            assert not pressure_caution(adjusted(bike, **{name: end}))


def test_the_caution_holds_for_the_worse_leg():
    bike = load("trail")
    assert "Caution" in pressure_caution(change(bike, "oil_height", 0.07, leg=2))


def test_settings_that_are_arrays_are_judged_by_the_worst():
    machine = adjusted(load("enduro"), oil_height=np.array([0.07, 0.11]))
    assert pressure_caution(machine) == pressure_caution(adjusted(load("enduro"), oil_height=0.07))
