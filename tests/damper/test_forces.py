"""The leg's force: statics, energy, the vapour floor, opening order; for the school's dampers and any setting."""

import dataclasses
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import suspedu
from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.damper import Pressuriser, force_table, leg_force, opening_speeds, reservoir_pressure, stock_damper
from suspedu.damper.explain import margin_of
from suspedu.damper.fluid import fluid_at
from suspedu.damper.forces import valve_drops
from suspedu.parts.oil import Oil, vapour_pressure
from suspedu.units import STANDARD_ATMOSPHERE, InputError

OIL = Oil(15e-6, 3.5e-6)
SPEEDS = np.concatenate([-np.geomspace(6, 1e-3, 60), [0.0], np.geomspace(1e-3, 6, 60)])
SPEEDS_HIGH = np.geomspace(0.02, 2.0, 4001)  # of compression, fine enough for slopes
DAMPERS = {name: stock_damper(name) for name in ("closed cartridge", "open cartridge", "damping rod")}
LANDS = (0.0, 0.2e-3, 0.5e-3)  # m of seat under the shims; few, since each asks for lift curves of its own
CLICKERS = ("base.needle", "base.ports.adjuster", "rebound.needle")  # where they sit in a cartridge


@st.composite
def situations(draw):
    """Any of the school's dampers with its clicks, seat lands, leak rings, oil temperature, air pressure; some
    mid-valves tear the oil."""
    damper = other_walls(draw, DAMPERS[draw(st.sampled_from(sorted(DAMPERS)))])
    clickers = [place for place in CLICKERS if leads_somewhere(damper, f"{place}.clicks")]
    for place in clickers:
        damper = changed(damper, f"{place}.clicks", draw(st.integers(0, value_at(damper, f"{place}.last_click"))))
    if clickers and draw(st.booleans()):  # a mid-valve stiff enough to tear the oil
        port = dataclasses.replace(damper.mid.ports[0], floating=None, crack=draw(st.floats(0, 40e5)))
        damper = dataclasses.replace(damper, mid=dataclasses.replace(damper.mid, ports=(port,)))
    return damper, draw(st.floats(0, 0.3)), draw(st.floats(243.15, 373.15)), draw(st.floats(1e5, 8e5))


def other_walls(draw, damper):
    """The damper with other seat lands and needle lands, and its leak rings off the middle by any share."""
    for valve in ("base", "mid", "rebound"):
        if not leads_somewhere(damper, f"{valve}.leak"):  # the damping rod: its valves are made of its holes
            return changed(damper, "ring_leak.eccentricity", draw(st.floats(0, 1)))
        was = getattr(damper, valve)
        ports = tuple(dataclasses.replace(port, land=draw(st.sampled_from(LANDS))) for port in was.ports)
        leak = dataclasses.replace(was.leak, eccentricity=draw(st.floats(0, 1)))
        needle = was.needle and dataclasses.replace(was.needle, land=draw(st.floats(1e-5, 3e-3)))
        damper = dataclasses.replace(damper, **{valve: dataclasses.replace(was, ports=ports, leak=leak, needle=needle)})
    return damper


@settings(max_examples=50)
@given(situations())
def test_passive_above_the_floor_and_consistent(situation):
    damper, stroke, temperature, air = situation
    leg = leg_force(stroke, SPEEDS, damper, OIL, temperature, air_pressure=air)
    given_away = (leg.damping_force + leg.stop_force) * SPEEDS
    assert np.all(given_away >= 0) and np.all(given_away[np.abs(SPEEDS) > 1e-2] > 0)  # passivity
    floor = vapour_pressure(temperature) * (1 - 1e-12)
    assert np.all(np.array([leg.compression_chamber, leg.rebound_chamber, leg.cup, leg.reservoir]) >= floor)
    np.testing.assert_allclose(leg.force, leg.gas_force + leg.damping_force + leg.stop_force, rtol=1e-12, atol=1e-9)
    assert np.all((leg.margin > 0) | leg.cavitating)
    swept = np.where(SPEEDS >= 0, damper.piston_area * SPEEDS, 0)
    kept = np.where(SPEEDS >= 0, leg.base_flow + leg.piston_flow, 0)
    np.testing.assert_allclose(kept, swept, rtol=1e-9, atol=1e-15)  # no oil is lost below the piston, torn or not


