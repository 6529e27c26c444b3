"""Panels of oil, restrictions, needle and shim stacks: physics that the pictures must keep to."""

import itertools

import numpy as np
import pytest

from suspedu.damper import stock_damper
from suspedu.parts.oil import kinematic_viscosity, viscosity_index
from suspedu.parts.shim_stacks import FATIGUE_LIMIT, Shim, Stack, bent_stack, lift_curve
from suspedu.school.oils import SHELF, oil_of_index
from suspedu.school.openings import WAYS
from suspedu.school.stacks import PORT, built_stack, gap_closes, gap_shims
from suspedu.show import panels
from suspedu.show.panels.damper.stack_picture import PLACES, STEEL, shim_feet

from .sample import item, number


def shown(name, **changed):
    return getattr(panels, name).shown(**changed)


# Oil


@pytest.mark.parametrize("index", (80, 150, 320))
@pytest.mark.parametrize("viscosity", (10, 16, 40))
def test_an_oil_has_the_index_that_was_asked_for(viscosity, index):
    oil = oil_of_index(viscosity * 1e-6, index)
    assert oil.viscosity_40 == pytest.approx(viscosity * 1e-6)
    # 0.1: the standard's polynomials jump by about that between two of its ranges, and a root may lie in the jump
    assert float(viscosity_index(oil.viscosity_40, oil.viscosity_100)) == pytest.approx(index, abs=0.1)


def test_an_oil_of_higher_index_is_thinner_cold_and_thicker_hot():
    low, high = (shown("oil_viscosity", index=index) for index in (90, 250))
    cold, hot = (np.array([item(view, "your oil").y[place] for view in (low, high)]) for place in (0, -1))
    assert cold[0] > 1.5 * cold[1]
    assert hot[0] < hot[1]


def test_two_cans_of_one_label_differ_by_a_factor_of_two():
    view = shown("oil_viscosity", temperature=20)
    thin, thick = (number(view, f"Can {name}, 5W, now") for name in "AB")
    told = [float(kinematic_viscosity(293.15, SHELF[name])) * 1e6 for name in ("can-a", "can-b")]
    assert [thin, thick] == pytest.approx(told, abs=0.051)  # shown to 0.1 mm2/s
    assert 1.8 < thick / thin < 2.5


@pytest.mark.parametrize("direction", ["rebound", "compression"])
def test_cold_is_felt_when_the_leg_moves_slowly(direction):
    view = shown("cold_and_hot", direction=direction)
    cold, hot = ([number(view, f"{at} °C at {speed} m/s") for speed in (0.05, 1)] for at in (5, 70))
    slow, fast = cold[0] / hot[0], cold[1] / hot[1]
    assert slow > 1.4 and 1.05 < fast < slow  # where shims hardly lift, oil rubs along their seats at speed too


def test_thicker_oil_helps_most_in_the_cold_and_less_at_speed():
    thin, thick = (shown("cold_and_hot", viscosity_40=viscosity) for viscosity in (16, 32))
    gains = {label: number(thick, label) / number(thin, label) - 1 for label, _ in thin.numbers}
    assert gains["5 °C at 0.05 m/s"] > gains["20 °C at 0.05 m/s"] > gains["70 °C at 0.05 m/s"] > 0
    assert all(0 < gains[f"{at} °C at 1 m/s"] < gains[f"{at} °C at 0.05 m/s"] for at in (5, 20, 70))
    assert gains["70 °C at 1 m/s"] < 0.05


# Restrictions


@pytest.mark.parametrize("way", WAYS)
def test_walls_and_jet_are_the_limits_of_the_flow(way):
    view = shown("restriction", way=way)
    flow, jet, walls = (item(view, name).y for name in ("flow", "jet alone", "walls alone"))
    assert np.all(flow < jet) and np.all(flow < walls)
    # flow is the positive root of dp = walls + jet: with a = flow/walls, b = flow/jet this is a + b^2 = 1
    assert flow / walls + (flow / jet) ** 2 == pytest.approx(1.0, rel=1e-9)
    assert item(view, "wall share").y + item(view, "jet share").y == pytest.approx(100.0)


