"""Panels on valves, rebound and the end stop, and the cutaway: numbers that are the library's own."""

import dataclasses
import re

import numpy as np
import pytest

from suspedu.damper import explained, leg_force, opening_speeds, stock_damper
from suspedu.damper.end_stop import refill_limit, stop_work
from suspedu.machine import adjusted, coming_back, front_load, load
from suspedu.machine.friction import fork_friction
from suspedu.machine.riding import fork_law, ride, vehicle
from suspedu.ride.linear import LinearVehicle
from suspedu.ride.linear import damping_ratio as linear_damping_ratio
from suspedu.school.legs import leg_forces, point, set_damper, warm_fluid
from suspedu.school.strokes import gas_left
from suspedu.school.valves import BASE_SPEEDS, LANDS, fork_damping, with_lands
from suspedu.show import panels
from suspedu.show.draw import Drawing
from suspedu.show.layout import Frame
from suspedu.show.panels.damper import cutaway_picture, cutaway_places
from suspedu.show.panels.damper.cutaway import CUTAWAY, view_instant
from suspedu.show.panels.damper.mid_valve import SHIMS
from suspedu.show.theme import LIGHT

from .sample import item, number

ENDURO = load("enduro")
FITTED = ENDURO.legs[0].damper


# cutaway


@pytest.mark.parametrize(("stroke", "velocity", "low", "high", "rebound"), [
    (150, 1.0, 12, 10, 12), (280, 3.0, 4, 2, 20), (270, -1.5, 12, 10, 3), (100, 0.1, 24, 20, 12)])
def test_the_explained_force_is_that_of_the_library_and_its_parts_sum(stroke, velocity, low, high, rebound):
    view = CUTAWAY.shown(stroke=stroke, velocity=velocity, compression_low=low, compression_high=high, rebound=rebound)
    damper = set_damper("closed cartridge", compression_low=low, compression_high=high, rebound=rebound)
    leg = leg_force(stroke / 1e3, velocity, damper, FITTED.oil)
    parts = [number(view, f"{name} part") for name in ("Gas", "Damping", "End-stop")]
    assert sum(parts) == pytest.approx(float(leg.force), abs=2.0)  # three parts, each rounded to 1 N
    assert item(view, "here").y == pytest.approx(float(leg.force), rel=1e-12)
    below_less_above = number(view, "Pressure below less above the piston")
    assert below_less_above == pytest.approx(float(leg.compression_chamber - leg.rebound_chamber) / 1e5, abs=0.051)


def drawn(view, name) -> float:
    """Width of a stream's shaft as drawn; nothing for an empty one."""
    x = np.unique(item(view, name).x)
    return float(x[-2] - x[1]) if len(x) > 3 else 0.0


def test_streams_are_as_wide_as_the_root_of_their_flow_and_none_where_none_flows():
    view = panels.cutaway.shown()
    state = explained(0.15, 1.0, set_damper(), FITTED.oil, air_pressure=101325.0)
    flows = {name: float(path.flow) for name, path in state.valves["base"].paths.items()}
    places = {"needle": "needle", "low-speed": "port 1", "high-speed": "port 2"}
    widths = {name: drawn(view, f"stream base {place}") for name, place in places.items()}
    for name in ("needle", "high-speed"):
        assert widths[name] / widths["low-speed"] == pytest.approx((flows[name] / flows["low-speed"]) ** 0.5, rel=1e-6)
    assert drawn(view, "stream rebound port 1") == drawn(view, "stream refill port 1") == 0.0
    back = panels.cutaway.shown(velocity=-1.0)
    assert drawn(back, "stream mid port 1") == drawn(back, "stream base needle") == 0.0
    assert drawn(back, "stream rebound port 1") > 0.0


def test_chambers_are_as_dark_as_they_press_and_white_where_the_oil_is_torn():
    levels = [cutaway_picture.tint_level(bars * 1e5, False) for bars in (0.5, 3, 10, 40, 60)]
    assert levels == [1, 2, 3, 4, 5] and cutaway_picture.tint_level(1e5, True) == 0

    def level(view, chamber):
        layers = [found for found in view.items if re.fullmatch(rf"{chamber} \d", found.name)]
        there = [found for found in layers if np.isfinite(found.x).all()]
        assert len(there) == 1
        return int(there[0].name[-1])

    view = panels.cutaway.shown(velocity=3.0, stroke=280)
    assert level(view, "cup") >= level(view, "below") > level(view, "reservoir")
    torn = panels.cutaway.shown(cartridge="open cartridge", velocity=-4.0, stroke=0)
    assert level(torn, "below") == 0 and level(torn, "above") == 5 and "torn" in torn.sentence


