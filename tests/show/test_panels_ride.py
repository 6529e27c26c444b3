"""Panels of the ride, the rider's chart and the set-up session: corners, and numbers that are the library's own."""

import re
from itertools import pairwise

import numpy as np
import pytest

from suspedu.machine import setting
from suspedu.machine.riding import ride
from suspedu.ride.linear import comfort_damping, damping_ratio
from suspedu.ride.outcomes import outcomes, speed_shares
from suspedu.show import panels
from suspedu.show.panels.rides import session_desk
from suspedu.show.panels.rides.adjusters import CONTROLS_ADJUSTERS, EVERYWHERE, chart, gains, view_adjusters
from suspedu.show.panels.rides.complaints import COMPLAINTS, LOOP, loop_ground, loop_outcomes
from suspedu.show.panels.rides.compromise import CONTROLS_COMPROMISE, chosen, felt, front, view_compromise
from suspedu.show.panels.rides.faults import FAULTS, case
from suspedu.show.panels.rides.packing import CONTROLS_PACKING, ROWS, left_over, over_whoops, view_packing
from suspedu.show.panels.rides.quarter_vehicle import (
    AXES_QUARTER_VEHICLE,
    CONTROLS_DAMPING_COMPROMISE,
    CONTROLS_QUARTER_VEHICLE,
    straight_vehicle,
    view_damping_compromise,
    view_quarter_vehicle,
)
from suspedu.show.panels.rides.ride import (
    CONTROLS_RIDE,
    CONTROLS_SHAFT_SPEEDS,
    heat_shares,
    view_ride,
    view_shaft_speeds,
)
from suspedu.show.panels.rides.riding import ridden, ridden_machine
from suspedu.show.panels.rides.session import FEELS_WELL, Session, complaints_of
from suspedu.show.panels.rides.terrain import CONTROLS_TERRAIN, view_terrain
from suspedu.show.view import every_corner
from suspedu.units import InputError

ALL = {
    "terrain": (view_terrain, CONTROLS_TERRAIN),
    "quarter_vehicle": (view_quarter_vehicle, CONTROLS_QUARTER_VEHICLE),
    "damping_compromise": (view_damping_compromise, CONTROLS_DAMPING_COMPROMISE),
    "ride": (view_ride, CONTROLS_RIDE),
    "shaft_speeds": (view_shaft_speeds, CONTROLS_SHAFT_SPEEDS),
    "packing": (view_packing, CONTROLS_PACKING),
    "adjusters": (view_adjusters, CONTROLS_ADJUSTERS),
    "compromise": (view_compromise, CONTROLS_COMPROMISE),
}
MAY_HAVE_GAPS = {"terrain", "damping_compromise"}  # curves that leave their axes are broken off


def corners(controls, most=80):
    """All corners, or a spread of them where a panel has hundreds."""
    found = list(every_corner(controls))
    return [found[k] for k in np.unique(np.linspace(0, len(found) - 1, most).astype(int))]


def item(view, name):
    return next(found for found in view.items if found.name == name)


def number(view, label) -> float:
    return float(dict(view.numbers)[label].split()[0])


def start_of(controls, **changed) -> dict:
    return {control.name: control.start for control in controls} | changed


@pytest.mark.parametrize("name", ALL)
def test_corners_are_finite_say_numbers_and_keep_their_items(name):
    view, controls = ALL[name]
    seen = set()
    for values in corners(controls):
        shown = view(**values)
        seen.add(tuple(item.name for item in shown.items))
        if name not in MAY_HAVE_GAPS:
            assert all(np.isfinite(item.x).all() and np.isfinite(item.y).all() for item in shown.items), values
        assert not any(word in shown.text for word in ("nan", " inf", "-0.0", "None")), shown.text
        assert len(shown.numbers) <= 6 and (shown.numbers or "cannot be judged" in shown.sentence)
    assert len(seen) == 1


@pytest.mark.parametrize("name", ALL)
def test_the_panel_draws_its_extreme_corners(name):
    panel = getattr(panels, name)()
    for values in corners(ALL[name][1], 3):
        panel.move(**values)
        assert panel.problem == "" and panel.picture.startswith(b"\x89PNG")


@pytest.mark.parametrize("name", ["terrain", "ride", "quarter_vehicle"])
def test_curves_stay_inside_the_axes_of_their_ground(name):
    """A little slack: curves are thinned, limits round."""
    view, controls = ALL[name]
    for values in corners(controls):
        shown = view(**values)
        for curve in (found for found in shown.items if hasattr(found, "width")):
            low, high = (shown.axes or AXES_QUARTER_VEHICLE)[curve.axes].ylim
            slack = 0.02 * (high - low)
            assert np.nanmin(curve.y) >= low - slack and np.nanmax(curve.y) <= high + slack, (values, curve.name)


