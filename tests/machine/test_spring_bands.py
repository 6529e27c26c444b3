"""Every rider that a panel offers finds a spring that is sold, within the sliders, and meets the mechanic's aims."""

import numpy as np
import pytest

from suspedu.machine import adjusted, adjuster, free_sag, load, names, rider_sag, spring_for_rider
from suspedu.machine.spring_bands import ENERGY_BAND, FREE_BAND, RIDER_BAND, bands_met, energy_per_kilogram
from suspedu.school.sag import spring_verdict
from suspedu.units import InputError

MASSES = np.arange(55.0, 116.0)  # every rider of a panel


@pytest.fixture(params=names(), scope="module")
def bike(request):
    return load(request.param)


@pytest.fixture(scope="module")
def choices(bike):
    return {mass: spring_for_rider(bike, mass) for mass in MASSES}


def test_every_rider_meets_all_bands_with_a_spring_that_is_sold(bike, choices):
    for mass, found in choices.items():
        fitted = adjusted(bike, rider_mass=mass, coil_rate=found.rate, preload=found.preload)
        assert RIDER_BAND[0] <= rider_sag(fitted) / bike.travel <= RIDER_BAND[1]
        assert FREE_BAND[0] <= free_sag(fitted) / bike.travel <= FREE_BAND[1]
        assert abs(energy_per_kilogram(fitted) / energy_per_kilogram(bike) - 1) <= ENERGY_BAND
        assert found.rate / 100 == round(found.rate / 100) and 0.002 <= found.preload <= 0.015
        assert found.softest <= found.rate <= found.stiffest and found.softer_fails and found.stiffer_fails


def test_the_chosen_spring_lies_within_the_sliders_and_the_mechanic_calls_it_right(bike, choices):
    for name in ("coil_rate", "preload"):
        for found in choices.values():
            value = found.rate if name == "coil_rate" else found.preload
            row = adjuster(name)
            assert row.low <= value <= row.high
            assert value / row.fine == pytest.approx(round(value / row.fine))  # a slider can stand there
    for mass, found in choices.items():
        fitted = adjusted(bike, rider_mass=mass, coil_rate=found.rate, preload=found.preload)
        assert spring_verdict(fitted).word == "right"


def test_rates_move_by_about_what_shops_move_them(choices):
    """0.02 N/mm for each kilogram (common practice); two sags held fixed would move them by 0.053."""
    slope = np.polyfit(MASSES, [found.rate / 1e3 for found in choices.values()], 1)[0]
    assert 0.015 < slope < 0.030
    print(f"springs move by {slope:.3f} N/mm for each kilogram")


def test_the_school_s_own_spring_is_in_its_own_rider_s_band(bike):
    found, rates = spring_for_rider(bike, bike.rider.mass), [leg.spring.rate for leg in bike.legs if leg.spring.rate]
    assert all(found.softest <= rate <= found.stiffest for rate in rates)


def test_what_ends_a_band_is_what_the_next_spring_misses(bike, choices):
    found = choices[80.0]
    met = bands_met(bike, 80.0)
    row = round(found.stiffest / 100) + 1 - 20
    for name in found.stiffer_fails.split(" and "):
        assert name not in met or not met[name][row].any()


def test_a_rider_whom_no_spring_suits_gets_a_sentence(bike):
    with pytest.raises(InputError, match="no spring that is sold suits a rider of 160 kg"):
        spring_for_rider(bike, 160.0)
    with pytest.raises(InputError, match="rider in gear is 8000 kg"):
        spring_for_rider(bike, 8000.0)
