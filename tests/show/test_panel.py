"""A panel without a browser: messages and traits in, picture and texts out."""

import base64
import io
import re
import threading

import numpy as np
import pytest
from PIL import Image

from suspedu.show import kept_drawings, panels
from suspedu.show.foot import note_place
from suspedu.show.labels import text_width
from suspedu.show.layout import TITLE, Frame
from suspedu.show.pane import most_moved
from suspedu.show.theme import LIGHT
from suspedu.show.view import Axes, every_corner
from suspedu.units import InputError

from .sample import AXES, CONTROLS, panel, view


def hear(shown, **message):
    """What the page sends."""
    shown._heard(shown, message, [])


def move(shown, serial, quick=True, **values):
    hear(shown, kind="move", serial=serial, quick=quick, values=values)  # what the hand turned


def pixels(picture: bytes):
    return np.array(Image.open(io.BytesIO(picture)).convert("RGB"))


def test_values_in_picture_and_sentence_out():
    shown = panel()
    before = shown.picture
    assert shown.sentence == "The left spring gives way by 20.0 mm."
    shown.values = {"rate": 8.0}
    assert shown.sentence == "The left spring gives way by 10.0 mm."
    assert shown.numbers == [["Sag", "10.0 mm"], ["Side", "left"]]
    assert shown.picture != before
    assert shown.values == {"rate": 8.0, "load": 80.0, "side": "left"}


def test_every_corner_is_shown_as_view_computes_it():
    shown = panel()
    for values in every_corner(CONTROLS):
        if values["rate"] < 8.5:
            assert shown.move(**values).text.startswith(view(**values).sentence)
            assert shown.problem == ""


def test_a_late_event_changes_nothing():
    shown = panel()
    move(shown, 5, rate=8.0)
    newest = shown.picture
    move(shown, 4, rate=2.0)
    move(shown, 5, rate=2.0)
    assert (shown.serial, shown.values["rate"], shown.picture) == (5, 8.0, newest)
    move(shown, 6, rate=2.0)
    assert shown.values["rate"] == 2.0


def test_moving_is_quick_and_rest_is_crisp():
    shown = panel()
    hear(shown, kind="screen", theme="light", ratio=2, width=600)
    move(shown, 1, quick=True, rate=3.0)
    assert pixels(shown.picture).shape[:2] == (340, 600)
    move(shown, 2, quick=False, rate=3.0)
    assert pixels(shown.picture).shape[:2] == (680, 1200)
    assert shown.size == [600, 340]
    assert shown.serial == 2


def test_theme_and_width_of_the_page_are_followed():
    shown = panel()
    hear(shown, kind="screen", theme="dark", ratio=1, width=420)
    dark = pixels(shown.picture)
    assert dark.shape[:2] == (544, 420)  # two axes, one above the other, each 0.8 of 340
    assert dark[0, 0].sum() < 150
    assert shown.size == [420, 544]
    hear(shown, kind="screen", theme="light", ratio=1, width=700)
    assert pixels(shown.picture)[0, 0].sum() > 600


def test_pin_compares_and_unpin_forgets():
    shown = panel()
    hear(shown, kind="pin")
    assert shown.pinned
    assert "those of the pin" in shown.compared
    move(shown, 1, rate=8.0)
    assert shown.compared == "Against the pin: Sag 20.0 mm → 10.0 mm (−10.0 mm)."
    assert shown.numbers == [["Sag", "10.0 mm", "20.0 mm", "−10.0 mm"], ["Side", "left", "left", ""]]
    assert shown.compared in shown.text
    ghosts = shown.picture
    hear(shown, kind="pin")
    assert not shown.pinned
    assert shown.compared == ""
    assert shown.picture != ghosts


def test_reset_goes_back_to_the_start_and_keeps_the_pin():
    shown = panel(rate=2.0)
    first = shown.picture
    shown.pin()
    move(shown, 1, rate=8.0, side="right")
    hear(shown, kind="reset")
    assert shown.values == {"rate": 2.0, "load": 80.0, "side": "left"}
    assert shown.pinned
    shown.unpin()
    assert shown.picture == first


def test_save_sends_a_file_and_writes_one(tmp_path):
    shown, sent = panel(), []
    shown.send = lambda content, buffers=None: sent.append((content, buffers[0]))
    for kind, start in (("png", b"\x89PNG"), ("svg", b"<?xml")):
        hear(shown, kind="save", format=kind)
        content, data = sent[-1]
        assert content["name"] == f"two-springs.{kind}"
        assert data.startswith(start)
        assert shown.save(tmp_path / f"kept.{kind}").read_bytes().startswith(start)
    with pytest.raises(InputError, match="picture format is 'gif'"):
        shown.save(tmp_path / "kept.gif")


@pytest.mark.parametrize("width", [400, 620, 700, 900])
def test_the_note_of_a_pin_stays_off_the_titles(width):
    axes = (Axes("", "", (0, 1), (0, 1), "Left"), Axes("", "", (0, 1), (0, 1), "A title that is long", share=0.4))
    frame = Frame(axes, LIGHT, width, 300)
    place = note_place(frame, 80.0)
    for each, (left, _, _, top) in zip(axes, frame.cells(), strict=True):
        beside = place["x"] >= left + text_width(each.title, TITLE) or place["x"] + 80.0 <= left
        assert beside or place["y"] >= top or place["y"] + 14 <= top - TITLE
    assert 0 <= place["x"] <= width - 80.0 and 0 <= place["y"] < frame.full_height


