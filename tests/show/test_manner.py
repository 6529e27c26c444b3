"""What a panel does beside following its controls: implied moves, what a pin follows, clicks, changing places."""

import numpy as np
import pytest

from suspedu.show.declared import Declared
from suspedu.show.layout import Frame
from suspedu.show.manner import Manner, nearest_stop
from suspedu.show.theme import LIGHT
from suspedu.show.view import MOST_CORNERS, Axes, Choice, Control, Curve, Mark, View, every_corner
from suspedu.units import InputError

from .sample import panel

SPEEDS = np.linspace(0.0, 10.0, 11)
CONTROLS = (
    Choice("ground", "Ground", {"sand": "sand", "rock": "rock"}, "sand"),
    Choice("kind", "Kind", {"soft": "soft", "hard": "hard"}, "soft"),
    Control("rate", "Rate", "N/mm", 0, 10, 0.5, 2),
    Control("cursor", "Cursor", "m", 0, 10, 1, 5, group="Point", lasts=2.0),
)
AXES = (Axes("x", "y", (0, 10), (0, 400), place=(0, 0.5, 1, 1)), Axes("x", "y", (0, 10), (0, 10), place=(0, 0, 1, 0.5)))
GRIP = {"sand": 1.0, "rock": 3.0}


def view(ground, kind, rate, cursor):
    force = GRIP[ground] * rate * SPEEDS
    items = (Curve("force", SPEEDS, force), Mark("here", cursor, 5.0, "", 1))
    return View(items, (("Most", f"{force[-1]:.1f} N"),), f"{force[-1]:.1f} N on {ground}.", facts=force[-1])


def against(now: View, pinned: View) -> View:
    return View(now.items, now.numbers, f"{now.facts:.1f} N against {pinned.facts:.1f} N.", now.axes, now.facts)


MANNER = Manner(shared=("ground",), against=against, picks={1: lambda x, values: ("cursor", x)},
                implied={"kind": lambda values: {"rate": 2.0 if values["kind"] == "soft" else 8.0}})
TRIED = Declared(id="tried", title="Tried", controls=CONTROLS, axes=AXES, view=view, manner=MANNER)


def test_a_move_brings_along_what_it_implies_and_a_reset_does_not():
    live = TRIED()
    live.move(kind="hard")
    assert live.values["rate"] == 8.0 and live.home["rate"] == 8.0
    live.move(rate=3)
    assert live.values == {"ground": "sand", "kind": "hard", "rate": 3.0, "cursor": 5.0} and live.home["rate"] == 8.0
    live.move(kind="soft", rate=9)  # moved by hand in the same move: it stays where the hand put it
    assert live.values["rate"] == 9.0
    live.reset()
    assert live.values == live.home == TRIED.values()


def test_what_a_move_of_the_page_brings_along_outlasts_the_rest_of_the_hand():
    live = TRIED()
    for serial, quick in ((1, True), (2, False)):  # as the page sends it: the answer at once, then the crisp one
        live._heard(live, {"kind": "move", "serial": serial, "quick": quick, "values": {"kind": "hard"}}, [])
        assert live.values == TRIED.values(kind="hard", rate=8.0) and live.sentence == "80.0 N on sand."


def test_a_pinned_setting_is_shown_under_the_present_conditions():
    live = TRIED(rate=4)
    live.pin()
    live.move(rate=5)
    assert live.sentence == "50.0 N against 40.0 N." and live.compared == ""
    live.move(ground="rock")
    assert live.sentence == "150.0 N against 120.0 N."
    assert live.numbers == [["Most", "150.0 N", "120.0 N", "+30.0 N"]]
    live.unpin()
    assert live.sentence == "150.0 N on rock."


def test_two_settings_change_places():
    live = TRIED(rate=4)
    with pytest.raises(InputError, match="nothing is pinned"):
        live.swap()
    live.pin()
    live.move(rate=6, ground="rock")
    live.swap()
    assert live.values["rate"] == 4.0 and live.values["ground"] == "rock"
    assert live.sentence == "120.0 N against 180.0 N."
    live.swap()
    assert live.sentence == "180.0 N against 120.0 N."


def test_a_click_into_axes_sets_their_slider_and_elsewhere_nothing():
    live = TRIED()
    live._heard(live, {"kind": "pick", "x": 0.5, "y": 0.2}, [])
    assert live.values["cursor"] == 5.0  # axes without a slider
    drawing = live._drawing(live._frame(live._now))
    left, bottom, right, top = drawing.room(1)
    x, y = (left + 0.81 * (right - left)) / drawing.frame.width, 1 - (bottom + top) / 2 / drawing.frame.full_height
    live._heard(live, {"kind": "pick", "x": x, "y": y}, [])
    assert live.values["cursor"] == 8.0
    live._heard(live, {"kind": "pick", "x": 0.001, "y": 0.001}, [])
    assert live.values["cursor"] == 8.0 and live.problem == ""


@pytest.mark.parametrize(("x", "stop"), [(-3, 0.5), (99, 10.0), (3.26, 3.5), (0.74, 0.5)])
def test_a_click_is_put_on_the_raster(x, stop):
    assert nearest_stop(Control("a", "a", "", 0.5, 10, 0.5, 1), x) == stop


def test_axes_that_say_their_place_stand_there_and_under_each_other_on_a_narrow_page():
    upper, lower = Frame(AXES, LIGHT, 800, 400).cells()
    assert upper[1] > lower[3] and upper[0] == lower[0] and upper[2] == lower[2] <= 800
    frame = Frame(AXES, LIGHT, 400, 400)
    assert frame.stacked and frame.full_height == sum(frame.storeys()) and len(frame.cells()) == 2


def test_a_panel_of_very_many_corners_is_tried_at_some_always_the_same():
    many = tuple(Control(f"a{number}", "a", "", 0, 1, 1, 0) for number in range(30))
    found = list(every_corner(many))
    assert len(found) == MOST_CORNERS + 1 and found == list(every_corner(many))
    assert all({values[name] for values in found} == {0, 1} for name in found[0])


def test_controls_say_their_group_and_whether_they_are_a_film():
    told = {control["name"]: control for control in TRIED().controls}
    assert told["cursor"]["group"] == "Point" and told["cursor"]["lasts"] == 2.0 and told["ground"]["group"] == ""
    assert TRIED().picked and not panel().picked
