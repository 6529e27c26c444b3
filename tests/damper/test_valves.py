"""Valves: strictly rising flow, its inverse, shares, openings; on the school's valves and on invented ones."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, elementwise

from suspedu.damper import VALVES
from suspedu.damper import ports as shim_ports
from suspedu.damper.fluid import Fluid
from suspedu.damper.holding import Float, PreloadAdjuster
from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.damper.ports import ShimPort
from suspedu.damper.valves import LEAST_AREA, Valve, flow, openings, path_states, pressure_drop
from suspedu.numerics import bracketed_root
from suspedu.parts.shim_stacks import Port, Shim, Stack
from suspedu.units import InputError

NINE_DECADES = np.geomspace(1e-1, 1e8, 1801)
LEAK = Clearance(22e-3, 0.02e-3, 4e-3)
STACKS = tuple(Stack((Shim(19e-3, t),) * n + (Shim(13e-3, t),), clamp_diameter=9e-3)
               for t, n in ((0.1e-3, 1), (0.15e-3, 3), (0.3e-3, 5)))
ports = st.builds(
    ShimPort, name=st.just("port"), holes=st.builds(Hole, st.floats(1e-3, 5e-3), st.just(8e-3), st.integers(1, 6)),
    seat=st.just(Port(11e-3, 17e-3)), stack=st.sampled_from(STACKS), crack=st.floats(0, 20e5),
    floating=st.none() | st.builds(Float, st.floats(1e-5, 1e-3), st.floats(1e2, 4e4), st.floats(0, 20)),
    adjuster=st.none() | st.builds(PreloadAdjuster, st.floats(2e3, 2e5), st.floats(0, 3e-3), st.just(5e-5), st.just(20),
                                   st.integers(0, 20)), land=st.sampled_from((0.0, 0.2e-3, 0.4e-3, 0.5e-3, 2e-3)))
needles = st.builds(Needle, st.floats(1e-3, 4e-3), st.floats(0.2, 1.5), st.floats(1e-5, 1e-4), st.floats(1e-4, 2e-3),
                    st.just(24), st.integers(0, 24))
any_valve = st.builds(Valve, st.builds(Clearance, st.just(22e-3), st.floats(2e-6, 1e-4), st.just(4e-3)),
                      st.none() | needles, st.none(), st.tuples() | st.tuples(ports))
any_fluid = st.builds(Fluid, st.floats(750, 950), st.floats(2e-3, 0.5), st.just(1.0))


@settings(max_examples=50)
@given(valve=any_valve, fluid=any_fluid)
def test_flow_rises_and_its_inverse_gives_the_pressure_back(valve, fluid):
    """Nine decades of pressure; 1e-9 relative is what the root finder is asked for."""
    through = flow(NINE_DECADES, valve, fluid)
    assert np.all(np.diff(through) > 0) and flow(0.0, valve, fluid) == 0
    np.testing.assert_allclose(pressure_drop(through, valve, fluid), NINE_DECADES, rtol=1e-9)


@settings(max_examples=30)
@given(valve=any_valve, fluid=any_fluid)
def test_flow_is_continuous_where_things_open(valve, fluid):
    for _, pressure in openings(valve, fluid):
        if pressure > 0:
            wide, near = (np.ptp(flow(pressure * np.array([1 - h, 1 + h]), valve, fluid)) for h in (1e-6, 1e-9))
            assert near <= 0.05 * wide  # a step would stay however near one looks


@settings(max_examples=30)
@given(valve=any_valve, fluid=any_fluid, pressure=st.just(0.0) | st.floats(1e-6, 1e8))
def test_shares_sum_to_one_and_shut_paths_carry_nothing(valve, fluid, pressure):
    states = path_states(pressure, valve, fluid)
    assert sum(state.share for state in states.values()) == pytest.approx(1.0 if pressure > 0 else 0.0)
    assert sum(state.flow for state in states.values()) == flow(pressure, valve, fluid)
    most = LEAST_AREA * np.sqrt(2 * pressure / fluid.density)  # a jet through so little that it counts as shut
    for state in states.values():
        assert state.open or state.flow <= most
        assert state.reynolds >= 0 and state.lift >= 0


@pytest.mark.parametrize("key", VALVES)
def test_inverse_agrees_with_the_library(stock, fluid, key):
    """Against scipy's scalar and elementwise root finders, on every valve of the school."""
    valve = getattr(stock, key)
    through = np.geomspace(1e-7, 1e-3, 25)
    ours = pressure_drop(through, valve, fluid)
    single = [np.exp(brentq(lambda u, q=q: flow(np.exp(u), valve, fluid) - q, -10, 40, xtol=1e-13)) for q in through]
    many = elementwise.find_root(lambda u, q: flow(np.exp(u), valve, fluid) - q, (-10.0, 40.0), args=(through,))
    np.testing.assert_allclose(ours, single, rtol=1e-10)
    np.testing.assert_allclose(ours, np.exp(many.x), rtol=1e-10)


def test_inverse_takes_any_shape(closed, fluid):
    through = np.array([[0.0, 1e-5], [2e-5, 0.0]])
    drop = pressure_drop(through, closed.base, fluid)
    assert drop.shape == (2, 2) and drop[0, 0] == drop[1, 1] == 0
    assert pressure_drop(1e-5, closed.base, fluid) == pytest.approx(drop[0, 1], rel=1e-12)
    assert pressure_drop(0.0, closed.base, fluid) == 0