def test_a_saved_picture_carries_sentence_setting_and_what_was_pinned():
    shown = panel(load=80.0)
    plain = shown.still()
    shown.pin()
    shown.move(load=150.0, side="right")
    text = " ".join(re.findall(r"<!-- (.*?) -->", shown.file("svg").decode()))
    for words in (shown.sentence, "Setting: Spring rate 4.0 N/mm; Load 150 N; Side to the right.",
                  "Pinned, in grey: Load 80 N; Side to the left."):  # fmt: skip
        assert words.split()[-1] in text and words[:30] in text
    shown.unpin()
    shown.reset()
    assert shown.still() == plain  # the page's picture knows nothing of it


def test_a_refusal_is_shown_and_the_last_good_picture_kept():
    shown = panel()
    good = shown.picture, shown.sentence
    move(shown, 1, rate=8.5)
    assert shown.problem == "rate is 8.5 N/mm: the shop has no such spring"
    assert (shown.picture, shown.sentence) == good
    assert shown.serial == 1  # the page hears that it was answered
    move(shown, 2, rate=8.0)
    assert shown.problem == ""
    assert shown.picture != good[0]


def test_a_fault_nobody_foresaw_is_one_sentence_too():
    shown = panel()
    move(shown, 1, rate=9.0)
    assert "ZeroDivisionError" in shown.problem
    assert "Reset" in shown.problem
    assert isinstance(shown.fault, ZeroDivisionError)
    hear(shown, kind="reset")
    assert shown.problem == ""


def test_values_out_of_range_from_the_page_are_answered():
    shown = panel()
    move(shown, 1, rate=50.0)
    assert "Spring rate [N/mm] is 50" in shown.problem
    assert shown.serial == 1
    assert shown.values["rate"] == 4.0


def test_a_wrong_start_is_refused():
    with pytest.raises(InputError, match=r"no control 'rat'.*did you mean 'rate'"):
        panel(rat=3.0)
    with pytest.raises(InputError, match="allowed: 1 to 9"):
        panel(rate=30.0)


def test_output_for_the_file_is_a_small_still_and_the_text():
    shown = panel()
    hear(shown, kind="screen", theme="dark", ratio=3, width=420)
    data, _ = shown._repr_mimebundle_()
    still = base64.b64decode(data["image/png"])
    assert data["text/plain"] == "The left spring gives way by 20.0 mm.\nSag: 20.0 mm\nSide: left"
    assert len(still) <= 25_000
    assert pixels(still).shape[:2] == (340, 700)
    assert pixels(still)[0, 0].sum() > 600  # light, whatever the page of the author
    assert data["application/vnd.jupyter.widget-view+json"]["model_id"] == shown.model_id
    again, _ = panel()._repr_mimebundle_()
    assert again["image/png"] == data["image/png"]


def test_few_drawings_are_kept():
    shown = panel()
    for width in range(400, 900, 50):
        hear(shown, kind="screen", theme="light", ratio=2, width=width)
        move(shown, width, rate=3.0)
    assert len(shown._drawings) <= 4


def test_many_panels_keep_no_more_drawings_than_a_kernel_should_hold():
    """More panels than fit: the drawings used longest ago go, and all panels go on."""
    many = [panel() for _ in range(7)]
    for shown in (*many, many[0]):
        hear(shown, kind="screen", theme="light", ratio=3, width=900)
        move(shown, shown.serial + 1, rate=3.0)
        assert len(shown._drawings) >= 1  # the one in use stays
        assert 0.0 < kept_drawings.megabytes() <= kept_drawings.MEGABYTES
    assert many[0].picture == many[-1].picture and {shown.problem for shown in many} == {""}


def test_two_threads_may_draw():
    shown, faults = panel(), []

    def drag(first):
        for serial in range(first, first + 40, 2):
            move(shown, serial, rate=1.0 + (serial % 14) / 2)
            faults.append(shown.problem)

    threads = [threading.Thread(target=drag, args=(first,)) for first in (1, 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(faults) == {""}
    fresh = panel(**shown.values)
    assert pixels(shown.picture).shape == pixels(fresh.picture).shape
    assert np.array_equal(pixels(shown.picture), pixels(fresh.picture))


def test_of_a_picture_of_storeys_the_page_hears_which_the_hand_moves():
    shown = panel()
    move(shown, 1, rate=5.0)
    assert shown.storeys == []  # side by side: all of it is seen
    hear(shown, kind="screen", theme="light", ratio=1, width=420)
    move(shown, 2, rate=6.0)
    assert shown.part == 0 and shown.storeys[0] == 0 and shown.storeys[-1] == shown.size[1]
    assert shown.storeys == sorted(shown.storeys) and len(shown.storeys) == 1 + len(AXES)
    move(shown, 3, side="right")  # moves no curve and no bar: the same storey stays
    assert shown.part == 0


def test_the_axes_that_a_move_changes_most_are_those_of_its_curves():
    start = panels.bench.shown()
    for moved, name in (("preload", "Springs"), ("rebound", "Damping"), ("oil_height", "Springs")):
        other = panels.bench.shown(**{moved: panels.bench.values()[moved] + 2})
        assert panels.bench.axes[most_moved(other, start, panels.bench.axes)].title.startswith(name)
    assert most_moved(start, start, panels.bench.axes) is None
