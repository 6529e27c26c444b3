"""The bench as a panel: its picture, bars, sentence and table say what the library says, at random settings too."""

import random
import re

import numpy as np
import pytest

from suspedu.machine import fork_load, front_load, hanging_stroke, load
from suspedu.machine.model import MACHINES
from suspedu.school.bench import FELT, READ, betterment, curve_changes, on_bench, steps_noticed, told_first
from suspedu.school.bench_settings import ON_THE_BENCH, bench_machine
from suspedu.show import panels
from suspedu.show.panels.bench_parts.bars import MOST, ROWS, VERDICTS, reading
from suspedu.show.panels.bench_parts.controls import bench_controls, home_of
from suspedu.show.panels.bench_parts.telling import MOST_TOLD, OUTCOME_WORDS
from suspedu.show.still import settings
from suspedu.show.view import Choice, Control
from suspedu.units import InputError

from .sample import item

VIEWING = {"ground", "pace", "look", "cursor", "point", "stroke", "velocity", "machine"}


def at_random(count: int, seed: int = 5):
    """Settings anywhere on the rasters of all controls, a few of them turned at a time."""
    draw = random.Random(seed)
    picked = [draw.sample(panels.bench.controls, draw.choice((1, 3, 8))) for _ in range(count)]
    return [panels.bench.values(**{control.name: value_of(control, draw) for control in turned}) for turned in picked]


def value_of(control, draw):
    if isinstance(control, Choice):
        return draw.choice(list(control.options))
    return control.low + control.step * draw.randint(0, round((control.high - control.low) / control.step))


def benches(values):
    """The machine of some values, and the machine as it came, on the bench by the library alone."""
    sheet = {name: value for name, value in values.items() if name not in VIEWING}
    stands = home_of(sheet | {"machine": values["machine"]})
    moved = {name: value for name, value in sheet.items() if name not in stands or value != stands[name].shown}
    if values.get("damper", "as it came") != "as it came":
        moved = {name: stands[name].exact if name in stands and value == stands[name].shown else value
                 for name, value in sheet.items()}
    ground, pace = values["ground"], values["pace"] / 100
    return (on_bench(bench_machine(values["machine"], **moved), ground, pace),
            on_bench(load(values["machine"]), ground, pace))


def bar_length(view, outcome) -> float:
    return sum(item(view, f"{outcome} {kind}").x[1] for kind in ("better", "worse", "neither"))


@pytest.mark.parametrize("values", at_random(40))
def test_bars_sentence_and_table_say_what_the_library_says(values):
    view, (now, before) = panels.bench.view(**values), benches(values)
    steps = steps_noticed(now, before)
    for outcome in FELT:
        label = item(view, f"value {outcome}").label
        if np.isnan(steps[outcome]):
            assert bar_length(view, outcome) == 0.0 and label == "not asked"
            continue
        assert bar_length(view, outcome) == pytest.approx(np.clip(steps[outcome], -MOST, MOST))
        word = VERDICTS[betterment(outcome, steps[outcome])]
        assert label == f"{reading(outcome, now.felt[outcome])} {word}".strip()
        assert bool(word) == (bar_length(view, outcome) != 0.0 and item(view, f"{outcome} neither").x[1] == 0.0)
    assert_sentence_holds(view.sentence, now, before, steps, "the machine as it came")


