"""Pure data of a panel: controls refuse, corners cover, differences are told."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.show.against import against_pin, difference
from suspedu.show.view import (
    Axes,
    Choice,
    Control,
    Curve,
    View,
    band,
    bar,
    every_corner,
    start_values,
)
from suspedu.units import InputError

PRELOAD = Control("preload", "Spring preload", "mm", 0, 20, 1, 6, "more = the fork stands higher")
GROUND = Choice("ground", "Ground", {"sand": "deep sand", "rocks": "loose rocks"}, "sand")


def test_start_values_take_some_by_name():
    assert start_values((PRELOAD, GROUND), {"ground": "rocks"}) == {"preload": 6.0, "ground": "rocks"}


@pytest.mark.parametrize(
    ("start", "words"),
    [
        ({"preload": 60}, ["Spring preload [mm]", "60", "0 to 20"]),
        ({"preload": float("nan")}, ["Spring preload [mm]", "nan"]),
        ({"preload": "six"}, ["Spring preload", "'six'", "mm"]),
        ({"ground": "rock"}, ["Ground", "'rock'", "'sand'", "did you mean 'rocks'"]),
        ({"perload": 3}, ["perload", "did you mean 'preload'"]),
    ],
)
def test_a_wrong_start_is_refused_in_one_sentence(start, words):
    with pytest.raises(InputError) as refusal:
        start_values((PRELOAD, GROUND), start)
    assert all(word in str(refusal.value) for word in words)
    assert "\n" not in str(refusal.value)


def test_a_slider_that_misses_its_end_by_rounding_is_at_its_end():
    assert PRELOAD.accepted(20 + 1e-12) == 20


def test_corners_are_the_start_and_all_ends_with_all_options():
    corners = list(every_corner((PRELOAD, GROUND)))
    assert corners[0] == {"preload": 6, "ground": "sand"}
    ends = {(corner["preload"], corner["ground"]) for corner in corners[1:]}
    assert ends == {(0, "sand"), (0, "rocks"), (20, "sand"), (20, "rocks")}


@pytest.mark.parametrize(("step", "decimals"), [(5, 0), (1, 0), (0.5, 1), (0.1, 1), (0.05, 2), (0.25, 2), (2.5, 1)])
def test_decimals_show_each_step_exactly(step, decimals):
    assert Control("a", "a", "mm", 0, 10, step, 0).described()["decimals"] == decimals


@pytest.mark.parametrize(
    ("now", "before", "told"),
    [
        ("70.5 mm", "78.0 mm", "−7.5 mm"),
        ("6660 N", "6558 N", "+102 N"),
        ("56 %", "57 %", "−1 points"),
        ("3 mm", "3 mm", "same"),
        ("open", "shut", "changed"),
        ("open", "open", ""),
        ("−3.0 N", "2.0 N", "−5.0 N"),
        ("1.2 kN", "900 N", "changed"),
    ],
)
def test_difference_keeps_unit_and_decimals(now, before, told):
    assert difference(now, before) == told


@settings(max_examples=50)
@given(st.integers(-99_999, 99_999), st.integers(-99_999, 99_999), st.integers(0, 3))
def test_difference_is_the_difference_of_what_is_shown(new, old, decimals):
    texts = [f"{value / 10**decimals:.{decimals}f} mm" for value in (new, old)]
    told = difference(*texts).replace("−", "-")
    expected = (new - old) / 10**decimals
    assert (told == "same") if new == old else (float(told.split()[0]) == pytest.approx(expected, abs=1e-9))


def test_only_what_moved_is_told_against_the_pin():
    pinned = View((), (("Sag", "70 mm"), ("Force", "900 N")), "")
    now = View((), (("Sag", "66 mm"), ("Force", "900 N")), "")
    assert against_pin(now, pinned) == "Against the pin: Sag 70 mm → 66 mm (−4 mm)."
    assert "those of the pin" in against_pin(pinned, pinned)


def test_band_and_bar_are_closed_outlines_of_the_right_area():
    def area(shape):
        x, y = np.asarray(shape.x), np.asarray(shape.y)
        return abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2

    x = np.linspace(0, 4, 9)
    assert area(band("b", x, 0 * x + 1, 0 * x + 3)) == pytest.approx(8.0)
    assert area(bar("b", 2.0, 5.0, width=0.5)) == pytest.approx(2.5)


def test_a_view_as_text_is_sentence_and_numbers():
    assert View((Curve("a", [0], [0]),), (("Sag", "70 mm"),), "It sags.").text == "It sags.\nSag: 70 mm"
    assert hash(Axes("x", "y", (0, 1), (0, 1)))  # axes are a part of the key of a kept drawing