def test_the_piston_is_drawn_where_it_stands_and_the_stop_meets_its_cup_where_it_starts():
    damper = stock_damper("closed cartridge")
    rim = cutaway_places.FLOOR + cutaway_places.cup_height(damper, 0.3)
    tip = cutaway_places.piston_height(damper.end_stop.start, 0.3) - cutaway_places.STUB
    assert tip == pytest.approx(rim)
    deeper = [cutaway_places.piston_height(stroke, 0.3) for stroke in (0.0, 0.15, 0.3)]
    assert np.diff(deeper) == pytest.approx([-cutaway_places.TRAVEL / 2] * 2)


def renamed(damper):
    """The same damper, its ports by other names."""
    ports = tuple(dataclasses.replace(port, name=f"way {n}") for n, port in enumerate(damper.base.ports, start=1))
    return dataclasses.replace(damper, base=dataclasses.replace(damper.base, ports=ports))


ARCHITECTURES = {"closed": set_damper(), "open": set_damper("open cartridge"), "rod": set_damper("damping rod"),
                 "other names": renamed(set_damper())}


@pytest.mark.parametrize("velocity", [-2.0, 0.0, 1.0, 4.0])
@pytest.mark.parametrize("name", ARCHITECTURES)
def test_any_damper_can_be_cut_open(name, velocity):
    """Every channel that carries oil is drawn as wide as it carries, whatever its file calls it."""
    damper = ARCHITECTURES[name]
    instant = point(0.2, velocity, damper)
    view = view_instant(instant, damper)
    picture = Drawing(Frame(CUTAWAY.axes, LIGHT, 700, 460), view).png(view)
    assert picture.startswith(b"\x89PNG") and "nan" not in view.text
    for slot in (slot for slot in cutaway_places.slots(damper) if slot.channel):
        flow = float(instant.valves[slot.valve].paths[slot.channel.path].flow)
        shown = drawn(view, f"stream {slot.name}")
        assert shown == pytest.approx(min(cutaway_picture.stream_width(flow), 6.0) if flow >= 1e-6 else 0.0)
        assert np.isfinite(item(view, f"shims {slot.name}").x).all() if slot.kind == "port" else True


def test_other_names_change_words_only():
    one, two = (view_instant(point(0.2, 1.0, ARCHITECTURES[name]), ARCHITECTURES[name])
                for name in ("closed", "other names"))
    for before, after in zip(one.items, two.items, strict=True):
        np.testing.assert_array_equal(before.x, after.x)
        np.testing.assert_array_equal(before.y, after.y)
    assert "way 1" in two.sentence and one.numbers == two.numbers


def test_a_damping_rod_shows_its_holes_and_neither_needle_nor_stop():
    rod = ARCHITECTURES["rod"]
    view, back = (view_instant(point(0.2, velocity, rod), rod) for velocity in (1.0, -1.0))
    assert drawn(view, "stream base holes") > 1.0 < drawn(back, "stream rebound holes")
    assert drawn(back, "stream base holes") == 0.0 < drawn(back, "stream refill holes")
    for name in ("needle base", "needle rebound", "bore base needle", "stop piston left", "pin", "cup left"):
        assert not np.isfinite(item(view, name).x + item(view, name).y).any(), name


def test_a_third_port_of_a_valve_finds_a_place_beside_the_others():
    damper = set_damper()
    base = dataclasses.replace(damper.base, ports=(*damper.base.ports, dataclasses.replace(damper.base.ports[0],
                                                                                            name="third")))
    three = dataclasses.replace(damper, base=base)
    places = [slot.x for slot in cutaway_places.slots(three) if (slot.valve, slot.kind) == ("base", "port")]
    assert len(set(places)) == 3 and max(places) < cutaway_places.WALL
    assert drawn(view_instant(point(0.2, 2.0, three), three), "stream base port 3") > 0.0


def test_the_gas_is_as_high_as_the_rod_leaves_it():
    """V_0 - A x over V_0, and none where a damper has no gas of its own."""
    closed = set_damper()
    assert gas_left(closed, 0.1) == pytest.approx(
        1 - np.pi / 4 * closed.rod**2 * 0.1 / closed.pressuriser.gas_volume, rel=1e-12)
    assert gas_left(set_damper("damping rod"), 0.1) == gas_left(set_damper("open cartridge"), 0.1) == 0.0


