"""Films: as many pictures as views, each the picture of its view, in both formats."""

import io
import itertools

import numpy as np
import pytest
from PIL import Image

from suspedu.school.strokes import push_and_back
from suspedu.show import panels
from suspedu.show.draw import Drawing
from suspedu.show.film import film
from suspedu.show.layout import Frame
from suspedu.show.palette_png import png
from suspedu.show.panels.damper.stroke_film import filmed
from suspedu.show.theme import LIGHT
from suspedu.show.view import Axes, Curve, Mark, View
from suspedu.units import InputError

from .frames import frames_of

AXES = (Axes("x", "y", (0, 1), (0, 1)),)
X = np.linspace(0, 1, 20)


def step(at, label="line") -> View:
    return View((Curve("c", X, at * X, 0, "main", label), Mark("m", at, at)), (), "")


@pytest.mark.parametrize("kind", ["gif", "png"])
def test_every_picture_of_the_film_is_the_picture_of_its_view(kind):
    views = [step(at) for at in (0.2, 0.5, 0.9)]
    frame = Frame(AXES, LIGHT, 500, 300)
    seen = frames_of(film(views, AXES, kind=kind, width=500, height=300))
    assert len(seen) == 3
    for view, picture in zip(views, seen, strict=True):
        alone = Image.open(io.BytesIO(png(Drawing(frame, view).pixels(view), LIGHT))).convert("RGB")
        np.testing.assert_array_equal(picture, np.asarray(alone))


def test_a_label_that_grows_gets_its_room():
    seen = frames_of(film([step(0.5), step(0.5, "a much longer label")], AXES))
    assert seen[0].shape == seen[1].shape and np.any(seen[0] != seen[1])


def test_durations_are_kept_to_the_hundredth_that_the_format_knows():
    image = Image.open(io.BytesIO(film([step(0.2), step(0.6), step(0.4)], AXES, durations=[0.1, 0.4, 0.2])))
    told = []
    for number in range(3):
        image.seek(number)
        told.append(image.info["duration"])
    assert told == [100, 400, 200] and image.info["loop"] == 0


@pytest.mark.parametrize(("views", "options", "words"), [
    ([], {}, "at least one view"), ([step(0.5)], {"kind": "mov"}, "allowed: gif, png"),
    ([step(0.5)], {"durations": 0.0}, "duration"),
])
def test_a_film_that_cannot_be_gets_one_sentence(views, options, words):
    with pytest.raises(InputError, match=words):
        film(views, AXES, **options)


def test_the_energy_taken_out_is_the_area_that_the_force_goes_round():
    done = push_and_back("closed cartridge", 0.22, 3.0, 1.2)
    leg = done.explanation.leg
    area = np.trapezoid(leg.force - leg.gas_force, done.stroke)
    end = dict(panels.stroke_film.shown(time=100).numbers)["Taken out of the motion so far"]
    assert float(end.split()[0]) == pytest.approx(area, rel=0.005)  # the same sum over stroke instead of over time


def test_the_film_of_a_stroke_moves():
    seen = frames_of(filmed(pictures=5, kind="png"))
    assert len(seen) == 5 and all(np.any(a != b) for a, b in itertools.pairwise(seen))