def assert_sentence_holds(sentence, now, before, steps, against):
    told, sentence = told_first(steps), sentence.replace("−", "-")
    if now.machine == before.machine:
        assert "Against" not in sentence and f"uses {now.felt['deepest'] * 1e3:.0f} mm" in sentence
        return
    assert sentence.startswith(f"Against {against}: ")
    assert ("Nobody would notice" in sentence) == (not told)
    for outcome in OUTCOME_WORDS:
        claim = re.search(rf"{OUTCOME_WORDS[outcome]} (\S+)[^→;]*→ (\S+)[^,]*, ([\d.]+) steps (more|less)(, \w+)?",
                          sentence)  # fmt: skip
        assert bool(claim) == (outcome in told[:MOST_TOLD]), outcome
        if claim:
            assert float(claim[3]) == pytest.approx(abs(steps[outcome]), abs=0.051)
            assert (claim[4] == "more") == (steps[outcome] > 0)
            assert (claim[5] or "").lstrip(", ") in (VERDICTS[betterment(outcome, steps[outcome])], "and")
    pairs = curve_changes(now, before)
    for way, words in (("in", "going in"), ("out", "coming out")):
        part = re.search(rf"damping {words} (.*?m/s)[;.]", sentence)
        claims = {float(speed): float(share) for share, speed in re.findall(r"([+-]\d+) % at ([\d.]+) m/s",
                                                                            part[1] if part else "")}  # fmt: skip
        for name, speed in READ.items():
            was, has_become = pairs[f"{name} {way}"]
            assert claims.get(speed, 0.0) == pytest.approx(100 * (has_become / was - 1), abs=0.51)
    begins = [round(at * 1e3) for at in pairs.get("stop from", (0.0, 0.0))]
    assert (f"the end stop begins at {begins[0]} mm → {begins[1]} mm" in sentence) == (begins[0] != begins[1])
    lift = re.search(r"springs hold (about )?(\d+) N (more|less)", sentence)
    rest, middle = (pairs[name][1] - pairs[name][0] for name in ("springs", "springs half way"))
    change = (rest + middle) / 2 if lift and lift[1] else rest
    assert (float(lift[2]) * (1 if lift[3] == "more" else -1) if lift else 0.0) == pytest.approx(change, abs=0.51)
    assert not (lift and lift[1]) or rest == pytest.approx(middle, rel=0.053)


@pytest.mark.parametrize("name", [name for name in ON_THE_BENCH if name != "oil_volume"])
def test_each_control_moves_the_picture_and_the_sentence_speaks_of_it(name):
    control = next(each for each in panels.bench.controls if each.name == name)
    ends = [end for end in control.corners if end not in (control.start, "closed cartridge")]  # that one it has
    views = [panels.bench.shown(**{name: end}, ground="high flat landing") for end in ends]
    came = panels.bench.shown(ground="high flat landing")
    for view in views:
        assert view.sentence.startswith("Against the machine as it came") and view.sentence != came.sentence
        moved = [each.name for each, other in zip(view.items, came.items, strict=True)
                 if not np.array_equal(each.x, other.x, equal_nan=True)
                 or not np.array_equal(each.y, other.y, equal_nan=True)]  # fmt: skip
        assert moved


def test_a_pinned_end_stop_that_begins_later_is_told_as_its_dotted_line_shows_it():
    live = panels.bench("stop_zone", ground="log")
    live.pin()
    live.move(stop_zone=30)
    assert "Against the pin: the end stop begins at 250 mm → 270 mm." in live.sentence
    assert min(item(panels.bench.shown(**live.values), "end stop").x) == pytest.approx(270.0)


def test_what_the_tape_reads_and_where_it_hangs_are_where_it_rests():
    view = panels.bench.shown()
    rests, sag = item(view, "rest rider on").x, float(dict(view.numbers)["Rider sag, from where it hangs"].split()[0])
    assert sag + 1e3 * float(hanging_stroke(load("enduro"))) == pytest.approx(rests, abs=0.051)
    assert f"rests {rests:.0f} mm deep" in view.sentence and rests - sag > 1.0


def test_ground_below_nought_is_told_with_a_minus_sign():
    ticks = [text for axes in panels.bench.shown(ground="dip").axes for _, text in axes.yticks]
    assert ticks[-2:] == ["−300", "0"]


def test_a_pinned_setting_is_compared_on_the_same_ground_and_changes_places():
    live = panels.bench(rebound=20, ground="log")
    live.pin()
    live.move(rebound=4, ground="whoops")
    now, before = (on_bench(bench_machine(rebound=clicks), "whoops") for clicks in (4, 20))
    assert_sentence_holds(live.sentence, now, before, steps_noticed(now, before), "the pin")
    deepest = {row[0]: row[1:] for row in live.numbers}["Deepest stroke"]
    assert deepest[:2] == [f"{each.felt['deepest'] * 1e3:.0f} mm" for each in (now, before)]
    live.swap()
    assert live.values["rebound"] == 20 and live.values["ground"] == "whoops"
    assert_sentence_holds(live.sentence, before, now, steps_noticed(before, now), "the pin")
    assert live._now.axes[2].title == "Against: the pin"
    live.unpin()
    assert live._now.axes[2].title == "Against: as it came"


