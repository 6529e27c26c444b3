"""Searches for settings that no other beats: what they keep to, how they are stopped, and that chance is no better."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from suspedu.units import InputError
from suspedu.upgrade import (
    AGAINST,
    TECHNOLOGIES,
    USES,
    WISHES,
    as_came,
    best_kept,
    cost_of_a_step,
    day_of,
    easiest,
    owners,
    price_table,
    reached_in,
    search_frontier,
    technology,
)
from suspedu.upgrade.choosing import ENOUGH, gained, most_gained, steps_gained
from suspedu.upgrade.frontier import Searched, beats, random_steps
from suspedu.upgrade.kept import kept_rides, kept_settings, settings_text, worth_keeping
from suspedu.upgrade.mix import Lap
from suspedu.upgrade.oil_states import Day, most_throw
from suspedu.upgrade.technologies import built_face_counts

SEED, DRAWN = 31, 25  # of settings at random: none that a search draws

@pytest.fixture(scope="module")
def short():
    """A short search of the closed cartridge: bred settings and fresh ones."""
    told = []
    found = search_frontier(technology("closed"), budget=60, fresh=20, progress=lambda *done: told.append(done))
    return found, told


def test_a_search_tells_how_far_it_is_and_ends_with_fresh_settings(short):
    found, told = short
    assert [done for done, _ in told[:60]] == list(range(1, 61)) and {total for _, total in told} == {60}
    assert len(found.days) >= 60 and not found.stopped and found.fresh >= 20


def test_a_search_is_the_same_each_time_it_is_run():
    few = [search_frontier(technology("turned"), budget=12, fresh=0, seed=seed) for seed in (4, 4, 5)]
    first, again, other = (list(found.days) for found in few)
    assert first == again != other


@pytest.mark.parametrize("against", AGAINST)
def test_no_setting_that_was_ridden_beats_a_frontier(short, against):
    found, _ = short
    front = found.front(against)
    values = [(found.days[steps].of("hands"), WISHES[against].cost(found.days[steps].of(against))) for steps in front]
    assert all(a[0] < b[0] and a[1] > b[1] for a, b in pairwise(values))
    assert not beats(found, [front if name == against else [] for name in AGAINST], found.days)


def test_settings_that_throw_the_bars_do_not_count():
    of, calm = technology("turned"), Lap(20.0, 0.03, 0.9, 0.12, most_throw(), 100.0, 250.0)
    wild = Lap(10.0, 0.09, 0.5, 0.05, most_throw() * 1.001, 50.0, 250.0)
    found = Searched(of, {(0, 0, 0): Day(calm, calm), (1, 0, 0): Day(calm, wild)})
    assert all(found.front(against) == [(0, 0, 0)] for against in AGAINST)
    assert easiest(found, "dive", 0.11) is None and easiest(found, "dive", 0.12) == (0, 0, 0)


@pytest.mark.parametrize("kind", ["asked", "key"])
def test_a_search_that_is_stopped_gives_what_it_has(kind):
    rounds = []

    def stop() -> bool:
        rounds.append(1)
        if kind == "key" and len(rounds) == 2:
            raise KeyboardInterrupt
        return len(rounds) == 2

    found = search_frontier(technology("open"), budget=200, cancel=stop)
    assert found.stopped and len(found.days) == 30 and found.front("dive")


def test_a_small_technology_is_ridden_whole():
    rod = technology("rod")
    narrow = replace(rod, freedoms=tuple(replace(free, values=(free.built,)) if free.name != "oil_height" else free
                                         for free in rod.freedoms))
    found = search_frontier(narrow)
    assert list(found.days) == [(0, 0, 0, place) for place in range(4)] and found.fresh == 0


@pytest.mark.parametrize("name", TECHNOLOGIES)
def test_no_random_setting_beats_a_kept_frontier(name):
    """Some here, 2 000 of each in `tests/benchmarks/upgrade_frontiers.py`."""
    found = kept_rides(name)
    fronts = found.fronts()
    drawn = random_steps(found.of, DRAWN, np.random.default_rng(SEED))
    ridden = Searched(found.of, found.days | {steps: day_of(found.of, found.of.setting(steps)) for steps in drawn})
    assert not beats(ridden, fronts, drawn)
    assert min(map(len, fronts)) >= 1 and len(found.front("spare")) >= 5


def test_a_random_setting_that_beats_a_frontier_is_found():
    """As a check of the check: the frontier of three bad settings is beaten."""
    of = technology("rod")
    bad = [of.setting((0, place, 0, 3)) for place in range(3)]
    drawn = of.steps(of.as_built)
    found = Searched(of, {of.steps(each): day_of(of, each) for each in (*bad, of.as_built)})
    fronts = [[of.steps(each) for each in bad if found.days[of.steps(each)].throw <= most_throw()]] * len(AGAINST)
    assert drawn in beats(found, fronts, [drawn])


def test_kept_settings_are_those_of_the_file_and_within_the_limits():
    for name, of in TECHNOLOGIES.items():
        rows = kept_settings(name)
        assert rows["built"] == [of.as_built] and len(rows["best"]) == 1
        assert set(kept_rides(name).days) == {of.steps(row) for each in rows.values() for row in each}
        for against in AGAINST:
            assert set(kept_rides(name).front(against)) == {of.steps(row) for row in rows[against]}
    text = settings_text([kept_rides(name) for name in TECHNOLOGIES])
    again = {row.partition("]")[0]: row for row in text.split("\n[")[1:]}
    assert list(again) == list(TECHNOLOGIES) and all("dive = [" in row for row in again.values())


def test_what_is_worth_keeping_has_the_ends_of_each_frontier():
    found = kept_rides("rod")
    rows = worth_keeping(found)
    for against in AGAINST:
        front = found.front(against)
        assert {front[0], front[-1]} <= set(rows[against]) <= set(front)


def test_a_gain_is_counted_in_steps_and_travel_left_only_as_far_as_it_is_felt():
    usual = Day(*[Lap(20.0, 0.020, 0.9, 0.12, 1.0, 100.0, 250.0)] * 2)
    now = Day(*[Lap(18.0, 0.100, 0.9, 0.114, 1.0, 100.0, 250.0)] * 2)
    steps = steps_gained(now, usual)
    assert steps == pytest.approx({"hands": 1.0, "spare": (ENOUGH - 0.020) / 0.005, "grip": 0.0, "dive": 1.0})
    assert gained(now, usual, {"hands": 2.0, "spare": 0.0, "grip": 1.0, "dive": 1.0}) == pytest.approx(3.0)


def test_the_most_gained_is_the_best_by_its_own_count():
    found = kept_rides("turned")
    usual = found.days[found.of.steps(found.of.as_built)]
    best = most_gained(found, usual)
    assert gained(found.days[best], usual) == max(
        gained(day, usual) for day in found.days.values() if day.throw <= most_throw())


def test_technologies_are_as_the_stock_was_built():
    for name, of in TECHNOLOGIES.items():
        assert of.setting(of.steps(of.as_built)) == of.as_built, name
    built = technology("open").as_built
    assert built_face_counts("open cartridge").items() <= built.items()
    assert technology("closed").fitted(technology("closed").as_built).legs[0].damper.unit.end_stop is not None


def test_a_setting_that_a_damper_cannot_have_is_refused_in_one_sentence():
    rod = technology("rod")
    with pytest.raises(InputError, match=r"Compression holes of the damping rod is 2\.5; there are: 1\.8 mm, 2\.1 mm"):
        rod.steps(rod.as_built | {"compression_holes": 2.5})
    with pytest.raises(InputError, match="'rods' is no technology"):
        technology("rods")


def test_the_table_of_prices_tells_what_the_laws_give():
    """Each row: steps of the best kept setting against the machine as it came, and what one costs each rider."""
    head, rows = price_table()
    asked = [(owner, offer) for owner in owners().values() for offer in owner.offers]
    assert len(head) == 3 + len(USES) and [row[1] for row in rows] == [offer.words for _, offer in asked]
    for row, (owner, offer) in zip(rows, asked, strict=True):
        day = kept_rides(offer.technology, offer.leg).days[best_kept(offer.technology)]
        steps = gained(day, as_came(owner.technology))
        assert float(row[2]) == pytest.approx(steps, abs=0.05)
        costs = [cost_of_a_step(offer, use, owner.upkeep, steps) for use in USES.values()]
        assert [float(cell.removesuffix(" €")) for cell in row[3:]] == pytest.approx(costs, abs=0.5)


def test_what_is_reached_with_so_much_in_the_hands_is_the_best_of_the_frontier():
    found = kept_rides("closed")
    for against in AGAINST:
        easy = [found.days[steps] for steps in found.front(against) if found.days[steps].of("hands") <= 21.0]
        assert reached_in("closed", against, 21.0) == min((day.of(against) for day in easy), key=WISHES[against].cost)