@settings(max_examples=30)
@given(situations())
def test_virtual_work_equals_the_pressure_sum(situation):
    """dp_base A_r + dp_mid (A_p - A_r) is the pressure sum less the gas part, wherever the oil holds."""
    damper, stroke, temperature, air = situation
    leg = leg_force(stroke, SPEEDS, damper, OIL, temperature, air_pressure=air)
    base, mid, rebound, refill = valve_drops(SPEEDS, damper, fluid_at(temperature, OIL, damper.air_fraction))
    rod, ring = damper.displaced_area, damper.piston_area - damper.displaced_area
    work = (base - refill) * rod + (mid - rebound) * ring
    whole = ~leg.cavitating
    np.testing.assert_allclose(leg.damping_force[whole], work[whole], rtol=1e-9, atol=1e-7)
    outside = STANDARD_ATMOSPHERE if leg.gas_force.any() else leg.reservoir
    summed = leg.compression_chamber * damper.piston_area - leg.rebound_chamber * ring - outside * rod
    np.testing.assert_allclose(leg.force - leg.stop_force, summed, rtol=1e-9, atol=1e-6)


@settings(max_examples=30)
@given(situations())
def test_torn_oil_loads_the_piston_less_than_whole_oil(situation):
    """The floor caps the piston's pressure drop; what the mid-valve then passes less, the base valve passes more."""
    damper, stroke, temperature, air = situation
    leg = leg_force(stroke, SPEEDS, damper, OIL, temperature, air_pressure=air)
    _, mid, _, _ = valve_drops(SPEEDS, damper, fluid_at(temperature, OIL, damper.air_fraction))
    torn = (SPEEDS > 0) & leg.cavitating
    drop = (leg.compression_chamber - leg.rebound_chamber)[torn]
    assert np.all(drop <= mid[torn] * (1 + 1e-9)) and np.all(drop <= leg.compression_chamber[torn])
    swept = (damper.piston_area - damper.displaced_area) * SPEEDS[torn]
    assert np.all(leg.piston_flow[torn] <= swept * (1 + 1e-9))


@settings(max_examples=30)
@given(situations())
def test_force_rises_with_velocity_and_has_no_steps(situation):
    damper, stroke, temperature, air = situation
    fine = np.linspace(-2, 2, 2001)
    force = leg_force(stroke, fine, damper, OIL, temperature, air_pressure=air).damping_force
    assert np.all(np.diff(force) > -1e-9 * np.abs(force[1:]))
    rise, place = np.max(np.diff(force)), fine
    for _ in range(4):  # close in on the steepest place, down to 1e-9 m/s: only a true step would stay whole
        at = int(np.argmax(np.diff(force)))
        place = np.linspace(place[at], place[at + 1], 65)
        force = leg_force(stroke, place, damper, OIL, temperature, air_pressure=air).damping_force
    assert np.max(np.diff(force)) < 0.1 * rise


@settings(max_examples=20)
@given(situations(), st.sampled_from(CLICKERS))
def test_clicks_out_never_harden_at_any_speed(situation, place):
    """From gently closed to the end of the screw, at every speed of both directions, torn oil too."""
    damper, stroke, temperature, air = situation
    if leads_somewhere(damper, f"{place}.clicks"):
        turned = [changed(damper, f"{place}.clicks", clicks)
                  for clicks in range(0, value_at(damper, f"{place}.last_click") + 1, 4)]
        force = np.array([np.abs(leg_force(stroke, SPEEDS[::4], each, OIL, temperature, air_pressure=air).damping_force)
                          for each in turned])
        assert np.all(np.diff(force, axis=0) <= 1e-9 * force[:-1] + 1e-9)