def test_the_adjusters_asked_for_stand_in_front_and_no_other_is_lost():
    for front in (("rebound",), ("low_shims", "mid_float"), ("oil_volume",), ("damper", "charge")):
        controls = bench_controls(front)
        assert tuple(each.name for each in controls if not each.group) == ("ground", "pace", *front, "cursor")
        names = [each.name for each in controls]
        assert len(names) == len(set(names))
        volume = {"oil_height"} if "oil_volume" in front else {"oil_volume"}
        assert {*names, *volume} == {*ON_THE_BENCH, *VIEWING}
    with pytest.raises(InputError, match="'rebounds' is not on the bench"):
        panels.bench("rebounds")
    with pytest.raises(InputError, match="machine 'sled' is not known"):
        panels.bench(machine="sled")


def test_another_machine_brings_its_own_settings():
    live = panels.bench()
    live.move(machine="trail")
    assert live.values["oil_height"] == 125.0 and live.values["rebound"] == 14 and live.home["rebound"] == 14
    assert live.sentence.startswith("Log at 25 km/h: School trail")  # nothing turned, though its spring is 3.84 N/mm
    started = panels.bench("rebound", machine="trail")
    assert started.values["rebound"] == 14 and "School trail" in started.sentence
    live.move(compression_high=3)
    assert "Not part of this damper, so turning it does nothing: high-speed compression." in live.sentence


def test_a_point_is_explained_where_it_is_asked_for_and_esc_goes_back():
    live = panels.bench()
    usual = [row[0] for row in live.numbers]
    for name, value, first in (("stroke", 200, "Springs hold, 200 mm deep"), ("cursor", 30, "Stroke at"),
                               ("velocity", -1.0, "Damping of both legs, −1 m/s")):  # fmt: skip
        live.move(**{name: value})
        assert live.numbers[0][0].startswith(first)
        live.move(**live.escape)
        assert [row[0] for row in live.numbers] == usual


def test_a_click_into_the_ride_puts_the_cursor_there():
    live = panels.bench()
    drawing = live._drawing(live._frame(live._now))
    left, bottom, right, top = drawing.room(3)
    x, y = (left + 0.5 * (right - left)) / drawing.frame.width, 1 - (bottom + top) / 2 / drawing.frame.full_height
    live._heard(live, {"kind": "pick", "x": x, "y": y}, [])
    half = live._now.axes[3].xlim[1] / 2
    assert live.values["look"] == "cursor" and live.values["point"] == "ride"
    assert float(re.search(r"Stroke at ([\d.]+) m", live.numbers[0][0])[1]) == pytest.approx(half, abs=0.2)


def test_the_cursor_says_where_the_picture_looks():
    """Until the cursor is moved the picture stands at the deepest stroke, and not at nought of the ride."""
    live = panels.bench()
    assert dict(settings(live.controls, live.values))["Cursor"] == "deepest stroke"
    live.move(cursor=30)
    assert dict(settings(live.controls, live.values))["Cursor"] == "30.00 % of the ride"
    live.move(look="hardest")
    assert dict(settings(live.controls, live.values))["Cursor"] == "hardest hit in the hands"


def test_every_row_of_the_bars_has_words():
    assert list(ROWS) == list(FELT) and set(OUTCOME_WORDS) == set(FELT)
    assert all(isinstance(each, Control | Choice) for each in panels.bench.controls)