# architectures and valves


def test_plain_holes_grow_with_the_square_of_speed_whatever_their_size_and_shims_do_not():
    for hole in (2.0, 2.4, 3.0):
        view = panels.dampers.shown(hole=hole)
        curve = item(view, "damping rod 1")
        slope = np.gradient(np.log(curve.y), np.log(curve.x))
        near = np.argmin(np.abs(curve.x - 1.0))  # m/s; slower the walls count, much faster the leak past the ring,
        assert slope[near] == pytest.approx(2.0, abs=0.1)  # which, pressed to one side, leaks 1.7 times as much
    closed = item(view, "closed cartridge 1")
    # below one while the shims give way; the holes under them take a share that goes with the square again
    assert np.gradient(np.log(closed.y), np.log(closed.x))[-1] < 1.3


def test_low_clicks_act_slow_and_high_clicks_act_fast():
    middle = panels.base_valve.shown()
    low, high = panels.base_valve.shown(compression_low=6), panels.base_valve.shown(compression_high=0)

    def change(view, speed):
        label = f"Force at {speed:g} m/s"
        return number(view, label) / number(middle, label) - 1.0

    assert change(low, 0.05) > 5 * change(low, 3) >= 0
    assert abs(change(high, 0.05)) < 0.02 and change(high, 3) > 0.1
    found = dict(opening_speeds(set_damper(), FITTED.oil))
    assert item(middle, "opens high-speed").x == pytest.approx(found["base valve: high-speed stack"], rel=1e-12)


