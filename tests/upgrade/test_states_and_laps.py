"""What a lap is judged by, and what ten minutes do to the oil."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from suspedu.damper import stock_damper
from suspedu.machine import adjusted, refitted
from suspedu.parts.heating import warmed_temperature
from suspedu.school.machines import school_machine
from suspedu.units import ROOM_TEMPERATURE
from suspedu.upgrade.mix import Lap, as_it_stands, fourth_power_mean, grounds, lap, whole_day
from suspedu.upgrade.oil_states import OilState, firmness, law_in_state, ridden_day, states
from suspedu.upgrade.technologies import better_leg

STOCK = ("damping rod", "open cartridge", "closed cartridge")


def test_the_fourth_power_mean_is_that_of_a_sine_and_weighs_a_blow_more_than_the_square_does():
    """(mean sin^4)^(1/4) = (3/8)^(1/4) of the amplitude (computed by closed form); 8 Hz passes Wk at 1.036 times."""
    time = np.arange(60_000) / 2000.0
    sine = np.sin(2 * np.pi * 8.0 * time)
    assert fourth_power_mean(sine, 2000.0) == pytest.approx(1.036 * (3 / 8) ** 0.25, rel=2e-3)  # and the filter's start
    blow = sine * np.where(time < 1.0, 1.0, 0.1)
    squares = [np.sqrt(np.mean(each**2)) for each in (sine, blow)]
    fourths = [fourth_power_mean(each, 2000.0) for each in (sine, blow)]
    assert fourths[1] / fourths[0] > squares[1] / squares[0]


def test_a_day_of_two_equal_laps_is_that_lap_and_the_worse_landing_counts():
    one, other = Lap(20.0, 0.03, 0.9, 0.12, 1.0, 100.0, 250.0), Lap(20.0, 0.01, 0.9, 0.13, 1.0, 100.0, 250.0)
    assert whole_day([one, one]) == pytest.approx({"hands": 20.0, "spare": 0.03, "grip": 0.9, "dive": 0.12})
    assert whole_day([one, other])["spare"] == 0.01 and whole_day([other, one])["dive"] == 0.13


def test_a_lap_is_slower_over_rocks_and_bumps_alone():
    usual, slow = grounds(), grounds(share=0.5)
    assert [slow[name].speed / usual[name].speed for name in usual] == [0.5, 0.5, 1.0, 1.0]
    assert not np.array_equal(grounds(seed=3)["rocks"].height, usual["rocks"].height)


@pytest.mark.parametrize("stock", STOCK)
def test_the_oil_is_as_hot_as_ten_minutes_of_its_own_heat_make_it(stock):
    cold, hot = states(stock)
    machine = adjusted(refitted(school_machine(), stock), oil_temperature=cold.temperature,
                       air_temperature=cold.temperature)
    unit = replace(machine.legs[0].damper.unit, air_fraction=cold.air_fraction)
    machine = replace(machine, legs=(replace(machine.legs[0], damper=replace(machine.legs[0].damper, unit=unit)),))
    heat = lap(*as_it_stands(machine)).heating
    assert cold.temperature == ROOM_TEMPERATURE
    assert hot.temperature == pytest.approx(float(warmed_temperature(600.0, heat, 4500.0, 3.5, ROOM_TEMPERATURE)))
    assert 15.0 < hot.temperature - cold.temperature < 50.0  # K: hand-warm, as after a hard lap (guess of the course)


def test_air_softens_an_open_damper_more_the_more_there_is_and_a_closed_one_hardly():
    rod = stock_damper("damping rod")
    shares = [firmness(rod, 320.0, air) for air in (0.001, 0.01, 0.03, 0.06)]
    assert all(a > b for a, b in pairwise(shares)) and shares[0] > 0.99
    assert states("closed cartridge")[1].firm > 0.99 > states("open cartridge")[1].firm > states("damping rod")[1].firm


def test_a_softer_state_scales_damping_and_stop_and_leaves_the_springs():
    machine = school_machine()
    firm, soft = (law_in_state(machine, OilState("x", 320.0, 5e-4, share)) for share in (1.0, 0.8))
    assert soft.damping_force == pytest.approx(0.8 * firm.damping_force)
    assert soft.stop_force == pytest.approx(0.8 * firm.stop_force)
    assert np.array_equal(soft.spring_force, firm.spring_force)


def test_half_the_wind_makes_hotter_oil_and_twice_the_air_a_softer_damper():
    usual, hot = states("open cartridge"), states("open cartridge", loss=1.75)
    airy = states("open cartridge", stirred=2.0)
    assert hot[1].temperature > usual[1].temperature + 3.0 and airy[1].firm < usual[1].firm - 0.02


def test_a_better_leg_rubs_less_is_lighter_and_carries_the_same():
    plain, better = school_machine(), better_leg(school_machine())
    carried = [float(m.chassis.mass * m.chassis.front_share - m.chassis.unsprung_mass) for m in (plain, better)]
    assert carried[1] == pytest.approx(carried[0], abs=1e-9)
    lighter = [plain.chassis.mass - better.chassis.mass, plain.chassis.unsprung_mass - better.chassis.unsprung_mass]
    assert lighter[0] == pytest.approx(lighter[1])
    days = [ridden_day(each, states("closed cartridge")) for each in (plain, better_leg(plain, weight=False))]
    assert days[1].of("hands") < days[0].of("hands")  # less friction is easier on the hands, all else alike
