"""Films of a panel: every picture is the panel's own at that place, kept as GIF or MP4, told and stopped while made."""

import asyncio
import io
import os
import shutil
import stat
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from PIL import Image

from suspedu.show import panels
from suspedu.show.declared import Declared
from suspedu.show.film import RATE
from suspedu.show.filming import WIDTH, mp4_of
from suspedu.show.view import Axes, Control, Curve, Mark, View
from suspedu.units import InputError

from .frames import frames_of
from .sample import panel as panel_without

X = np.linspace(0.0, 1.0, 11)
CONTROLS = (Control("height", "Height", "m", 0, 1, 0.1, 0.5), Control("at", "At", "m", 0, 1, 0.01, 0, lasts=0.5))


def view(height, at):
    return View((Curve("line", X, height * X), Mark("here", at, 0.5)), (("Height", f"{height:.1f} m"),), f"{at:.2f} m.")


def small():
    axes = (Axes("x", "y", (0, 1), (0, 1)),)
    return Declared(id="small", title="Small film", controls=CONTROLS, axes=axes, view=view, height=200)()


@pytest.mark.parametrize("kind", ["gif", "png"])
def test_each_picture_is_the_panels_own_at_its_place(tmp_path, kind):
    live = small()
    data = live.film(tmp_path / f"film.{kind}").read_bytes()
    seen = frames_of(data)
    assert len(seen) == round(0.5 * RATE) and Image.open(io.BytesIO(data)).info["duration"] == 1000 / RATE
    live._heard(live, {"kind": "screen", "theme": "light", "ratio": 1, "width": WIDTH}, [])
    for number, place in ((0, 0.0), (len(seen) - 1, 1.0)):
        live.move(at=place)
        own = np.asarray(Image.open(io.BytesIO(live.picture)).convert("RGB"))
        np.testing.assert_array_equal(seen[number], own)
    assert live.values["at"] == 1.0  # the film itself moved nothing


def test_what_is_pinned_stays_in_the_film():
    live = small()
    plain = [np.asarray(picture.convert("RGB")) for picture in live.frames(0.1)]
    live.pin()
    live.move(height=0.9)
    pinned = [np.asarray(picture.convert("RGB")) for picture in live.frames(0.1)]
    live.unpin()
    freed = [np.asarray(picture.convert("RGB")) for picture in live.frames(0.1)]
    assert np.any(pinned[0] != freed[0]) and np.any(plain[0] != freed[0])


def test_the_bench_is_filmed_with_its_ride_whatever_it_looks_at():
    first, second = panels.bench(ground="log").frames(0.1)
    assert first.size == (WIDTH, 470) and np.any(np.asarray(first) != np.asarray(second))


@pytest.mark.parametrize(("name", "words"), [("film.mov", "'mov'; allowed: gif, png, mp4"), ("film", "''; allowed")])
def test_another_kind_of_film_is_refused(tmp_path, name, words):
    with pytest.raises(InputError, match=words):
        small().film(tmp_path / name)
    assert not list(tmp_path.iterdir())


def test_a_panel_without_a_film_and_a_length_that_cannot_be_are_refused(tmp_path):
    with pytest.raises(InputError, match="nothing that a film could run through"):
        panel_without().film(tmp_path / "film.gif")
    with pytest.raises(InputError, match="length of the film"):
        small().film(tmp_path / "film.gif", seconds=0.0)
    assert panel_without().movies == []


def test_without_ffmpeg_an_mp4_is_refused_and_not_offered(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(InputError, match="ffmpeg, which is not on this computer"):
        small().film(tmp_path / "film.mp4")
    assert small().movies == ["gif"]


def fake_ffmpeg(folder, script):
    """A program of that name that only notes what it is given: the raw pictures are ours to get right."""
    file = folder / "ffmpeg"
    file.write_text(f"#!/bin/sh\n{script}\n")
    file.chmod(file.stat().st_mode | stat.S_IEXEC)


@pytest.mark.skipif(os.name == "nt", reason="a program is made of shell")
def test_ffmpeg_gets_the_raw_pictures_in_order_at_even_sides(tmp_path, monkeypatch):
    fake_ffmpeg(tmp_path, 'for last; do :; done; echo "$@" > "$(dirname "$0")/asked"; cat > "$last"')
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{os.environ['PATH']}")
    shades = [Image.new("RGB", (7, 5), (shade, 0, 0)) for shade in (10, 200)]
    raw = np.frombuffer(mp4_of(shades), np.uint8).reshape(2, 4, 6, 3)
    assert (raw[0, ..., 0] == 10).all() and (raw[1, ..., 0] == 200).all()
    assert f"-s 6x4 -r {RATE}" in (tmp_path / "asked").read_text()


@pytest.mark.skipif(os.name == "nt", reason="a program is made of shell")
def test_what_ffmpeg_says_against_it_is_told_in_one_sentence(tmp_path, monkeypatch):
    fake_ffmpeg(tmp_path, 'cat > /dev/null; echo "no such codec" >&2; exit 1')
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{os.environ['PATH']}")
    with pytest.raises(InputError, match="ffmpeg refused: no such codec"):
        small().film(tmp_path / "film.mp4")


@pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="no ffmpeg on this computer")
def test_an_mp4_begins_as_one(tmp_path):
    assert small().film(tmp_path / "film.mp4").read_bytes()[4:8] == b"ftyp"


