"""Ports step by step: the un-rearranged equations solved by the library, the limits, every new term passive."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import root

from suspedu.damper import ports as port_laws
from suspedu.damper.fluid import Fluid
from suspedu.damper.holding import Float, PreloadAdjuster
from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.damper.ports import ShimPort, marched
from suspedu.damper.valves import Valve, openings
from suspedu.parts.restrictions import bore_end_resistance, bore_resistance, orifice_flow, slit_end_resistance
from suspedu.parts.shim_stacks import Port, Shim, Stack, lift_curve

WARM, COLD = Fluid(843.0, 0.0126), Fluid(880.0, 0.3)
STACKS = tuple(Stack((Shim(19e-3, t),) * n + (Shim(13e-3, t),), clamp_diameter=9e-3)
               for t, n in ((0.1e-3, 1), (0.15e-3, 3), (0.3e-3, 5)))
LANDS = (0.0, 0.2e-3, 0.4e-3, 0.5e-3, 2e-3)
PORTS = st.builds(
    ShimPort, name=st.just("port"), holes=st.builds(Hole, st.floats(1e-3, 5e-3), st.just(8e-3), st.integers(1, 6),
                                                    st.floats(0.5, 1.0)),
    seat=st.just(Port(11e-3, 17e-3)), stack=st.sampled_from(STACKS), crack=st.floats(0, 20e5),
    floating=st.none() | st.builds(Float, st.floats(1e-5, 1e-3), st.floats(1e2, 4e4), st.floats(0, 20)),
    adjuster=st.none() | st.builds(PreloadAdjuster, st.floats(2e3, 2e5), st.floats(0, 3e-3), st.just(5e-5), st.just(20),
                                   st.integers(0, 20)), land=st.sampled_from(LANDS))
FLUIDS = st.builds(Fluid, st.floats(750, 950), st.floats(2e-3, 0.5), st.just(1.0))
LOW = ShimPort("low", Hole(1.4e-3, 8e-3, 2), Port(11e-3, 17e-3), STACKS[1], crack=0.6e5)
DROPS = np.array([0.8e5, 2e5, 5e5, 20e5, 100e5])


@pytest.fixture()
def bending_only(monkeypatch):
    """Shims that cannot stretch, for ports that are made from here on."""
    monkeypatch.setattr(port_laws, "lift_curve", lambda stack, port: lift_curve(stack, port, stretching=False))


def unrearranged(drop, port, fluid):
    """Flow, pocket pressure and lift of a port from its equations as they stand, by the library's root finder.

    Written a second time, from the physics: walls and ends as pressure drops, a balance of forces on the shims.
    """
    holes, around, face = port.holes, np.pi * port.seat.outer_diameter, port.face_area
    near = port.opening + 0.9 * (drop - port.opening)
    scale = np.array([marched(near, port, fluid).flow, drop, port.lift(near)])

    def left_over(unknowns):
        flow, pocket, lift = unknowns * scale
        jet = fluid.density / 2 * (flow / (holes.discharge * holes.widest)) ** 2
        lost = fluid.viscosity * flow * (bore_resistance(holes.diameter, holes.length, holes.count)
                                         + bore_end_resistance(holes.diameter, holes.count)) + jet
        slope = float(port.curve.rim_slope(lift)) * port.covered_land
        channel = quad(lambda s: 12 / around / (lift + slope * (s - 0.5)) ** 3, 0, 1)[0] * port.covered_land
        curtain = (fluid.viscosity * flow * (channel + slit_end_resistance(lift, around))
                   + fluid.density / 2 * (flow / (holes.discharge * around * lift)) ** 2)
        push = pocket * face + fluid.density * flow**2 / holes.widest  # N: pressure, and the jet that turns
        return [(pocket + lost - drop) / drop, (curtain - pocket) / drop,
                (port.curve(push / face - port.crack) - lift) / scale[2]]

    return root(left_over, np.ones(3), tol=1e-13).x * scale


@pytest.mark.parametrize("fluid", [WARM, COLD], ids=["warm", "cold"])
@pytest.mark.parametrize("drop", DROPS)
def test_the_march_solves_the_equations_as_they_stand(drop, fluid):
    flow, pocket, lift = unrearranged(drop, LOW, fluid)
    ours = LOW.march(drop, fluid)
    assert float(ours.flow) == pytest.approx(flow, rel=1e-8)
    assert float(ours.pocket) == pytest.approx(pocket, rel=1e-8)
    assert float(LOW.lift(ours.on_shims)) == pytest.approx(lift, rel=1e-8)


@settings(max_examples=60)
@given(port=PORTS, fluid=FLUIDS)
def test_flow_and_drop_rise_along_the_march_and_every_part_takes_energy(port, fluid):
    on_shims = np.geomspace(1.0, 1e8, 1501)
    at = marched(on_shims, port, fluid)
    assert np.all(np.diff(at.flow) >= 0) and np.all(np.diff(at.drop) > 0)
    assert np.all(at.pocket >= 0) and np.all(at.drop >= on_shims * (1 - 1e-12)) and np.all(at.drop >= at.pocket)
    back = port.march(at.drop, fluid)
    np.testing.assert_allclose(back.on_shims, on_shims, rtol=1e-9)


@settings(max_examples=40)
@given(port=PORTS, pressure=st.floats(1e3, 1e8))
def test_thicker_oil_passes_less_and_a_wider_land_too(port, pressure):
    thin, thick = (float(port.flow(pressure, Fluid(850.0, mu))) for mu in (0.005, 0.05))
    assert thick <= thin
    wide = dataclasses.replace(port, land=1.0e-3)
    narrow = dataclasses.replace(port, land=0.0)
    at = max(wide.bending, narrow.bending) * 1.5 + 1e4
    lift = float(narrow.lift(at))
    for fluid in (WARM, COLD):  # at one lift: the wider land's pressure area is a second thing, tested by itself
        walls = [marched(at, each, fluid).flow for each in (narrow, wide)]
        assert float(wide.lift(at)) > lift or walls[1] <= walls[0]


def old_law(drop, lift, port, density):
    """The law before walls, pocket and stretch: holes and curtain as one sharp orifice."""
    curtain, holes = np.pi * port.seat.outer_diameter * lift, port.holes.widest
    area = holes * curtain / np.sqrt(holes**2 + curtain**2)
    return orifice_flow(drop, area, density, discharge=port.discharge)


@settings(max_examples=40)
@given(port=PORTS)
def test_without_viscosity_the_same_lift_passes_what_it_did(port):
    """Pocket share apart (the lift is given), walls and ends gone: the old closed form to 1e-9."""
    at = marched(np.geomspace(1e3, 1e8, 41), port, Fluid(850.0, 0.0))
    np.testing.assert_allclose(at.flow, old_law(at.drop, port.lift(at.on_shims), port, 850.0), rtol=1e-9, atol=1e-18)


@pytest.mark.usefixtures("bending_only")
def test_all_new_terms_off_is_the_old_law():
    """A knife edge, no viscosity, shims that only bend, holes so wide that the pocket has all of the pressure."""
    wide = ShimPort("wide", Hole(20e-3, 8e-3, 40), Port(11e-3, 17e-3), STACKS[2], crack=0.6e5, land=0.0)
    thin = Fluid(850.0, 0.0)
    drop = np.geomspace(0.7e5, 1e6, 31)
    straight = lift_curve(STACKS[2], Port(11e-3, 17e-3)).straight(drop - 0.6e5)
    assert np.all(wide.flow(drop, thin) > 0)
    np.testing.assert_allclose(wide.flow(drop, thin), old_law(drop, straight, wide, 850.0), rtol=1e-9)
    gap = [abs(float(w.flow(5e5, thin)) / float(old_law(5e5, lift_curve(w.stack, w.pressed).straight(4.4e5), w, 850.0))
               - 1) for w in (dataclasses.replace(wide, holes=Hole(d, 8e-3, 40)) for d in (5e-3, 10e-3))]
    assert gap[0] / gap[1] == pytest.approx(16, rel=0.05)  # the pocket's share falls with the square of the holes' area


@pytest.mark.parametrize("fluid", [WARM, COLD], ids=["warm", "cold"])
def test_walls_vanish_against_a_knife_edge(fluid):
    lift = 0.05e-3
    resistance = []
    for land in (0.4e-3, 0.04e-3, 0.004e-3, 0.0):
        plate = ShimPort("plate", Hole(4e-3, 8e-3, 6), Port(11e-3, 17e-3), None, floating=Float(lift, 10.0, 0.0),
                         land=land)
        at = marched(1e3, plate, fluid)  # the light spring is long used up: the lift is the float's
        around = np.pi * plate.seat.outer_diameter
        jet = fluid.density / 2 * (at.flow / (plate.discharge * around * lift)) ** 2
        resistance.append((at.pocket - jet) / (fluid.viscosity * at.flow))
    ends = slit_end_resistance(lift, around)
    np.testing.assert_allclose(resistance[3], ends, rtol=1e-9)
    lands = (np.array(resistance[:3]) - ends) / (12 / (around * lift**3))
    np.testing.assert_allclose(lands, (0.4e-3, 0.04e-3, 0.004e-3), rtol=1e-6)


def test_land_as_radial_flow_between_discs():
    """Parallel discs, 6 ln(r2/r1)/(pi y^3) (printed, from memory: any text on viscous flow): our slot on its perimeter
    at the rim is the same for a land that is narrow against it: L/(2 r) apart, 2.4 % here."""
    land, radius, gap = 0.4e-3, 8.5e-3, 0.05e-3
    slot = 12 * land / (2 * np.pi * radius * gap**3)
    discs = 6 * np.log((radius + land) / radius) / (np.pi * gap**3)
    assert slot / discs == pytest.approx(1 + land / (2 * radius), rel=2e-3)


def test_a_land_that_no_shim_covers_is_no_land():
    short = dataclasses.replace(LOW, stack=Stack((Shim(17.4e-3, 0.15e-3),) * 3, 9e-3), land=0.5e-3)
    assert short.covered_land == pytest.approx(0.2e-3) and LOW.covered_land == LOW.land
    plain = dataclasses.replace(short, land=0.2e-3)
    assert float(short.flow(5e5, WARM)) == float(plain.flow(5e5, WARM))


def test_pocket_feels_less_than_the_whole_drop_and_the_jet_gives_some_back():
    at = LOW.march(DROPS, WARM)
    share = (at.drop - at.pocket) / at.drop
    assert np.all(np.diff(share) > 0) and share[0] > 0.0 and share[-1] < 1.0
    assert np.all(at.on_shims >= at.pocket) and np.all(at.on_shims <= at.drop)
    push = (at.on_shims - at.pocket) * LOW.face_area
    np.testing.assert_allclose(push, WARM.density * at.flow**2 / LOW.holes.widest, rtol=1e-6, atol=1e-9)


def test_a_stack_opens_where_it_says_for_any_oil():
    floating = dataclasses.replace(LOW, floating=Float(0.2e-3, 10e3, 5.0))
    for fluid in (WARM, COLD):
        for port in (LOW, floating):
            assert port.flow(port.opening * (1 - 1e-9), fluid) == 0 < port.flow(port.opening * (1 + 1e-3), fluid)
    drop = dict(openings(Valve(Clearance(22e-3, 0.02e-3, 4e-3), ports=(floating,)), WARM))["low stack"]
    assert drop > floating.bending  # oil flows by then, and the holes take their share
    bent = [float(floating.lift(floating.march(drop * (1 + h), WARM).on_shims)) - 0.2e-3 for h in (-1e-6, 1e-3)]
    assert abs(bent[0]) < 1e-9 and bent[1] > 1e-9


@pytest.mark.parametrize("passage", [Hole(1.4e-3, 3e-3), Needle(2.6e-3, np.radians(30), 0.04e-3, 0.3e-3)],
                         ids=["hole", "needle"])
def test_discharge_falls_at_small_reynolds_numbers(passage):
    """Coefficient of ends and jet alone, against Cd tanh(2 lambda/lambda_c) of the same creeping limit (borutzky-2002;
    printed, from memory): equal in both limits; between them two smoothings of one corner,
    which by hand are at most 0.19 of Cd apart."""
    ends = passage.resistance - {"holes": lambda: bore_resistance(passage.diameter, passage.length, passage.count),
                                 "needle": lambda: 12 * passage.land / (np.pi * passage.seat_diameter * (
                                     passage.needle_lift * np.sin(passage.cone_angle / 2)) ** 3)}[passage.kind]()
    area, full = float(passage.area(0.0)), passage.discharge
    pressure = np.geomspace(1e-2, 1e9, 111)
    ours = orifice_flow(pressure, area, 850.0, viscosity=0.01, resistance=ends, discharge=full)
    ours = ours / (area * np.sqrt(2 * pressure / 850.0))
    creeping = np.sqrt(pressure * 850.0 / 2) / (0.01 * ends * area)  # coefficient as viscosity alone would have it
    tanh = full * np.tanh(creeping / full)
    np.testing.assert_allclose(ours[[0, -1]], tanh[[0, -1]], rtol=5e-3)
    assert np.all(np.diff(ours) > 0) and np.max(np.abs(ours - tanh)) < 0.19 * full
