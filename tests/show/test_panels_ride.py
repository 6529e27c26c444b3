"""Panels of the ride, the rider's chart and the set-up session: numbers that are the library's own."""

import numpy as np
import pytest

from suspedu.machine import setting
from suspedu.machine.riding import ride
from suspedu.ride.linear import comfort_damping, damping_ratio
from suspedu.ride.outcomes import outcomes
from suspedu.school import ROWS, chart, felt, half_in_words, set_machine
from suspedu.school.complaints import COMPLAINTS, FEELS_WELL
from suspedu.school.quarter import straight_vehicle
from suspedu.show import panels, session_desk
from suspedu.show.view import every_corner

from .sample import item, number


@pytest.mark.parametrize("name", ["terrain", "ride", "quarter_vehicle"])
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


def test_damping_compromise_reads_the_closed_forms():
    view = panels.damping_compromise.shown(damping=400)
    front = straight_vehicle(75, 15, 12.4e3, 400)
    assert number(view, "Most comfort at") == round(comfort_damping(front))
    curve = item(view, "acceleration")
    assert curve.x[np.nanargmin(curve.y)] == pytest.approx(comfort_damping(front), abs=20)  # the sweep's own step
    assert number(panels.damping_compromise.shown(damping=4000), "Travel, r.m.s.") < number(
        view, "Travel, r.m.s.")
    assert damping_ratio(front) < 0.3


def test_ride_panel_says_what_the_ride_says():
    given = {"rebound": 5, "compression_low": 3}
    view, machine = panels.ride.shown(ground="log", **given), set_machine("enduro", **given)
    felt = outcomes(ride(machine, "log"))
    assert number(view, "Deepest stroke") == round(felt["deepest"] * 1e3)
    assert number(view, "Hardest hit") == round(felt["harshness"], 1)
    assert setting(machine.legs[0], "rebound") == 5 and setting(machine.legs[0], "compression_high") == 10


def test_slow_riding_over_rocks_moves_the_shaft_faster_than_hard_braking_from_speed():
    """What "high speed" means: the shaft's. 15 km/h over rocks against 55 km/h on the flat."""
    rocks = panels.shaft_speeds.shown(ground="rock garden", speed=15)
    braking = panels.shaft_speeds.shown(ground="hard braking", speed=55)
    assert number(rocks, "Fastest compression") > 3 * number(braking, "Fastest compression")
    assert number(braking, "Time slow") > 90


def test_best_rebound_depends_on_the_row():
    """Too fast kicks and hits hardest on the tall row; on the short row faster stays better to the last click."""
    tall, short = (item(panels.packing.shown(row=row), "hits").y for row in (list(ROWS)[0::2]))
    assert 0 < np.argmin(tall) < len(tall) - 1 and tall[-1] > 1.5 * tall.min()
    assert np.argmin(short) >= len(short) - 2


def test_chart_counts_in_what_is_noticed_and_names_the_strongest_and_the_quickest():
    table = chart("enduro")
    times = felt(table, COMPLAINTS["bottoms"])
    view = panels.adjusters.shown(complaint="bottoms")
    strongest = max(times, key=lambda name: abs(times[name]))
    assert f"with {half_in_words(strongest)}: " in view.sentence
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