def test_shares_of_the_base_valve_fill_the_picture_up_to_its_leak():
    view = panels.base_valve.shown()
    tops = item(view, "share high-speed").y
    assert 98.0 < tops[: len(tops) // 2].max() <= 100.0


def test_more_mid_valve_lowers_the_pressure_above_the_piston_until_it_tears():
    low, start, most = (getattr(SHIMS, name) for name in ("low", "start", "high"))
    margins = [number(panels.mid_valve.shown(face_shims=count), "Lowest margin to cavitation, 1 to 6 m/s")
               for count in (low, start, most)]
    assert margins == sorted(margins, reverse=True) and margins[-1] < margins[0]
    torn = panels.mid_valve.shown(cartridge="open cartridge", face_shims=most, float_gap=0.05, compression_low=24,
                                  compression_high=20)
    fine = panels.mid_valve.shown()
    assert "torn" in torn.sentence and "torn" not in fine.sentence
    leg = leg_force(0.15, 3.0, set_damper(), FITTED.oil)
    assert number(fine, "Force at 3 m/s") == pytest.approx(float(leg.damping_force), abs=2.0)  # between points


@pytest.mark.parametrize(("cure", "values"), [
    ("float", {"float_gap": 0.25}), ("fewer shims", {"face_shims": 11}), ("charge", {"charge": 1.8}),
    ("base in", {"compression_low": 4, "compression_high": 0})])
def test_each_cure_moves_the_margin_of_a_landing_where_the_oil_holds(cure, values):
    start = {"face_shims": 16, "float_gap": 0.15, "charge": 0.6}
    before, after = (number(panels.mid_valve.shown(**each), "Lowest margin to cavitation, 1 to 6 m/s")
                     for each in (start, start | values))
    assert after > before > 0.0


def test_a_dip_of_slow_motion_is_told_but_is_not_the_margin_of_a_landing():
    view = panels.mid_valve.shown(cartridge="open cartridge")
    assert "far from tearing" in view.sentence and "The dip to 1.3 bar" in view.sentence
    five = leg_force(0.15, 5.0, set_damper("open cartridge"), FITTED.oil)
    assert number(view, "Lowest margin to cavitation, 1 to 6 m/s") <= five.margin / 1e5 + 0.1


def test_the_line_of_torn_oil_begins_where_the_panel_says_and_where_the_whole_one_ends():
    view = panels.mid_valve.shown(face_shims=16, float_gap=0.05, charge=0.6)
    whole, torn = (item(view, name) for name in ("held", "torn"))
    begins = torn.x[np.isfinite(torn.y)][0]
    assert whole.x[np.isfinite(whole.y)][-1] == begins
    assert number(view, "The oil tears at") == pytest.approx(begins, abs=0.051)  # shown to 0.1 m/s
    assert leg_force(0.15, begins, set_damper(), FITTED.oil).margin > 0  # the cartridge as built holds there


# rebound


def test_the_fork_let_go_follows_newton_and_loses_the_energy_that_damping_takes():
    motion = coming_back.let_go(0.18, ENDURO, True)
    grid, spring = coming_back.spring_of(ENDURO)
    mass, v, x = coming_back.carried_mass(ENDURO, True), motion.velocity, motion.stroke
    force = np.interp(v, coming_back.SPEEDS, coming_back.damping_of(ENDURO))
    force += fork_friction(ENDURO, v, motion.stroke, front_load(ENDURO))
    heat = np.trapezoid(force * v, motion.time)
    below = np.linspace(x[-1], x[0], 2001)
    lost = np.trapezoid(np.interp(below, grid, spring) - coming_back.rest_load(ENDURO), below) - 0.5 * mass * v[-1] ** 2
    assert heat == pytest.approx(lost, rel=0.01)  # 151 points by the trapezoid rule


def test_fewer_rebound_clicks_bring_the_fork_back_later_and_raise_the_damping_ratio():
    views = [panels.rebound.shown(rebound=clicks) for clicks in (24, 12, 2)]
    for label in ("Damping ratio of the chassis, coming up", "Time constant on the spring"):
        values = [number(view, label) for view in views]
        assert values == sorted(values) and values[0] < values[-1]
    speeds = [number(view, "Fastest on the way") for view in views]
    assert speeds == sorted(speeds, reverse=True)


def test_the_damping_ratio_is_that_of_the_linear_vehicle_on_a_stiff_tyre():
    """c and k of the panel put into `ride.linear`, whose tyre is made nearly rigid: the same ratio."""
    stroke, force = coming_back.spring_of(ENDURO)
    rate = float(np.interp(coming_back.rest_stroke(ENDURO), stroke, np.gradient(force, stroke)))
    drag = coming_back.time_constant(ENDURO) * rate
    mass = coming_back.carried_mass(ENDURO, True)
    linear = LinearVehicle(mass, 1.0, rate, drag, 4e6)
    assert coming_back.rebound_damping_ratio(ENDURO) == pytest.approx(linear_damping_ratio(linear), rel=5e-3)


def test_the_mean_pull_is_half_the_difference_of_two_straight_dampers():
    """F = c_c v in, c_r v out: the mean over a sine is -(c_r - c_c) V / pi (by integration)."""
    speeds = 1.5 * np.cos(coming_back.PHASES)
    law = np.where(speeds > 0, 300.0, 900.0) * speeds
    assert law.mean() == pytest.approx(-(900.0 - 300.0) * 1.5 / np.pi, rel=2e-3)  # 48 points
    assert coming_back.pull(1.5, adjusted(ENDURO, rebound=2)) < coming_back.pull(1.5, ENDURO) < 0.0


def test_the_fork_rides_lower_with_slower_rebound_as_it_does_when_the_ride_is_computed():
    """The panel's simple picture against the whole quarter vehicle over whoops: same sign, same order of size."""
    views = [panels.pulled_down.shown(rebound=clicks) for clicks in (24, 12, 2)]
    lows = [number(view, "Mean stroke") for view in views]
    assert lows == sorted(lows) and lows[-1] - lows[0] > 10
    machine = ENDURO
    ridden = [1e3 * ride(adjusted(machine, rebound=clicks), "rough ground").stroke.mean() for clicks in (24, 12, 2)]
    assert ridden == sorted(ridden) and 0.2 < (ridden[-1] - ridden[0]) / (lows[-1] - lows[0]) < 5


def test_spring_and_mass_of_coming_back_are_those_of_the_ride():
    machine = ENDURO
    law, fork = vehicle(machine), fork_law(machine)
    stroke, force = coming_back.spring_of(machine)
    inside = (stroke > 0.01) & (stroke < 0.28)  # tables of the ride carry top-out and bumper apart
    np.testing.assert_allclose(force[inside], np.interp(stroke[inside], fork.strokes, fork.spring_force), rtol=1e-6)
    mass = law.carried_mass * np.cos(machine.chassis.rake) ** 2
    assert coming_back.carried_mass(ENDURO, True) == pytest.approx(mass, rel=1e-12)


# end stop


def test_work_and_force_of_the_stop_are_the_librarys():
    view = panels.end_stop.shown(velocity=3.0)
    damper = stock_damper("closed cartridge")
    fluid = warm_fluid(damper)
    assert number(view, "Work of the end stops over the zone") == pytest.approx(
        2 * float(stop_work(3.0, damper.end_stop, fluid)), abs=0.51)
    band = item(view, "stop part")
    half = len(band.y) // 2
    height = band.y[half:][::-1] - band.y[:half]
    assert np.all(height[band.x[:half] < 249.9] == 0) and height.max() > 1000
    assert np.trapezoid(height, band.x[:half] / 1e3) == pytest.approx(
        number(view, "Work of the end stops over the zone"), rel=0.01)  # whole millimetres


def test_the_refill_limit_is_the_librarys_and_smaller_holes_hold_the_fork():
    view = panels.refill.shown()
    damper = set_damper()
    used = np.linspace(0.1, 2.5, 5)
    base = leg_force(0.3, -used, damper, FITTED.oil).compression_chamber
    limit, _ = refill_limit(damper.end_stop, used, damper.rebound, damper.piston_area - damper.displaced_area,
                              warm_fluid(damper), base_pressure=base)
    assert number(view, "Smallest holes that will do") == pytest.approx(limit * 1e3 + 0.05, abs=0.051)
    at_least = number(view, "Smallest holes that will do")
    assert "does not feel" in panels.refill.shown(hole=at_least).sentence
    assert "too small" in panels.refill.shown(hole=round(at_least - 0.1, 1)).sentence
    small = panels.refill.shown(hole=1.5)
    assert number(small, "Share of the rebound force") > 5 and "too small" in small.sentence
    assert "does not feel" in view.sentence


# the whole fork


def test_clickers_of_the_whole_fork_move_its_damping_and_leave_its_sags():
    school, slow = panels.whole_fork.shown(), panels.whole_fork.shown(rebound=4)
    for label in ("Free sag", "Rider sag", "Force that bottoms it"):
        assert number(school, label) == number(slow, label)
    back = [number(view, "Damping on the way out, at 0.25 m/s") for view in (school, slow)]
    leg = [-2 * float(leg_force(0.15, -0.25, set_damper(rebound=clicks), FITTED.oil).damping_force)
           for clicks in (12, 4)]
    assert back == pytest.approx(leg, abs=0.51)  # printed to 1 N


@pytest.mark.parametrize(("panel", "values", "labels", "speeds"), [
    (panels.base_valve, {"compression_low": 6}, "Force at {:g} m/s", (0.05, 0.25, 1.0, 3.0)),
    (panels.base_valve, {"compression_low": 12}, "Force at {:g} m/s", (0.05, 0.25, 1.0, 3.0)),
    (panels.dampers, {}, "Closed cartridge at {:g} m/s", (0.1, 3.0)),
    (panels.mid_valve, {}, "Force at {:g} m/s", (0.25, 1.0, 3.0)),
])
def test_a_force_that_a_panel_reads_is_the_laws_own_and_none_between_two_points(panel, values, labels, speeds):
    view, damper = panel.shown(**values), set_damper(**{"compression_low": 12} | values)
    forces = leg_force(0.15, np.array(speeds), damper, FITTED.oil, FITTED.oil_temperature).damping_force
    assert [number(view, labels.format(speed)) for speed in speeds] == [round(float(each)) for each in forces]


def test_an_adjuster_that_a_leg_lacks_leaves_it_alone():
    trail = {clicks: fork_damping("trail", 12, clicks, 12).y.tolist() for clicks in (0, 20)}
    assert trail[0] == trail[20]
    assert fork_damping("enduro", 12, 0, 12).at(2.0) > fork_damping("enduro", 12, 20, 12).at(2.0)


def test_the_span_of_the_lands_is_two_dampers_with_other_lands():
    view = panels.base_valve.shown(compression_low=4)
    damper = set_damper(compression_low=4)
    edges = [np.interp(1.0, BASE_SPEEDS, leg_forces(0.15, BASE_SPEEDS, with_lands(damper, land)).damping_force)
             for land in LANDS]
    shape = item(view, "lands")
    half = len(shape.y) // 2
    assert np.interp(1.0, shape.x[:half], shape.y[:half]) == pytest.approx(edges[0], rel=1e-9)
    assert f"{100 * (edges[1] / edges[0] - 1):+.1f} % at 1 m/s" in view.sentence.replace("−", "-")


def test_a_fork_let_go_above_its_rest_sinks_and_nobody_says_that_it_bobs():
    view = panels.rebound.shown(depth=80, coil_rate=2.6, rebound=0)
    assert "does not come up" in view.sentence and "bob" not in view.sentence
    rest = coming_back.rest_stroke(adjusted(ENDURO, coil_rate=2600.0))
    assert rest > 0.08 and f"rests at {1e3 * rest:.0f} mm" in view.sentence