def test_standard_leg_lies_where_practice_does():
    """200-500 N compression at 1 m/s, rebound one and a half to three times that (common practice)."""
    closed = DAMPERS["closed cartridge"]
    speeds = np.array([0.25, 0.5, 1.0])
    compression = leg_force(0.15, speeds, closed, OIL).damping_force
    rebound = -leg_force(0.15, -speeds, closed, OIL).damping_force
    assert 40 < compression[0] < 150 and 200 < compression[2] < 500
    assert np.all((rebound / compression > 1.5) & (rebound / compression < 3.2))


def test_every_clicker_has_a_useful_range():
    """From end to end a clicker moves the force in its own speed range by at least 15 %, and softer is outwards."""
    closed = DAMPERS["closed cartridge"]
    for place, speed in zip(CLICKERS, (0.1, 1.0, -0.25), strict=True):
        turned = [changed(closed, f"{place}.clicks", c) for c in range(value_at(closed, f"{place}.last_click") + 1)]
        force = np.array([abs(leg_force(0.15, speed, each, OIL).damping_force) for each in turned])
        assert np.all(np.diff(force) < 1e-9) and force[0] > 1.15 * force[-1]
    shut = changed(closed, "base.ports.adjuster.clicks", 0)
    assert leg_force(0.1, 0.1, shut, OIL).force == leg_force(0.1, 0.1, closed, OIL).force


@pytest.mark.parametrize("temperature", [283.15, 313.15, 353.15])
def test_opening_order_comes_out_of_the_numbers(temperature):
    """Low-speed orifice, low-speed stack, mid-valve float, then its stack, high-speed stack (common practice)."""
    opened = [what for what, speed in opening_speeds(DAMPERS["closed cartridge"], OIL, temperature)]
    order = ["base valve: needle", "base valve: low-speed stack", "mid-valve: mid float", "mid-valve: mid stack",
             "base valve: high-speed stack"]
    assert [what for what in opened if what in order] == order


def test_slope_falls_at_each_opening():
    """dF/dv behind an opening is less than just before: from the force curve, not from the valve's own account.

    Over a seat land oil creeps at first, so a shut stack that begins to lift is felt over the next half of its speed.
    """
    closed = DAMPERS["closed cartridge"]
    found = dict(opening_speeds(closed, OIL))
    for what in ("base valve: low-speed stack", "mid-valve: mid float", "mid-valve: mid stack",
                 "base valve: high-speed stack"):
        at = found[what]
        h, behind = 2e-4 * at, 0.5 * at if what.endswith("speed stack") else 0.0
        force = leg_force(0.15, at + np.array([-2 * h, -h, behind + h, behind + 2 * h]), closed, OIL).damping_force
        assert force[3] - force[2] < 0.98 * (force[1] - force[0]), what


def test_standard_setting_stays_whole_and_a_stiff_mid_valve_tears():
    strokes, speeds = np.linspace(0, 0.3, 7), np.linspace(-4, 11, 61)  # a ride over the jump reaches 10.4 m/s
    closed = DAMPERS["closed cartridge"]
    assert margin_of(closed, strokes, speeds, OIL)[0] > 0.2e5
    held = dataclasses.replace(closed.mid.ports[0], floating=None, crack=12e5)
    stiff = dataclasses.replace(closed.mid, ports=(held,))
    leg = leg_force(0.15, np.array([0.1, 0.3, 0.6]), dataclasses.replace(closed, mid=stiff), OIL)
    assert leg.cavitating.any() and np.all(leg.rebound_chamber[leg.cavitating] <= vapour_pressure(313.15) * (1 + 1e-9))


