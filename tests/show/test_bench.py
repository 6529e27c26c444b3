"""The bench as a panel: its picture, bars, sentence and table say what the library says, at random settings too."""

import random
import re

import numpy as np
import pytest

from suspedu.machine import load
from suspedu.school.bench import FELT, SLOW, betterment, curve_changes, on_bench, steps_noticed, told_first
from suspedu.school.bench_settings import ON_THE_BENCH, bench_machine
from suspedu.show import panels
from suspedu.show.panels.bench_parts.bars import MOST, ROWS, VERDICTS, reading
from suspedu.show.panels.bench_parts.controls import bench_controls, home_of
from suspedu.show.panels.bench_parts.telling import MOST_TOLD, OUTCOME_WORDS
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
            assert bar_length(view, outcome) == 0.0 and label == "not asked here"
            continue
        assert bar_length(view, outcome) == pytest.approx(np.clip(steps[outcome], -MOST, MOST))
        word = VERDICTS[betterment(outcome, steps[outcome])]
        assert label == f"{reading(outcome, now.felt[outcome])} {word}".strip()
        assert bool(word) == (bar_length(view, outcome) != 0.0 and item(view, f"{outcome} neither").x[1] == 0.0)
    assert_sentence_holds(view.sentence, now, before, steps, "the machine as it came")


def assert_sentence_holds(sentence, now, before, steps, against):
    told = told_first(steps)
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
    claim = re.search(rf"([+-]\d+) % going in at {SLOW:g} m/s", sentence)
    share = 100 * (pairs["slow in"][1] / pairs["slow in"][0] - 1)
    assert (float(claim[1]) if claim else 0.0) == pytest.approx(share, abs=0.51)
    lift = re.search(r"springs hold (\d+) N (more|less)", sentence)
    change = pairs["springs"][1] - pairs["springs"][0]
    assert (float(lift[1]) * (1 if lift[2] == "more" else -1) if lift else 0.0) == pytest.approx(change, abs=0.51)


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
    assert live._now.axes[2].title == "Against the pin"
    live.unpin()
    assert live._now.axes[2].title == "Against the machine as it came"


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
    assert "This damper has no high-speed compression" in live.sentence


def test_a_point_is_explained_where_it_is_asked_for_and_esc_goes_back():
    live = panels.bench()
    usual = [row[0] for row in live.numbers]
    for name, value, first in (("stroke", 200, "Springs hold, 200 mm deep"), ("cursor", 30, "Stroke at"),
                               ("velocity", -1.0, "Damping of both legs, -1 m/s")):  # fmt: skip
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


def test_every_row_of_the_bars_has_words():
    assert list(ROWS) == list(FELT) and set(OUTCOME_WORDS) == set(FELT)
    assert all(isinstance(each, Control | Choice) for each in panels.bench.controls)