def test_fixed_point_stands_whatever_spring_and_damper():
    places = {(round(float(mark.x), 9), round(float(mark.y), 9))
              for values in every_corner(CONTROLS_QUARTER_VEHICLE) if values["sprung_mass"] == 60
              and values["unsprung_mass"] == 10
              for mark in [item(view_quarter_vehicle(**values), "fixed")]}
    assert len(places) == 1
    view = view_quarter_vehicle(**start_of(CONTROLS_QUARTER_VEHICLE))
    felt, mark = item(view, "felt"), item(view, "fixed")
    assert np.interp(mark.x, felt.x, felt.y) == pytest.approx(mark.y, rel=2e-3)  # 240 points over the curve


def test_damping_compromise_reads_the_closed_forms():
    values = start_of(CONTROLS_DAMPING_COMPROMISE, damping=400)
    view = view_damping_compromise(**values)
    front = straight_vehicle(75, values["unsprung_mass"], values["rate"], 400)
    assert number(view, "Most comfort at") == round(comfort_damping(front))
    curve = item(view, "acceleration")
    assert curve.x[np.nanargmin(curve.y)] == pytest.approx(comfort_damping(front), abs=20)  # the sweep's own step
    assert number(view_damping_compromise(**values | {"damping": 4000}), "Travel, r.m.s.") < number(
        view, "Travel, r.m.s.")
    assert damping_ratio(front) < 0.3


def test_ride_panel_says_what_the_ride_says():
    values = start_of(CONTROLS_RIDE, ground="log", rebound=5, compression_low=3)
    view, machine = view_ride(**values), ridden_machine("enduro", rebound=5, compression_low=3)
    felt = outcomes(ride(machine, "log"))
    assert number(view, "Deepest stroke") == round(felt["deepest"] * 1e3)
    assert number(view, "Hardest hit") == round(felt["harshness"], 1)
    assert setting(machine.legs[0], "rebound") == 5 and setting(machine.legs[0], "compression_high") == 10


def test_slow_riding_over_rocks_moves_the_shaft_faster_than_hard_braking_from_speed():
    """What "high speed" means: the shaft's. 15 km/h over rocks against 55 km/h on the flat."""
    rocks, braking = (view_shaft_speeds(ground, speed) for ground, speed in (("rock garden", 15), ("hard braking", 55)))
    assert number(rocks, "Fastest compression") > 3 * number(braking, "Fastest compression")
    assert number(braking, "Time slow") > 90


def test_heat_shares_are_the_whole_heat_and_sit_where_the_shaft_is_fast():
    done = ridden(ridden_machine(), "rock garden", 6.0)
    heat, time = heat_shares(done), speed_shares(done)
    assert sum(side.sum() for side in heat.values()) == pytest.approx(1.0)
    assert heat["compression"][2] > 3 * time["compression"][2]


@pytest.mark.parametrize("row", ROWS)
def test_slow_rebound_packs_on_every_row_of_whoops(row):
    """The fork comes back less between blows and works deeper."""
    slow, quick = (over_whoops(row, clicks, 4.0) for clicks in (1, 20))
    assert left_over(slow)[1:].mean() > left_over(quick)[1:].mean() + 0.015
    assert outcomes(slow, ["ride_height"])["ride_height"] > outcomes(quick, ["ride_height"])["ride_height"] + 0.01


def test_best_rebound_depends_on_the_row():
    """Too fast kicks and hits hardest on the tall row; on the short row faster stays better to the last click."""
    tall, short = (item(view_packing(**start_of(CONTROLS_PACKING, row=row)), "hits").y for row in (list(ROWS)[0::2]))
    assert 0 < np.argmin(tall) < len(tall) - 1 and tall[-1] > 1.5 * tall.min()
    assert np.argmin(short) >= len(short) - 2


def test_chart_is_the_sensitivity_of_the_machine_and_names_the_strongest():
    table = chart("School enduro 300")
    found = gains(table, COMPLAINTS["bottoms on landings"], "jump")
    view = view_adjusters("School enduro 300", "bottoms on landings", EVERYWHERE)
    assert found["coil_rate"] == max(found.values()) == table.of("jump", "coil_rate", "margin")
    assert "0.1 N/mm stiffer" in view.sentence
    assert item(view, "step better 1").x.max() == pytest.approx(100.0)