def test_open_cartridge_tears_before_the_closed_one():
    """One mid-valve without float, held harder step by step: without gas pressure behind it, oil lets go earlier."""
    def first_to_tear(damper):
        for crack in np.arange(0, 20e5, 0.25e5):
            held = dataclasses.replace(damper.mid.ports[0], floating=None, crack=crack)
            mid = dataclasses.replace(damper.mid, ports=(held,))
            if leg_force(0.1, np.linspace(0.02, 1, 50), dataclasses.replace(damper, mid=mid), OIL).cavitating.any():
                return crack
        return np.inf
    assert first_to_tear(DAMPERS["open cartridge"]) < first_to_tear(DAMPERS["closed cartridge"]) < np.inf


def test_damping_rod_follows_the_square_law():
    rod = DAMPERS["damping rod"]
    force = leg_force(0.15, np.array([1.0, 2.0, 4.0]), rod, OIL).damping_force
    np.testing.assert_allclose(force[1:] / force[:-1], 4, rtol=0.07)  # 7 %: walls, ends, ring leak
    shims = leg_force(0.15, np.array([1.0, 2.0, 4.0]), DAMPERS["closed cartridge"], OIL).damping_force
    assert np.all(shims[1:] / shims[:-1] < 2.2)
    with pytest.raises(InputError, match="there is no 'base' here"):  # its openings are fixed
        changed(rod, "base.needle.clicks", 5)


def test_gas_part_is_the_rods_push_and_open_dampers_have_none():
    closed = DAMPERS["closed cartridge"]
    strokes = np.linspace(0, 0.3, 31)
    leg = leg_force(strokes, 0.0, closed, OIL, 293.15)
    assert leg.gas_force[0] == pytest.approx(closed.pressuriser.charge * closed.displaced_area)
    assert np.all(np.diff(leg.gas_force) > 0)
    work = np.trapezoid(leg.gas_force + STANDARD_ATMOSPHERE * closed.displaced_area, strokes)
    gas, swept = closed.pressuriser, closed.displaced_area * 0.3
    n, p0 = gas.exponent, gas.charge + STANDARD_ATMOSPHERE
    stored = p0 * gas.gas_volume / (n - 1) * ((1 - swept / gas.gas_volume) ** (1 - n) - 1)
    assert work == pytest.approx(stored, rel=1e-3)  # polytropic work; trapezoid of 30 steps
    assert np.all(leg_force(strokes, 1.0, DAMPERS["open cartridge"], OIL, air_pressure=3e5).gas_force == 0)


@settings(max_examples=30)
@given(situations(), st.floats(0.5, 8.0))
def test_one_number_at_a_time_is_the_same_as_a_grid(situation, speed):
    """Oil that holds and oil that cavitates; plain numbers in, plain numbers out."""
    damper, stroke, temperature, air = situation
    one = leg_force(stroke, speed, damper, OIL, temperature, air_pressure=air)
    grid = leg_force(np.array([[0.0], [stroke]]), np.array([0.1, speed]), damper, OIL, temperature, air_pressure=air)
    for name in vars(one):
        assert np.ndim(getattr(one, name)) == 0
        assert float(getattr(one, name)) == pytest.approx(float(getattr(grid, name)[1, 1]), rel=1e-9, abs=1e-9), name


def test_a_cavitating_point_may_be_given_as_plain_numbers(closed):
    held = dataclasses.replace(closed.mid.ports[0], floating=None, crack=40e5)
    starved = dataclasses.replace(closed, mid=dataclasses.replace(closed.mid, ports=(held,)))
    leg = leg_force(0.15, 1.0, starved, OIL)
    assert bool(leg.cavitating) and leg.base_flow + leg.piston_flow == pytest.approx(closed.piston_area, rel=1e-12)


