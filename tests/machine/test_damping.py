"""Damping of the whole fork: two legs add up, clicks and air reach the oil, and nothing pushes at rest."""

import dataclasses

import numpy as np
import pytest

from suspedu.changes import changed
from suspedu.damper import leg_force, stock_damper
from suspedu.data.reader import part_from_table
from suspedu.machine import FittedDamper, adjusted, load, refitted
from suspedu.machine.damping import damped_leg, damping_table
from suspedu.machine.model import MACHINES
from suspedu.parts.air_spring import air_pressure_absolute
from suspedu.parts.oil import Oil
from suspedu.units import InputError

STROKES, SPEEDS = np.linspace(0, 0.28, 8), np.linspace(-2, 2, 9)
OIL = Oil(15e-6, 3.5e-6)


def fitted(*stocks, **clicks):
    """The school's enduro machine with a damper in each leg."""
    machine = load("enduro")
    legs = tuple(dataclasses.replace(machine.legs[0], damper=FittedDamper.from_file(stock, OIL, **clicks))
                 for stock in stocks)
    return dataclasses.replace(machine, legs=legs)


def test_two_legs_add_up():
    both = damping_table(fitted("closed cartridge", "damping rod"), STROKES, SPEEDS, part="force")
    apart = [damping_table(fitted(stock), STROKES, SPEEDS, part="force") / 2
             for stock in ("closed cartridge", "damping rod")]
    np.testing.assert_allclose(both, sum(apart), rtol=1e-12, atol=1e-9)


def test_a_ride_gets_nothing_at_rest():
    machine = fitted("closed cartridge")
    for part in ("damping_force", "stop_force"):
        assert np.all(damping_table(machine, STROKES, SPEEDS, part=part)[:, 4] == 0)
    gas = damping_table(machine, STROKES, SPEEDS, part="gas_force")
    assert np.all(gas == gas[:, :1]) and np.all(np.diff(gas[:, 0]) > 0)


def test_the_forks_air_presses_on_an_open_damper():
    machine = fitted("open cartridge")
    leg = damped_leg(machine.legs[0], STROKES, 0.0)
    np.testing.assert_allclose(leg.reservoir, air_pressure_absolute(STROKES, machine.travel, machine.legs[0].air))


def test_clicks_of_a_machine_reach_the_oil():
    machine = adjusted(fitted("closed cartridge"), rebound=4)
    turned = changed(stock_damper("closed cartridge"), "rebound.needle.clicks", 4)
    straight = leg_force(0.1, -0.5, turned, OIL).damping_force
    assert damping_table(machine, [0.1], [-0.5])[0, 0] == pytest.approx(2 * straight)
    one = adjusted(machine, leg=2, rebound=20)
    assert abs(damping_table(one, [0.1], [-0.5])[0, 0]) < abs(damping_table(machine, [0.1], [-0.5])[0, 0])


def test_a_file_can_say_it():
    table = {"stock": "closed cartridge", "oil": {"viscosity_40": "15 mm**2/s", "viscosity_100": "3.5 mm**2/s"},
             "oil_temperature": "55 degC", "compression_low": 10}
    damper = part_from_table(table, FittedDamper, "legs.damper")
    assert damper.unit.base.needle.clicks == 10 and damper.oil_temperature == pytest.approx(328.15)
    slips = (("stock", "closed catridge", "did you mean 'closed cartridge'"),
             ("compression_low", 40, "allowed: 0 to 24"), ("oil_temperature", "550 degC", "550 °C"),
             ("oil", table["oil"] | {"pour_point": "60 degC"}, "pour_point is 60 °C; allowed: −75 to 15 °C"))
    for key, value, words in slips:
        with pytest.raises(InputError, match=words):
            part_from_table(table | {key: value}, FittedDamper, "legs.damper")


def test_oil_below_its_pour_range_is_refused_with_the_file():
    oil = {"viscosity_40": "15 mm**2/s", "viscosity_100": "3.5 mm**2/s", "pour_point": "-10 degC"}
    table = {"stock": "closed cartridge", "oil": oil, "oil_temperature": "-15 degC"}
    with pytest.raises(InputError, match=r"legs\.damper: oil temperature is −15 °C; allowed: −10 to 200 °C .*pour"):
        part_from_table(table, FittedDamper, "legs.damper")


def test_a_leg_without_damper_says_so():
    machine = load("enduro")
    bare = dataclasses.replace(machine, legs=(dataclasses.replace(machine.legs[0], damper=None),))
    with pytest.raises(InputError, match="this leg has no damper"):
        damping_table(bare, [0.1], [1.0])


def test_another_damper_s_stop_ends_with_the_travel():
    """The closed cartridge is built for 300 mm; in the trail machine of 280 mm its stop ends there."""
    trail = refitted(load("trail"), "closed cartridge")
    assert stock_damper("closed cartridge").end_stop.full_stroke == 0.3
    assert [leg.damper.unit.end_stop.full_stroke for leg in trail.legs] == [0.28, 0.28]
    strokes = np.linspace(0.0, 0.28, 29)
    stop = damping_table(trail, strokes, [1.0], part="stop_force")[:, 0]
    assert stop[-1] > 0.0 and np.all(stop[strokes < 0.28 - 0.05] == 0.0)


def test_a_file_s_damper_is_fitted_to_the_travel_and_may_be_a_file_itself(tmp_path):
    trail = (MACHINES / "trail.toml").read_text(encoding="utf-8")
    shelf = MACHINES.parent / "dampers" / "closed_cartridge.toml"
    own = tmp_path / "own.toml"
    for stock in ("closed cartridge", shelf.as_posix()):
        own.write_text(trail.replace('"open cartridge"', f'"{stock}"'), encoding="utf-8")
        unit = load(own).legs[1].damper.unit
        assert (unit.end_stop.full_stroke, unit.rebound.needle.clicks) == (0.28, 14)
