"""Pictures: the quick road gives the same pixels as the slow one, small files, texts that do not collide."""

import dataclasses
import io
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from suspedu.show import panels
from suspedu.show.draw import NOTE, Drawing, needs
from suspedu.show.labels import best_place, spread, text_width
from suspedu.show.layout import Frame, folded
from suspedu.show.palette_png import colours, png
from suspedu.show.theme import DARK, LIGHT, rgb
from suspedu.show.view import Axes, Curve, Mark, View, box

from .sample import AXES, view

FRAME = Frame(AXES, LIGHT, 700, 300)
START = view(4.0, 80.0, "left")


def read(picture: bytes) -> Image.Image:
    return Image.open(io.BytesIO(picture))


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize(("width", "scale"), [(700, 1.0), (700, 2.0), (420, 1.25)])
def test_a_blitted_picture_is_the_fully_drawn_one_pixel_for_pixel(theme, width, scale):
    frame = Frame(AXES, theme, width, 300, scale)
    kept = Drawing(frame, START)
    kept.png(view(1.0, 200.0, "right"), START)  # something quite different, and a pin, in between
    for values in ((2.0, 60.0, "left"), (8.0, 150.0, "right")):
        now = view(*values)
        assert np.array_equal(kept.pixels(now), Drawing(frame, now).pixels(now))
        assert np.array_equal(kept.pixels(now, START), Drawing(frame, now).pixels(now, START))


@pytest.mark.parametrize(("panel", "moves"), [
    (panels.whole_fork, ({"preload": 9.0}, {"preload": 9.5}, {"oil_height": 95.0})),
    (panels.cutaway, ({"velocity": -1.5}, {"velocity": 0.8})),
    (panels.shim_stack, ({"gap": 0.1}, {"face_shims": 5}, {"gap": 0.0}, {"face_shims": 1})),  # shims come, go
])
def test_what_did_not_change_is_not_drawn_again_and_the_picture_is_whole(panel, moves):
    """Moves one after the other, with and without a pin, on one drawing; against a fresh one each time."""
    values, pin, frame = panel.values(), None, Frame(panel.axes, LIGHT, 900, panel.height)
    kept: dict = {}
    for move in (*moves, *moves[::-1], {}):
        values |= move
        now = panel.view(**values)
        drawing = kept.setdefault(needs(frame, now), Drawing(frame, now))
        fresh = Drawing(frame, now)
        assert drawing.png(now, pin) == fresh.png(now, pin)
        assert np.array_equal(np.asarray(drawing.figure.canvas.buffer_rgba()), fresh.pixels(now, pin))
        pin = now if pin is None else None


def test_only_the_axes_that_show_something_else_are_drawn():
    kept, drawn = Drawing(FRAME, START), []
    kept.png(START)
    for artist in kept.artists:
        artist.draw = lambda renderer, name=artist: drawn.append(name)
    work = next(item for item in START.items if item.name == "work")
    taller = dataclasses.replace(work, y=1.1 * np.asarray(work.y))
    kept.png(dataclasses.replace(START, items=tuple(taller if item is work else item for item in START.items)))
    there = [artist for artist, item in zip(kept.artists, START.items, strict=True) if item.axes == work.axes]
    assert drawn == [artist for artist in there if artist.get_visible()]


def test_the_picture_follows_the_view():
    kept = Drawing(FRAME, START)
    first = np.array(kept.pixels(START))
    assert not np.array_equal(first, kept.pixels(view(8.0, 80.0, "left")))
    assert np.array_equal(first, kept.pixels(START))


def test_pinned_ghosts_are_grey_and_go_again():
    kept = Drawing(FRAME, START)
    moved = view(8.0, 80.0, "left")
    ghost = (np.array(kept.pixels(moved, START))[..., :3] == rgb(LIGHT.ghost)).all(axis=-1).sum()
    plain = (np.array(kept.pixels(moved))[..., :3] == rgb(LIGHT.ghost)).all(axis=-1).sum()
    assert ghost > 100 > plain  # a line over half of the picture is hundreds of pixels


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_palette_png_is_small_and_true(theme):
    frame = dataclasses.replace(FRAME, theme=theme, width=720, height=340)
    drawing = Drawing(frame, START)
    small = drawing.png(START, level=9)
    image = read(small)
    assert image.mode == "P"
    assert image.size == (720, 340)
    assert len(colours(theme)) <= 48
    assert len(image.getcolors(256)) <= len(colours(theme, ("third",))) <= 64  # with the tints of the filled bar
    assert len(small) <= 25_000
    assert tuple(image.convert("RGB").getpixel((2, 2))) == tuple(rgb(theme.paper).astype(int))
    # the palette holds the blends that edges need, so on average a pixel is less than one of 255 steps off
    true = np.array(drawing.pixels(START))[..., :3].astype(float)
    assert np.abs(np.array(image.convert("RGB")) - true).mean() < 1.0