def test_port_and_curtain_are_in_series(closed):
    port = closed.base.ports[0]
    assert port.area(port.bending) == 0 and port.lift(0.5 * port.bending) == 0
    far = port.area(1e13)  # the shims are out of the way: only the holes are left
    assert far / port.holes.area(0.0) == pytest.approx(1, rel=1e-4)
    drop = 8e5
    curtain = np.pi * port.seat.outer_diameter * port.lift(drop)
    assert port.area(drop) ** -2 / (curtain**-2 + port.holes.area(0.0) ** -2) == pytest.approx(1, rel=1e-12)


def test_float_lifts_first_and_then_the_stack_bends(closed):
    port = closed.mid.ports[0]
    gap = port.floating.gap
    assert port.lift(port.opening) == 0
    used_up = port.opening + port.floating.rate * gap / port.face_area  # pressures on the shims
    assert port.lift(0.5 * (port.opening + used_up)) == pytest.approx(gap / 2, abs=1e-12)
    assert port.bending > used_up  # the stack's own preload comes after the float
    assert port.lift(used_up) == port.lift(port.bending) == pytest.approx(gap, abs=1e-12)
    assert port.lift(10 * port.bending) > 1.05 * gap


def test_adjuster_sets_the_crack_pressure(closed, fluid):
    port = closed.base.ports[1]
    hard, soft = (dataclasses.replace(port, adjuster=dataclasses.replace(port.adjuster, clicks=c)) for c in (0, 20))
    per_click = port.adjuster.rate * port.adjuster.pitch / port.face_area
    assert hard.opening - soft.opening == pytest.approx(20 * per_click)
    assert soft.area(hard.opening) > 0 == hard.area(hard.opening)


def test_more_clicks_out_pass_more(closed, fluid):
    needle = closed.base.needle
    through = [flow(5e5, dataclasses.replace(closed.base, needle=dataclasses.replace(needle, clicks=c)), fluid)
               for c in range(25)]
    assert np.all(np.diff(through) > 0)


def test_thicker_oil_and_denser_oil_pass_less(closed):
    thin, thick, heavy = (flow(NINE_DECADES, closed.base, Fluid(*pair)) for pair in
                          ((850, 0.01), (850, 0.05), (950, 0.01)))
    assert np.all(thick < thin) and np.all(heavy < thin)
    assert thin[0] / thick[0] == pytest.approx(5, rel=1e-3)  # creeping: viscosity alone
    assert thin[-1] / thick[-1] < 1.1  # jets: viscosity hardly


def test_a_ring_shim_holds_the_stack_shut_until_its_crack_pressure():
    ring = Stack((Shim(19e-3, 0.15e-3), Shim(17e-3, 0.1e-3, 15e-3), Shim(17e-3, 0.15e-3), Shim(17e-3, 0.15e-3)), 9e-3)
    port = ShimPort("ring", Hole(3e-3, 8e-3, 3), Port(11e-3, 17e-3), ring)
    assert port.bending > 0
    assert port.area(0.99 * port.bending) < 1e-9 * port.area(1.01 * port.bending)  # the solver's own rounding


@pytest.mark.parametrize(("call", "words"), [
    (lambda: flow(-1.0, Valve(LEAK), Fluid(850, 0.01)), "pressure drop is -1 Pa"),
    (lambda: pressure_drop(np.array([1e-5, -2e-5]), Valve(LEAK), Fluid(850, 0.01)), "flow is −2e-05 m³/s"),
    (lambda: Clearance(22e-3, -0.02e-3, 4e-3), "radial clearance is −0.02 mm"),
    (lambda: Hole(2e-3, 5e-3, 0), "number of holes is 0; allowed: 1 to 40"),
    (lambda: Needle(2.5e-3, 0.5, 5e-5, 3e-4, 24, 25), "clicks out is 25; allowed: 0 to 24"),
    (lambda: PreloadAdjuster(6e4, 0.0, 5e-5, 20, 21), "clicks out is 21; allowed: 0 to 20"),
    (lambda: ShimPort("bare", Hole(2e-3, 5e-3), Port(11e-3, 17e-3)), "neither a stack nor a float"),
    (lambda: Valve(LEAK, ports=(ShimPort("leak", Hole(2e-3, 5e-3), Port(11e-3, 17e-3), STACKS[0]),)), "share a name"),
])
def test_slips_get_a_sentence(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value)


def test_every_path_speaks_the_same_words():
    for kind in shim_ports.Path.__args__:
        assert all(hasattr(kind, word) for word in ("area", "lift", "resistance", "perimeter"))


def test_bracketed_root_survives_a_hard_kink():
    """A function that is flat to 1e-12 and then steep, all kinks elsewhere in the bracket."""
    kink = np.linspace(0.05, 0.95, 19)
    found = bracketed_root(lambda x: np.where(x < kink, 1e-12 * (x - kink), 1e6 * (x - kink)) - 1e-3,
                                  np.zeros(19), np.ones(19))
    np.testing.assert_allclose(found, kink + 1e-9, rtol=1e-12)