def test_the_power_of_the_flow_is_two_in_a_hole_and_one_in_a_gap():
    power = "Pressure grows with flow to the power"
    assert number(shown("restriction", way="thin-hole"), power) == pytest.approx(2, abs=0.011)  # shown to 0.01
    assert number(shown("restriction", way="ring-gap"), power) == pytest.approx(1, abs=0.01)


def test_the_first_clicks_are_the_big_ones_and_cold_makes_them_bigger():
    warm, cold = (item(shown("needle", temperature=at), "gain").y for at in (60, 0))
    assert np.all(np.diff(warm) < 0)
    assert cold[0] > warm[0] > 100
    assert warm[-1] < 5


def test_needle_and_seat_of_the_picture_are_as_far_apart_as_the_area_says():
    view = shown("needle", clicks=8)
    gap = item(view, "gap 1")
    width, middle = np.hypot(*np.diff([gap.x, gap.y]))[0], np.mean(gap.x)
    assert 2 * np.pi * middle * width == pytest.approx(number(view, "Free area"), abs=0.006)  # printed to 0.01 mm2


# Shim stacks


def test_twice_as_thick_is_eight_times_as_stiff_as_long_as_it_only_bends():
    # all shims of the stack become twice as thick, and without a gap the contact problem only scales
    times = []
    for pressure in (0.5, 4, 12):
        thin, thick = (shown("shim_stack", thickness=thickness, pressure=pressure) for thickness in (0.1, 0.2))
        times.append(item(thin, "now").y / item(thick, "now").y)
    assert times[0] == pytest.approx(8, rel=0.01)  # at half a bar the thin ones bend by a fifth of their thickness
    assert times[0] > times[1] > times[2]  # then the thin ones stretch, and fall behind
    straight = [lift_curve(built_stack(3, t, 2, 10), PORT, stretching=False)(4e5) for t in (0.1, 0.2)]
    assert straight[0] / straight[1] == pytest.approx(8, rel=1e-6)


def test_the_panel_says_how_much_stretching_holds():
    little, much = (shown("shim_stack", thickness=0.1, pressure=pressure) for pressure in (1, 12))
    assert "stretching holds" not in little.sentence and "stretching holds" in much.sentence
    curve = lift_curve(built_stack(3, 0.1, 2, 10), PORT)
    held = 1 - float(curve.bending_pressure(12e5)) / 12e5
    assert f"stretching holds {100 * held:.0f} % of the pressure" in much.sentence


def test_a_crossover_is_soft_until_its_gap_closes_and_then_as_firm_as_without():
    view = shown("shim_stack", gap=0.05, pressure=10)
    lift, face, plain = (item(view, name) for name in ("lift", "face alone", "without gap"))
    closes = item(view, "kink").x
    soft, firm = lift.x < 0.9 * closes, lift.x > 1.2 * closes
    # the crossover is 1 mm wider than the clamp: it holds the face shims more than the clamp, and less than a wider one
    clamped = lift_curve(Stack((Shim(20e-3, 1.5e-4),) * 3, 11e-3), PORT)(1e5 * lift.x) * 1e3
    assert np.all((clamped[soft] <= lift.y[soft]) & (lift.y[soft] <= face.y[soft]))
    # behind a closed gap the taper is touched at its edge only, not all along: a few per cent softer
    assert np.diff(lift.y[firm]) == pytest.approx(np.diff(plain.y[firm]), rel=0.06)
    assert closes == pytest.approx(gap_closes(built_stack(3, 0.15, 2, 10, 0.05)))
    assert not gap_closes(built_stack(3, 0.15, 2, 10)) > 0  # nan: no gap, no kink