def test_each_palette_colour_is_kept():
    for theme in (LIGHT, DARK):
        palette = colours(theme).astype(np.uint8)
        strip = np.dstack([palette[None], np.full((1, len(palette), 1), 255, np.uint8)])
        error = np.abs(np.array(read(png(strip, theme)).convert("RGB"))[0].astype(int) - palette).max()
        assert error < 8  # one coarse step


def test_the_crisp_picture_has_the_texts_where_the_quick_one_has_them():
    quick, crisp = (Drawing(dataclasses.replace(FRAME, scale=scale), START) for scale in (1.0, 2.0))
    quick.show(START)
    crisp.show(START)
    for one, two in zip(quick.texts, crisp.texts, strict=True):
        assert one.get_position() == pytest.approx(two.get_position(), abs=0.51)  # half a pixel of tick rounding


def test_other_items_need_another_drawing():
    other = dataclasses.replace(START, items=START.items[:-1])
    with pytest.raises(ValueError, match="other items"):
        Drawing(FRAME, START).png(other)


def test_gaps_curves_out_of_sight_and_single_points_are_drawn():
    axes = (Axes("x", "y", (0, 1), (0, 1)),)
    x = np.linspace(0, 1, 5)
    curves = (Curve("gap", x, np.array([0, 0.2, np.nan, 0.6, 0.8]), label="gap"), Curve("out", x, x + 9, label="out"),
              Curve("point", np.array([0.5]), np.array([0.5]), label="p"), Curve("none", x, x * np.nan, label="none"),
              Mark("away", 5.0, 5.0, "away"))  # fmt: skip
    picture = read(Drawing(Frame(axes, LIGHT, 400, 300), View(curves, (), "")).png(View(curves, (), "")))
    assert picture.size == (400, 300)


def _boxes(drawing):
    renderer = drawing.figure.canvas.get_renderer()
    return [text.get_window_extent(renderer) for text in drawing.texts if text.get_text()]


@pytest.mark.parametrize("width", [420, 700, 980])
@pytest.mark.parametrize("slopes", [(1.0, 1.01, 1.02), (0.2, 0.21, 3.0), (2.0, 2.0, 2.0)])
def test_direct_labels_do_not_overlap_and_stay_in_the_picture(width, slopes):
    axes = (Axes("x", "y", (0, 1), (0, 2)),)
    x = np.linspace(0, 1, 50)
    items = [Curve(f"c{i}", x, slope * x, label=f"curve {i}") for i, slope in enumerate(slopes)]
    shown = View((*items, Mark("m", 0.5, 0.5, "a mark")), (), "")
    drawing = Drawing(Frame(axes, LIGHT, width, 300), shown)
    drawing.pixels(shown)
    boxes = _boxes(drawing)
    assert len(boxes) == 4
    for i, one in enumerate(boxes):
        assert one.x0 >= 0
        assert one.x1 <= width
        assert one.y0 >= 0
        assert one.y1 <= 300
        assert not any(one.overlaps(other) for other in boxes[:i])


@settings(max_examples=50)
@given(st.lists(st.floats(0, 300), max_size=8))
def test_spread_keeps_distance_order_and_limits(wanted):
    placed = spread(wanted, 15.0, 0.0, 300.0)
    order = np.argsort(wanted, kind="stable")
    assert (np.diff(placed[order]) >= 15.0 - 1e-9).all()
    assert ((placed >= -1e-9) & (placed <= 300 + 1e-9)).all()  # eight of 15 fit into 300


def test_spread_moves_nothing_that_has_room():
    assert spread([10.0, 40.0, 90.0], 15.0, 0.0, 100.0) == pytest.approx([10, 40, 90])


def test_a_text_avoids_the_line_and_the_other_text():
    line = np.column_stack([np.linspace(0, 200, 100), np.linspace(0, 200, 100)])
    room = (0.0, 0.0, 200.0, 200.0)
    x, y = best_place((100, 100), (40, 15), room, [], line)
    assert not ((line[:, 0] > x) & (line[:, 0] < x + 40) & (line[:, 1] > y) & (line[:, 1] < y + 15)).any()
    second = best_place((100, 100), (40, 15), room, [(x, y, x + 40, y + 15)], line)
    assert second != (x, y)