def test_chart_says_where_a_question_is_not_asked_and_leaves_out_missing_clickers():
    view = view_adjusters("School enduro 300", "dives on the brakes", "log")
    assert "cannot be judged on log" in view.sentence and not view.numbers
    trail = view_adjusters("School trail 250", "harsh on small chop", EVERYWHERE)
    assert not any("Compression, high" in label for label, _ in trail.numbers)


def test_no_setting_of_the_curve_beats_another_and_a_tighter_limit_costs_calm():
    rows = [(found["comfort"], found["kick"]) for _, found in front()]
    assert len(rows) > 5 and all(a[0] < b[0] and a[1] > b[1] for a, b in pairwise(rows))
    (_, easy), (setting, strict) = chosen(4.4), chosen(3.3)
    assert strict["kick"] <= 3.3 < easy["kick"] <= 4.4 and strict["comfort"] > easy["comfort"]
    assert felt([setting])[0] == pytest.approx(strict)


def test_better_is_less_or_more_as_the_rider_means_it():
    low, tall = COMPLAINTS["rides low"], COMPLAINTS["tall and reluctant to turn"]
    assert low.gain(-1.0) == 1.0 == tall.gain(1.0)
    assert low.shown(-0.0021) == "−2.1 mm" and COMPLAINTS["kicks in whoops"].shown(0.05) == "+0.05 m/s"
    assert {wrong.ground for wrong in COMPLAINTS.values()} <= set(LOOP)
    assert loop_ground("log").name == "log"


def test_the_schools_own_machine_draws_no_complaint():
    assert complaints_of(ridden_machine()) == {}
    assert set(loop_outcomes(ridden_machine())) == set(COMPLAINTS)


def test_eight_cases_are_all_faults_and_each_draws_its_own_words():
    cases = [case(number) for number in range(1, 9)]
    assert {each.fault.name for each in cases} == {fault.name for fault in FAULTS}
    words = [tuple(complaints_of(each.machine)) for each in cases]
    assert all(words) and len(set(words)) >= 6  # two pairs sound alike: the stand tells them apart


def test_a_case_is_the_same_each_time_and_its_size_differs_from_the_next_of_its_kind():
    again = [case(6).machine.legs[0].air.oil_height for _ in range(2)]
    assert again[0] == again[1] != case(14).machine.legs[0].air.oil_height
    with pytest.raises(InputError, match="1 to 999"):
        case(0)


def test_a_session_finds_slow_rebound_and_writes_everything_down():
    session = Session(8)
    assert "packs in whoops" in session.lap().words
    session.turn("rebound", -9)
    note = session.lap()
    assert note.change == "rebound 2 out to 11 out" and note.words == FEELS_WELL
    assert session.conclude("rebound too slow").startswith("Yes")
    assert session.conclude("too little oil").startswith("No")
    assert len(session.notes) == 2 and session.case.machine is not session.machine


def test_two_changes_at_once_are_said_and_slips_get_a_sentence():
    session = Session(2)
    session.turn("preload", 1), session.turn("rebound", 1)
    assert "which one was it?" in session.lap().change
    for slip in (lambda: session.turn("springs", 1), lambda: session.turn("rebound", 90),
                 lambda: session.conclude("bad luck")):
        with pytest.raises(InputError):
            slip()


def test_the_stand_shows_what_no_lap_tells():
    """Dragging seals, a hard tyre, and soft springs wound up to the right rider sag: each leaves its own measure."""
    def read(number):
        return [float(found) for found in re.findall(r"([\d.]+) mm", Session(number).measured())]

    free, sag, apart, squashed = read(8)  # slow rebound: nothing that a tape could find
    assert read(1)[2] > 4 * apart and read(1)[:2] == [free, sag]
    assert read(7)[3] < 0.7 * squashed and read(7)[:3] == [free, sag, apart]
    assert read(3)[0] <= free - 4 and read(3)[1] == pytest.approx(sag, abs=1)


def test_desk_works_by_its_buttons_and_leaves_its_notes_as_text():
    desk = session_desk.setup_session(8)
    desk.handle.value, desk.steps.value, desk.verdict.value = "rebound", -9, "rebound too slow"
    for deed in (desk.turn, desk.lap, desk.measure, desk.conclude):
        deed()
    assert "Yes: rebound too slow" in desk.said.value and "<td>rebound 2 out to 11 out</td>" in desk.table.value
    desk.steps.value = 12
    desk.turn()
    assert "That does not go" in desk.said.value
    assert desk._repr_mimebundle_()[0]["text/plain"] == desk.text and FEELS_WELL in desk.text