def test_preload_lifts_the_springs_by_its_force_and_the_rate_turns_them():
    came, lifted, turned = (panels.bench.shown(**each) for each in ({}, {"preload": 14}, {"coil_rate": 5.0}))
    coils = [item(view, "coils") for view in (came, lifted, turned)]
    np.testing.assert_allclose(coils[1].y - coils[0].y, 2 * 4.0 * 10, rtol=1e-9)  # N: two springs of 4 N/mm, 10 mm
    np.testing.assert_allclose(coils[2].y - coils[0].y, 2 * 1.0 * (coils[0].x + 4.0), rtol=1e-9)  # preload counts too
    assert "the springs hold about 83 N more all along" in lifted.sentence  # air, about a higher rest, adds 3
    assert re.search(r"the springs hold \d+ N more where it rested and \d+ N more half way", turned.sentence)


def test_the_dots_of_rest_lie_on_the_springs_and_carry_the_load():
    view = panels.bench.shown()
    curve, mark = item(view, "springs"), item(view, "rest rider on")
    assert mark.y == pytest.approx(float(fork_load(load("enduro"), front_load(load("enduro")))), rel=1e-9)
    assert np.interp(mark.x, curve.x, curve.y) == pytest.approx(mark.y, abs=0.5)  # N; straight between points


def test_a_stiffer_stack_is_felt_at_speed_and_the_clicker_when_slow():
    stack, clicker = (panels.bench.shown(**each).sentence for each in ({"rebound_thick": 0.3}, {"rebound": 6}))
    shares = [{float(speed): float(share) for share, speed in re.findall(r"([+-]\d+) % at ([\d.]+) m/s", told)}
              for told in (stack, clicker)]
    assert abs(shares[0].get(0.05, 0.0)) < 5 < shares[0][2.0]
    assert shares[1][0.05] > 50 > 30 > shares[1][2.0] > 0


@pytest.mark.parametrize("fall", ["log", "high flat landing", "crash"])
def test_the_sentence_says_how_the_deepest_stroke_ends(fall):
    for height in (90, 150):
        view, deepest = panels.bench.shown(ground=fall, oil_height=height, coil_rate=2.6), 0.0
        deepest = max(item(view, "stroke").y)
        assert ("in hand" in view.sentence) == (deepest <= 288.5)  # the bumper is 12 mm long; the curve is thinned


@pytest.fixture
def mine(tmp_path, monkeypatch):
    """Writes one's own machine: the school's enduro, with some text of its file replaced."""
    (tmp_path / "machines").mkdir()
    monkeypatch.chdir(tmp_path)

    def write(old, new):
        text = (MACHINES / "enduro.toml").read_text(encoding="utf-8")
        assert old in text
        own = text.replace(old, new).replace("School enduro", "Mine")
        (tmp_path / "machines" / "mine.toml").write_text(own, encoding="utf-8")
    return write


def test_what_stands_beyond_its_slider_is_said_until_it_is_turned(mine):
    mine('"82 kg"', '"130 kg"')
    live = panels.bench("rider_mass", machine="mine")
    assert live.values["rider_mass"] == 115.0
    assert live.sentence.endswith("and ridden as it came: rider in riding gear 130 kg.")
    live.move(rider_mass=114)
    assert "beyond" not in live.sentence.lower()


def test_a_machine_whose_file_is_broken_is_not_chosen_and_the_page_says_why(mine):
    mine('preload = "4 mm"', 'preload = "5 mm"')
    live = panels.bench()  # the choice is that of the files that are there
    live.move(preload=6)
    mine('preload = "4 mm"', 'preload = 4 mm"')
    live._heard(live, {"kind": "move", "serial": 1, "quick": True, "values": {"machine": "mine"}}, [])
    assert "mine.toml" in live.problem and live.values["machine"] == "enduro"
    live.move(preload=5)
    assert live.problem == ""


def test_ones_own_machine_stands_on_the_bench_exactly_as_its_file_says(mine):
    """A preload between two stops of the slider is not rounded away, and a turn starts from the file's value."""
    mine('preload = "4 mm"', 'preload = "4.3 mm"')
    live = panels.bench("preload", machine="mine")
    assert live.problem == "" and "mine rests" in live.sentence and "Against" not in live.sentence
    assert live.values["preload"] == 4.5
    live.move(preload=8.0)
    assert "the springs hold about 31 N more all along" in live.sentence  # 2 x 4 N/mm x 3.7 mm, and a trace of air