def test_table_is_the_leg_force_on_a_grid(stock, oil):
    strokes, speeds = np.linspace(0, 0.28, 8), np.linspace(-2, 2, 9)
    air = np.linspace(1e5, 3e5, 8)
    table = force_table(strokes, speeds, stock, oil, air_pressure=air)
    assert table.shape == (8, 9)
    for i, j in ((0, 0), (3, 7), (7, 8)):
        assert table[i, j] == pytest.approx(
            leg_force(strokes[i], speeds[j], stock, oil, air_pressure=air[i]).force, rel=1e-9)
    parts = [force_table(strokes, speeds, stock, oil, air_pressure=air, part=part)
             for part in ("damping_force", "stop_force", "gas_force")]
    np.testing.assert_allclose(table, sum(parts), rtol=1e-12, atol=1e-9)


def test_cold_oil_damps_more_and_foam_less():
    closed, opened = DAMPERS["closed cartridge"], DAMPERS["open cartridge"]
    cold, hot = (leg_force(0.15, SPEEDS_HIGH, closed, OIL, t).damping_force for t in (273.15, 353.15))
    assert np.all(cold > hot) and cold[0] / hot[0] > 1.5 > cold[-1] / hot[-1]
    foam = dataclasses.replace(opened, air_fraction=0.2)
    assert leg_force(0.1, 1.0, foam, OIL).damping_force < leg_force(0.1, 1.0, opened, OIL).damping_force


@pytest.mark.parametrize(("call", "words"), [
    (lambda d: changed(d, "base.needle.clicks", 25), "clicks out is 25; allowed: 0 to 24"),
    (lambda d: changed(d, "rebound.needle.clicks", -1), "clicks out is −1"),
    (lambda d: changed(d, "base.ports.adjuster.clicks", 99), "clicks out is 99; allowed: 0 to 20"),
    (lambda d: leg_force(0.1, 1.0, d, OIL, 200.0), "pour"),
    (lambda d: leg_force(0.1, np.array([0.5, np.nan]), d, OIL), "is a velocity missing"),
    (lambda d: dataclasses.replace(d, rod=25e-3 - 1e-3, bore=20e-3), "were the two exchanged?"),
    (lambda d: reservoir_pressure(0.3, dataclasses.replace(d, pressuriser=Pressuriser(1e5, 30e-6))), "larger gas"),
    (lambda d: stock_damper("opne cartridge"), "did you mean 'open cartridge'?"),
])
def test_slips_get_a_sentence(closed, call, words):
    with pytest.raises(InputError) as caught:
        call(closed)
    assert words in str(caught.value)


def test_slips_in_a_file_get_a_sentence(tmp_path):
    text = (Path(suspedu.__file__).parent / "data" / "dampers" / "closed_cartridge.toml").read_text(encoding="utf-8")
    slips = (('bore = "24 mm"', 'bore = "24 cm"', "damper.bore"), ("clicks = 12", "clicks = 40", "clicks"),
             ('rod = "12 mm"', 'rdo = "12 mm"', "rdo"), ('gap = "0.35 mm"', 'gap = "-0.35 mm"', "gap"),
             ('gap = "0.012 mm"', 'gap = "-0.012 mm"', r"base\.leak\.gap is −0.012 mm; allowed: 0.001 to 0.5 mm"),
             ('diameter = "11 mm", thickness = "0.25', 'diameter = "21 mm", thickness = "0.25', "the wrong way up"),
             ('clamp_diameter = "9 mm"', 'clamp_diameter = "12 mm"', "a clamp is never larger than a shim"),
             ('thickness = "0.15 mm"', 'thickness = "0 mm"', r"shims\[1\]\.thickness is 0 mm; allowed: 0.03 to 2 mm"),
             ("last_click = 24", "last_click = 99", "last click is 99; allowed: 1 to 60"))
    for old, new, words in slips:
        path = tmp_path / "own.toml"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        with pytest.raises(InputError, match=words):
            stock_damper(str(path))
    with pytest.raises(InputError, match="cannot be read"):
        stock_damper(str(tmp_path / "none.toml"))
