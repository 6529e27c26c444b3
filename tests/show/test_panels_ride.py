"""Panels of the ride, the rider's chart and the set-up session: numbers that are the library's own."""


import sys

import numpy as np
import pytest

from suspedu.machine import pressure_caution
from suspedu.machine.riding import ride
from suspedu.ride import flat, slope_landing, touchdown
from suspedu.ride.linear import comfort_damping, damping_ratio
from suspedu.school import LOOP, ROWS, chart, felt, first_choice, half_in_words, set_machine
from suspedu.school.complaints import COMPLAINTS, FEELS_WELL
from suspedu.school.own_files import own_machine
from suspedu.school.own_keeping import save_own
from suspedu.school.quarter import straight_vehicle
from suspedu.school.trade_off import unbeaten
from suspedu.show import panels, session_desk
from suspedu.show.panels.rides.grounds import ending
from suspedu.show.view import every_corner
from suspedu.units import InputError

from .sample import item, number


@pytest.mark.parametrize("name", ["terrain", "quarter_vehicle"])
def test_curves_stay_inside_the_axes_of_their_ground(name):
    """A little slack: curves are thinned, limits round."""
    panel = getattr(panels, name)
    found = list(every_corner(panel.controls))
    for values in (found[k] for k in np.unique(np.linspace(0, len(found) - 1, 80).astype(int))):
        shown = panel.view(**values)
        for curve in (each for each in shown.items if hasattr(each, "width")):
            low, high = (shown.axes or panel.axes)[curve.axes].ylim
            slack = 0.02 * (high - low)
            assert np.nanmin(curve.y) >= low - slack and np.nanmax(curve.y) <= high + slack, (values, curve.name)


def test_fixed_point_stands_whatever_spring_and_damper():
    places = {(round(float(mark.x), 9), round(float(mark.y), 9))
              for values in every_corner(panels.quarter_vehicle.controls) if values["sprung_mass"] == 60
              and values["unsprung_mass"] == 10
              for mark in [item(panels.quarter_vehicle.view(**values), "fixed")]}
    assert len(places) == 1
    view = panels.quarter_vehicle.shown()
    felt, mark = item(view, "felt"), item(view, "fixed")
    assert np.interp(mark.x, felt.x, felt.y) == pytest.approx(mark.y, rel=2e-3)  # 240 points over the curve


@pytest.mark.parametrize("end", [0, -1], ids=["calmest", "least throw"])
def test_a_limit_on_the_throw_as_a_setting_prints_it_is_one_that_it_keeps(end):
    at = round(unbeaten()[end][1]["kick"], 2)
    view, under = panels.compromise.shown(most_kick=at), panels.compromise.shown(most_kick=round(at - 0.01, 2))
    assert number(view, "Throw") == at and f"Up to a throw of {at:.2f} m/s the calmest" in view.sentence
    assert number(under, "Throw") != at or f"Not one of them keeps to a throw of {at - 0.01:.2f}" in under.sentence


def test_damping_compromise_reads_the_closed_forms():
    view = panels.damping_compromise.shown(damping=400)
    front = straight_vehicle(75, 15, 12.4e3, 400)
    assert number(view, "Most comfort at") == round(comfort_damping(front))
    curve = item(view, "acceleration")
    assert curve.x[np.nanargmin(curve.y)] == pytest.approx(comfort_damping(front), abs=20)  # the sweep's own step
    assert number(panels.damping_compromise.shown(damping=4000), "Travel, r.m.s.") < number(
        view, "Travel, r.m.s.")
    assert damping_ratio(front) < 0.3


@pytest.mark.parametrize("machine", ["enduro", "trail"])
@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_the_sentence_of_the_chart_says_what_its_numbers_say(complaint, machine):
    view, found = panels.adjusters.shown(complaint=complaint, machine=machine), first_choice(machine, complaint)
    row = half_in_words(found.first)
    shown = dict(view.numbers)[f"{row[0].upper()}{row[1:]}"]
    assert found.effect(found.first).lstrip("+−") == shown.lstrip("+−") and found.effect(found.first) in view.sentence
    assert ("no adjuster here is felt" in view.sentence) == (abs(found.felt[found.first]) < 1.0)
    if found.price and abs(found.felt[found.first]) >= 1.0:
        assert f"'{COMPLAINTS[found.price[0]].words}' gets worse by {found.price[1]:.1f} times" in view.sentence