def test_long_labels_fold_between_words():
    lines = folded("weight of the rider on the front", 90.0).split("\n")
    assert " ".join(lines) == "weight of the rider on the front"
    assert len(lines) > 1
    assert all(text_width(line, 12.5) <= 90 for line in lines)


def test_saved_files_are_complete_pictures_with_the_sentence():
    drawing = Drawing(dataclasses.replace(FRAME, scale=2.0), START)
    image = read(drawing.saved("png", START, title="Two springs"))
    assert image.size == (1400, 600)
    assert image.text["Description"] == START.sentence
    svg = drawing.saved("svg", START).decode()
    assert START.sentence in svg
    assert svg.count("<path") > 10
    kept = np.array(image.convert("RGB"))
    assert (kept == rgb(LIGHT.main)).all(axis=-1).sum() > 500  # the moving curve is in the file too


def test_saved_files_carry_the_labels():
    """matplotlib leaves animated texts out of a file; its SVG names each text that it draws in a comment."""
    drawing = Drawing(FRAME, START)
    drawing.pixels(START)
    svg = drawing.saved("svg", START, view(8.0, 80.0, "left")).decode()
    written = set(re.findall(r"<!-- (.*?) -->", svg))
    labels = [line for text in drawing.texts for line in text.get_text().split("\n") if line]
    assert len(labels) >= 3
    assert written >= {*labels, NOTE}
    assert all(text.get_animated() for text in drawing.texts)  # and the panel's own picture goes on by stamps

    def differing(area):
        """Share of pixels in a label's place [px] of the saved PNG that are not paper."""
        left, low, right, high = (round(side) for side in area.extents)
        kept = np.array(read(drawing.saved("png", START)).convert("RGB"))[300 - high : 300 - low, left:right]
        return (np.abs(kept.astype(int) - rgb(LIGHT.paper)) > 60).any(axis=-1).mean()

    assert all(differing(place) > 0.05 for place in _boxes(drawing))


@pytest.mark.parametrize("scale", [1.0, 1.25, 2.0, 3.0])
@pytest.mark.parametrize("words", ["mid-valve", "reservoir: 3.7 bar", "two\nlines, jg", "AVAV To.", "rate $c_1^2$"])
def test_a_stamped_text_is_the_text_that_matplotlib_draws(scale, words):
    drawing = Drawing(dataclasses.replace(FRAME, scale=scale), START)
    drawing.show(START)
    text = drawing.texts[0]
    text.set(text=words, x=100.0, y=52.0)
    canvas = drawing.figure.canvas
    np.asarray(canvas.buffer_rgba())[...] = drawing.still
    blank = np.array(canvas.buffer_rgba())
    stamped = blank.copy()
    drawing.stamps.printed(stamped, text)
    text.draw(canvas.get_renderer())
    drawn = np.array(canvas.buffer_rgba())
    assert (stamped != blank).any(axis=-1).sum() > 100
    assert np.abs(stamped.astype(int) - drawn).max() <= 2  # rounding of the blend


def test_a_text_over_the_edge_is_cut_off():
    drawing = Drawing(FRAME, START)
    text = drawing.texts[0]
    for place in ((-20.0, 50.0), (690.0, 50.0), (100.0, -6.0), (100.0, 295.0), (-900.0, -900.0), (900.0, 900.0)):
        pixels = np.zeros((300, 700, 4), np.uint8)
        text.set(text="over the edge", x=place[0], y=place[1])
        drawing.stamps.printed(pixels, text)
        assert bool(pixels.any()) == (abs(place[0]) < 800)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("tint", [0.1, 0.35, 0.7, 1.0])
def test_filled_areas_keep_their_colour_in_the_palette_and_follow_their_tint(theme, tint):
    axes = (Axes("", "", (0, 1), (0, 1), bare=True),)
    roles = ("ink", "main", "third")

    def strips(tint):
        boxes = [box(role, i / 3, 0, 1 / 3, 1, role=role, tint=tint, edge=0) for i, role in enumerate(roles)]
        return View(tuple(boxes), (), "")

    drawing = Drawing(Frame(axes, theme, 300, 300), strips(0.5))
    image = read(drawing.png(strips(tint))).convert("RGB")
    for i, role in enumerate(roles):
        seen = np.array(image.getpixel((round(300 * (i + 0.5) / 3), 150)))
        assert np.abs(seen - rgb(theme.mixed(role, tint))).max() <= 6, role  # within one coarse step of 8


def test_a_number_stays_with_its_unit():
    assert folded("alone: 31 mm", 40.0).split("\n") == ["alone:", "31 mm"]