def in_a_loop(page) -> None:
    """Run it in a thread of its own: the browser's tests leave a running loop in this one."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, page).result()


def asked(live, *, stop_after: int | None = None) -> list:
    """What the page hears when it asks for a film, and perhaps stops it after so many turns of the loop."""
    heard = []
    live.send = lambda content, buffers=None: heard.append((content, buffers))

    async def page():
        live._heard(live, {"kind": "film", "format": "gif"}, [])
        for _ in range(stop_after or 200):
            await asyncio.sleep(0)
        if stop_after:
            live._heard(live, {"kind": "film", "format": "gif"}, [])
        while not live._task.done():
            await asyncio.sleep(0)

    in_a_loop(page())
    return heard


def test_the_page_hears_how_far_the_film_is_and_gets_it():
    heard = asked(small())
    told = [content["done"] for content, _ in heard if content["kind"] == "film"]
    assert told == [0.5, 1.0, None]
    content, buffers = next(each for each in heard if each[0]["kind"] == "file")
    assert content == {"kind": "file", "name": "small-film.gif", "type": "image/gif"}
    assert len(frames_of(buffers[0])) == 10


def test_the_same_button_stops_it_and_nothing_is_sent():
    heard = asked(small(), stop_after=3)
    assert heard == [({"kind": "film", "done": None}, None)]


def test_the_hand_is_heard_while_a_film_is_made():
    live, heard = small(), []
    live.send = lambda content, buffers=None: heard.append(content)

    async def page():
        live._heard(live, {"kind": "film", "format": "gif"}, [])
        for _ in range(4):
            await asyncio.sleep(0)
        live._heard(live, {"kind": "move", "serial": 1, "quick": True, "values": {"height": 0.7, "at": 0.2}}, [])
        assert live.sentence == "0.20 m." and not live._task.done()
        await live._task

    in_a_loop(page())
    assert heard[-1] == {"kind": "film", "done": None} and live.problem == ""


def test_a_film_that_fails_says_why():
    live = small()
    live._view = lambda **values: 1 / 0
    heard = asked(live)
    assert heard[-1][0] == {"kind": "film", "done": None} and "division" in live.problem


def ahead(live, first, count=2, **values):
    """What the page hears when it asks for pictures ahead of their time."""
    heard = []
    live.send = lambda content, buffers=None: heard.append((content, buffers))
    asked = {"kind": "ahead", "control": "at", "ticket": 7, "values": live.values | values, "first": first,
             "step": 0.5, "count": count}  # fmt: skip
    live._heard(live, asked, [])
    return heard[0]


def test_pictures_sent_ahead_are_the_panels_own_with_their_texts():
    live, own = small(), small()
    for each in (live, own):
        each.pin()
        each._heard(each, {"kind": "screen", "theme": "dark", "ratio": 1, "width": 500}, [])
    content, pictures = ahead(live, 0.25, height=0.8)
    assert content["ticket"] == 7 and [frame["place"] for frame in content["frames"]] == [0.25, 0.75]
    for frame, picture in zip(content["frames"], pictures, strict=True):
        own.move(height=0.8, at=frame["place"])
        assert picture == own.picture and frame["values"] == own.values and frame["size"] == own.size
        assert (frame["sentence"], frame["compared"], frame["numbers"]) == (own.sentence, own.compared, own.numbers)
    assert live.values["at"] == 0.0  # nothing was moved by it


def test_pictures_ahead_are_few_at_a_time_and_end_with_the_control():
    frames = ahead(small(), 0.0, count=10_000)[0]["frames"]
    assert len(frames) == 10 and frames[-1]["place"] == 1.0


def test_pictures_ahead_that_cannot_be_made_are_told_of():
    content, pictures = ahead(small(), 0.0, height=7.0)
    assert "Height [m] is 7" in content["problem"] and pictures == []