@pytest.mark.parametrize("machine", ["enduro", "trail"])
def test_a_figure_of_the_chart_never_denies_what_its_sentence_says(machine):
    """Every complaint on every ground: below the limit no figure is written as 1.0."""
    near = 0
    for complaint in COMPLAINTS:
        for ground in LOOP:
            found, view = first_choice(machine, complaint, ground), panels.adjusters.shown(
                complaint=complaint, machine=machine, ground=ground)
            if found.asked:
                written = float(view.sentence.split(" times what is noticed")[0].rsplit(" ", 1)[-1])
                assert (written < 1.0) is ("no adjuster here is felt" in view.sentence), (complaint, ground)
                assert written == pytest.approx(abs(found.felt[found.first]), abs=0.051)
                near += 0.95 <= abs(found.felt[found.first]) < 1.0
    assert near  # at least one that rounds to the limit


LANDINGS = {"low flat landing": 0.9, "flat landing": 1.2, "high flat landing": 1.6}  # m


@pytest.mark.parametrize("ground", LANDINGS)
def test_a_flat_landing_closes_with_the_root_of_its_height(ground):
    view, closing = panels.bench.shown(ground=ground), (2 * 9.80665 * LANDINGS[ground]) ** 0.5
    assert view.sentence.startswith(f"Flat landing from {LANDINGS[ground]} m at 29 km/h lands closing at {closing:.1f}")
    first = panels.bench.shown(ground=ground, look="cursor", cursor=0)
    assert item(first, "seen air").label == f"{1e3 * LANDINGS[ground]:.0f} mm of air"


def test_a_slope_landing_says_where_it_lands_and_how_hard():
    found = touchdown(slope_landing(), 9.0)
    sentence = panels.bench.shown(ground="slope landing").sentence
    assert f"lands {found.behind:.1f} m behind the crest, closing at {found.closing:.1f} m/s" in sentence
    assert "before the crest" in panels.bench.shown(ground="slope landing", pace=60).sentence


def test_the_crash_is_called_one_and_meets_the_rim():
    sentence = panels.bench.shown(ground="crash").sentence
    assert sentence.startswith("Crash") and "No fork is made for a crash" in sentence and "to its rim" in sentence
    assert "rim" not in panels.bench.shown(ground="log").sentence


def test_metal_on_metal_is_said_where_a_ride_goes_past_its_travel_and_only_there():
    machine = set_machine(coil_rate=2.6, oil_height=150)
    dropped = {height: ride(machine, flat(), drop_height=height) for height in (0.3, 2.0, 4.0)}
    told = {height: ending(done) for height, done in dropped.items()}
    assert "in hand" in told[0.3] and "metal on metal" in told[4.0]
    for height, done in dropped.items():
        deepest = done.stroke.max()
        assert ("metal on metal" in told[height]) == (deepest > 0.3)
        assert ("bottoms" in told[height]) == (deepest > 0.288)  # its bumper is 12 mm long
    assert f"gives way by {1e3 * (dropped[4.0].stroke.max() - 0.3):.1f} mm" in told[4.0]


def test_the_ride_warns_of_the_tube_where_its_oil_could_burst_it():
    for height in (90, 110, 150):
        sentence = panels.bench.shown(ground="log", oil_height=height).sentence
        assert ("Caution" in sentence) == bool(pressure_caution(set_machine(oil_height=height)))


def hit(view) -> float:
    """The hardest hit in the hands that the bars of the bench say [m/s2]."""
    return float(item(view, "value harshness").label.split()[0])


def test_a_softer_tyre_hits_less_hard_on_an_edge():
    soft, hard = (panels.bench.shown(ground="square edge", tyre_pressure=bar) for bar in (0.7, 1.3))
    assert hit(soft) < 0.9 * hit(hard)
    machine = set_machine(tyre_pressure=0.7)
    assert machine.tyre.pressure == pytest.approx(0.7e5)


def test_slow_riding_over_rocks_moves_the_shaft_faster_than_hard_braking_from_speed():
    """What "high speed" means: the shaft's. 15 km/h over rocks against 55 km/h on the flat."""
    rocks = panels.shaft_speeds.shown(ground="rock garden", speed=15)
    braking = panels.shaft_speeds.shown(ground="hard braking", speed=55)
    assert number(rocks, "Fastest compression") > 3 * number(braking, "Fastest compression")
    assert number(braking, "Time slow") > 90


@pytest.mark.parametrize(("ground", "speed", "shaft_less"), [
    ("square edge", 30, True), ("square edge", 50, True), ("log", 50, True), ("whoops", 30, False)])