def test_twice_the_crossover_takes_twice_the_bending_to_close():
    closes = [gap_closes(built_stack(3, 0.15, 2, 10, gap)) for gap in (0.05, 0.10)]
    bending = [float(lift_curve(built_stack(3, 0.15, 2, 10, gap), PORT).bending_pressure(bars * 1e5))
               for gap, bars in zip((0.05, 0.10), closes, strict=True)]
    assert bending[1] / bending[0] == pytest.approx(2, rel=0.02)
    assert closes[1] / closes[0] > 2  # the wider gap has its face shims stretch as well


@pytest.mark.parametrize("gap", [0.0, 0.1])
def test_shims_in_the_picture_touch_but_never_overlap(gap):
    stack = built_stack(3, 0.15, 2, 10, gap)
    view = shown("shim_stack", gap=gap, pressure=12)
    outlines = [item(view, f"shim {place + 1}") for place in range(len(stack.shims))]
    for front, back in itertools.pairwise(outlines):
        radii = front.x[: len(front.x) // 2]
        shared = radii[radii <= back.x.max() + 1e-9]
        top = np.interp(shared, front.x[::-1][: len(radii)], front.y[::-1][: len(radii)])
        foot = np.interp(shared, back.x[: len(back.x) // 2], back.y[: len(back.x) // 2])
        assert np.all(foot - top > -1e-6)  # mm: contact holds at the nodes, cubic between them
        assert (foot - top).min() < 1e-6  # at least under the clamp they touch


def test_only_the_crossover_is_drawn_in_full_thickness():
    stack = built_stack(2, 0.15, 2, 10, 0.1)
    assert gap_shims(stack) == [2]
    assert np.diff(shim_feet(stack)) == pytest.approx([0.15 * STEEL, 0.15 * STEEL, 0.1, *[0.15 * STEEL] * 3])
    assert all(item(shown("shim_stack"), f"shim {place}").x.max() <= 3.0 for place in range(8, PLACES + 1))


def test_bars_of_stress_are_the_librarys_own():
    view = shown("shim_stress", pressure=10)
    bent = bent_stack(built_stack(3, 0.15, 2, 10), PORT, 1e6)
    heights = [item(view, f"shim {place}").y.max() for place in range(1, 8)]
    assert max(heights) == pytest.approx(bent.peak_stress / 1e6)
    assert number(view, "Share of the fatigue limit") == pytest.approx(100 * bent.peak_stress / FATIGUE_LIMIT, abs=0.5)


def test_a_shim_counts_the_less_the_shorter_it_is():
    falls = [item(shown("taper"), f"fall {place}").y for place in range(1, 7)]
    assert falls[0] == pytest.approx(falls[1], rel=1e-9)  # equal shims: their order is nothing
    assert all(after < before for before, after in itertools.pairwise(falls[1:]))
    assert falls[-1] < falls[0] / 2


def test_all_shims_count_alike_without_a_taper():
    falls = [item(shown("taper", taper_step=0), f"fall {place}").y for place in range(1, 7)]
    # six equal shims, one 1.25 times as thick: 6 become 5 + 1.25^3; one bar stretches them by less than a thousandth
    assert falls == pytest.approx([100 * (1 - 6 / (5 + 1.25**3))] * 6, rel=1e-3)


def test_a_lift_curve_panel_reads_the_library():
    view = shown("shim_stack", gap=0.1, pressure=13)
    lift = lift_curve(built_stack(3, 0.15, 2, 10, 0.1), PORT)(13e5) * 1e3
    assert number(view, "Lift at the rim") == pytest.approx(lift, abs=5e-4)
    assert number(view, "Opening under the rim") == pytest.approx(np.pi * 18 * lift, abs=5e-3)


def test_the_needle_on_the_bench_is_the_one_of_the_schools_base_valve():
    needle = stock_damper("closed cartridge").base.needle
    view = shown("needle", clicks=needle.clicks)
    assert number(view, "Free area") == pytest.approx(1e6 * needle.area(5e5), abs=0.006)  # printed to 0.01 mm2