def test_what_the_ground_throws_and_what_the_shaft_meets_are_told_apart(ground, speed, shaft_less):
    """Tyre and front give way on an edge; behind the crest of a whoop the machine comes down on its wheel."""
    view, done = panels.terrain.shown(kind=ground, speed=speed), ride(set_machine(), ground, speed / 3.6)
    met, thrown = number(view, "Fastest compression of the shaft, ridden"), number(view, "Fastest lift of the wheel")
    assert met == round(float(done.velocity.max()), 2) and (met < thrown) == shaft_less
    assert f"goes in at up to {done.velocity.max():.1f} m/s" in view.sentence
    if not shaft_less:
        assert (done.wheel_height > done.road).any()


def test_a_rock_garden_ridden_onto_the_rim_is_said_to_be_ridden_by_nobody():
    told = [panels.shaft_speeds.shown(ground="rock garden", speed=speed).sentence for speed in range(10, 56, 5)]
    on_the_rim = ["nobody rides it like that" in sentence for sentence in told]
    assert on_the_rim == sorted(on_the_rim) and not on_the_rim[2] and on_the_rim[-1]  # 20 km/h is the school's pace


@pytest.mark.parametrize("row", ROWS)
def test_the_slower_the_rebound_the_deeper_the_fork_works(row):
    lows = item(panels.packing.shown(row=row), "lows").y
    assert np.all(np.diff(lows) < 0) and lows[0] - lows[-1] > 10  # mm, from shut to open
    slow, fast = (panels.packing.shown(row=row, rebound=clicks) for clicks in (2, 20))
    assert number(slow, "Comes back to, on average") > number(fast, "Comes back to, on average")


def test_chart_counts_in_what_is_noticed_and_names_the_strongest_and_the_quickest():
    table = chart("enduro")
    times = felt(table, COMPLAINTS["bottoms"])
    view = panels.adjusters.shown(complaint="bottoms")
    strongest = max(times, key=lambda name: abs(times[name]))
    assert f"{half_in_words(strongest)}, moves the travel left most" in view.sentence
    assert f"{times[strongest]:.1f} times what is noticed" in view.sentence
    row = list(times).index(strongest)
    assert item(view, f"half better {row}").x.max() == pytest.approx(times[strongest])
    shown = dict(view.numbers)
    low, high = (table.ends("coil_rate", "flat landing", "margin"))
    assert shown["Spring rate, 3.8 to 4.2 N/mm"] == f"{1e3 * (high - low):+.2g} mm"


def test_chart_says_where_a_question_is_not_asked_and_leaves_out_missing_clickers():
    view = panels.adjusters.shown(complaint="dives", ground="log")
    assert "cannot be judged on log" in view.sentence and not view.numbers
    trail = panels.adjusters.shown(machine="trail", complaint="harsh-on-chop")
    assert not any("Compression, high" in label for label, _ in trail.numbers)


def test_desk_works_by_its_buttons_and_leaves_its_notes_as_text():
    desk = session_desk.setup_session(8)
    desk.handle.value, desk.steps.value, desk.verdict.value = "rebound", -9, "slow-rebound"
    for deed in (desk.turn, desk.lap, desk.measure, desk.conclude):
        deed()
    assert "Yes: rebound too slow" in desk.said.value and "<td>rebound 2 out to 11 out</td>" in desk.table.value
    desk.steps.value = 12
    desk.turn()
    assert "That does not go" in desk.said.value
    assert desk._repr_mimebundle_()[0]["text/plain"] == desk.text and FEELS_WELL in desk.text


def test_the_chart_takes_ones_own_machine_by_name(tmp_path, monkeypatch):
    """It is ridden as its file stands, through what it can be set to; the chart's panel has it in its list."""
    asked, ridden = [], chart("enduro").rides
    monkeypatch.chdir(tmp_path)
    save_own("hack", {"legs.damper.rebound_range": "10", "legs.damper.rebound": "4"})
    monkeypatch.setattr(sys.modules["suspedu.school.chart"], "half_rides",
                        lambda machine, names: asked.append((machine, names)) or ridden)
    live = panels.adjusters(machine="hack", complaint="bottoms")
    (machine, names), *more = asked
    assert machine == own_machine("hack") and more == [] and live.values["machine"] == "hack"
    assert "rebound" not in names and "compression_low" in names  # its ten clicks do not reach from 18 to 6 out
    assert live.sentence.startswith("'Bottoms on landings'") and live.problem == ""
    with pytest.raises(InputError, match="'gone'"):
        panels.adjusters(machine="gone")
