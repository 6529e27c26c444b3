"""Which adjuster: the ranking against a plain run of every single change and every pair over every ground."""

from itertools import combinations

import numpy as np
import pytest

from suspedu.machine import change, pressure_caution, setting
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.riding import ride
from suspedu.ride.outcomes import outcomes
from suspedu.school import COMPLAINTS, loop_ground, school_machine, set_machine
from suspedu.school.noticed import noticed
from suspedu.school.sag import COLLAR
from suspedu.school.turns import TIERS, Turn, movable, pairs, singles
from suspedu.school.ways import Way, others, reverses
from suspedu.school.ways_out import GOALS, added, ways_out
from suspedu.units import InputError, from_si

# What a mechanic would try on the school's enduro, written out: value after [mm, N/mm, clicks out, bar].
TRIED = {"preload": (2.0, 6.0, 8.0, 10.0, 12.0, 14.0), "compression_high": (0, 2, 4, 6, 8, 12, 14, 16, 18, 20),
         "rebound": (0, 2, 4, 6, 8, 10, 14, 16, 18, 20, 22, 24), "tyre_pressure": (0.7, 0.8, 0.9, 1.1, 1.2, 1.3),
         "coil_rate": (3.4, 3.6, 3.8, 4.2, 4.4, 4.6), "oil_height": (90, 95, 100, 105, 115, 120, 125, 130)}  # fmt: skip
IN_PAIRS = {"preload": (2.0, 6.0, 8.0, 12.0), "compression_high": (0, 4, 8, 12, 16, 20),
            "rebound": (2, 6, 10, 14, 18, 22), "tyre_pressure": (0.7, 0.8, 0.9, 1.1, 1.2, 1.3),
            "coil_rate": (3.6, 3.8, 4.2, 4.4), "oil_height": (90, 100, 105, 115, 120, 130)}  # fmt: skip
# What cures the one brings on the other, written out: height, depth, and how soon the fork is back.
REVERSES = {frozenset(pair) for pair in (
    ("rides-low", "stands-tall"), ("packs", "stands-tall"), ("bottoms", "unused-travel"),
    ("blows-through", "unused-travel"), ("packs", "settles-late"), ("packs", "kicks"))}  # fmt: skip
SOME = ("coil_rate", "compression_high", "tyre_pressure", "oil_height")
HARDEST = ("by hand", "with tools", "workshop")


def brute_settings(names):
    """Every single change and pair, as setting sheets."""
    yield from ({name: value} for name in names for value in TRIED[name])
    yield from ({a: x, b: y} for a, b in combinations(names, 2) for x in IN_PAIRS[a] for y in IN_PAIRS[b])


@pytest.fixture(scope="module")
def brute():
    """All complaints' outcomes of every setting [SI], ridden one by one, and those of the machine as it stands."""
    def lap(machine):
        rides = {ground: ride(machine, loop_ground(ground)) for ground in {w.ground for w in COMPLAINTS.values()}}
        return {name: outcomes(rides[w.ground], [w.outcome])[w.outcome] for name, w in COMPLAINTS.items()}

    found = {}
    for sheet in brute_settings(SOME):
        machine = set_machine("enduro", **sheet)
        if not pressure_caution(machine):
            found[tuple(sheet.items())] = lap(machine)
    return lap(school_machine()), found


def judged(brute, asked, goal):
    """For every setting that stands: who turns it, its order, its sheet, what it brings, its price and all costs."""
    told = {sheet: in_steps(brute[0], after) for sheet, after in brute[1].items()}
    least = {sheet: round(min(steps[name] for name in asked), 6) for sheet, steps in told.items()}
    stands = {sheet for sheet in told if len(sheet) == 1 or least[sheet] - max(least[half,] for half in sheet) >= 0.5}
    if not any(least[sheet] >= 1.0 for sheet in stands):
        stands |= {sheet for sheet in told if least[sheet] >= 1.0}
    return [placed(sheet, told[sheet], asked, goal) for sheet in told if sheet in stands]


def in_steps(usual, after):
    return {name: (1 if w.better == "more" else -1) * (after[name] - usual[name]) / noticed(w.outcome, usual[name])
            for name, w in COMPLAINTS.items()}


def placed(sheet, steps, asked, goal):
    worse = {name: -round(size, 6) for name, size in steps.items() if name not in asked and round(size, 6) < 0.0}
    weighed = [size for name, size in worse.items() if not any(frozenset((name, a)) in REVERSES for a in asked)]
    price, brings = max(weighed, default=0.0), min(steps[name] for name in asked)
    worth = min(brings, goal) - (price if price >= 1.0 else 0.0)
    share = sum(abs(value - ADJUSTERS[name].shown(setting(school_machine(), name))) / spread(name)
                for name, value in sheet)
    hand = max((ADJUSTERS[name].hand for name, _ in sheet), key=HARDEST.index)
    order = (round(brings, 6) < 1.0, -np.floor(round(worth, 6) * 2), len(sheet), round(share, 6))
    return hand, order, sheet, brings, price, worse


def two_best(told, hand):
    """The two best of a hand, with different adjusters."""
    best = {}
    for each in sorted((one for one in told if one[0] == hand), key=lambda one: one[1]):
        best.setdefault(frozenset(name for name, _ in each[2]), each)
    return list(best.values())[:2]


def spread(name):
    row = ADJUSTERS[name]
    return 20 if name == "compression_high" else 13 if name == "preload" else float(
        row.shown(row.high) - row.shown(row.low))


CASES = [(("bottoms",), "badly"), (("hits-edges",), "a little"), (("kicks-roots",), "badly"),
         (("dives", "hits-edges"), "a little"), (("settles-late",), "badly"), (("blows-through",), "a little"),
         (("packs",), "a little"), (("harsh-on-chop", "unused-travel"), "badly")]  # fmt: skip


@pytest.mark.parametrize(("asked", "how_bad"), CASES, ids=["+".join(a) + " " + b for a, b in CASES])
def test_the_best_of_every_tier_is_that_of_the_brute_force_run(brute, asked, how_bad):
    found, told = ways_out(school_machine(), asked, how_bad, adjusters=SOME), judged(brute, asked, GOALS[how_bad])
    assert found.ridden == len(brute[1])
    for hand in HARDEST:
        mine = two_best(told, hand)
        assert [way.rank[:4] for way in found.best[hand]] == [pytest.approx(each[1], abs=2e-6) for each in mine]
        for way in found.best[hand]:
            sheet = tuple((t.name, pytest.approx(ADJUSTERS[t.name].shown(t.end))) for t in way.option.turns)
            _, _, _, brings, price, worse = next(each for each in told if sheet == each[2])
            assert way.least == pytest.approx(brings, abs=1e-9)
            assert (way.price[1] if way.price else 0.0) == pytest.approx(price, abs=1e-6)
            assert dict(way.costs) == pytest.approx(worse, abs=1e-6)
    every = {sheet: min(in_steps(brute[0], after)[name] for name in asked) for sheet, after in brute[1].items()}
    assert found.most == pytest.approx(max(0.0, *every.values()), abs=1e-9)
    assert found.clickers == pytest.approx(max(0.0, *(brings for sheet, brings in every.items() if all(
        n == "compression_high" for n, _ in sheet))), abs=1e-9)
    shown = [way for ways in found.best.values() for way in ways if way.noticed]
    assert bool(shown) is (round(found.most, 6) >= 1.0)  # nothing is said to help only where nothing does


def test_a_wrong_ranking_would_be_caught(brute):
    told = judged(brute, ("bottoms",), GOALS["badly"])
    kinder = judged(brute, ("bottoms",), GOALS["a little"])
    assert min(each[1] for each in told) != min(each[1] for each in kinder)


def test_every_change_that_was_written_out_is_tried_and_no_other():
    machine = school_machine()
    for made, sheets in ((singles(machine, tuple(TRIED)), [s for s in brute_settings(TRIED) if len(s) == 1]),
                         (pairs(machine, tuple(TRIED)), [s for s in brute_settings(TRIED) if len(s) == 2])):
        allowed = [s for s in sheets if not pressure_caution(set_machine("enduro", **s))]
        got = [{t.name: round(float(ADJUSTERS[t.name].shown(t.end)), 9) for t in option.turns} for option in made]
        assert sorted(map(str, got)) == sorted(str({n: float(v) for n, v in s.items()}) for s in allowed)


def test_a_turn_stays_within_its_own_range_and_says_where_it_ends():
    nearly = change(school_machine(), "compression_high", 1)
    ends = [one.turns[0].end for one in singles(nearly, ["compression_high"])]
    assert ends == [13.0, 11.0, 9.0, 7.0, 5.0, 3.0]  # in clicks out; none past gently closed
    for option in singles(school_machine()):
        turn = option.turns[0]
        assert setting(option.machine, turn.name) == turn.end and 0 < turn.share <= 1
        more = turn.end > turn.start and ADJUSTERS[turn.name].kind == "quantity"
        assert ("more" in turn.words.partition(" (")[0]) is more
    assert Turn("rebound", 12, 13, 1 / 24).words == "rebound 1 click out (12 to 13 out)"
    assert "20 mm more (110 to 130 mm: less oil)" in Turn("oil_height", 0.11, 0.13, 0.3).words  # from the top down


def test_a_machine_without_an_adjuster_is_not_told_to_turn_it():
    assert "compression_high" not in movable(school_machine("trail"))
    found = ways_out(school_machine("trail"), ["bottoms"], adjusters=["compression_low", "preload"])
    names = {turn.name for ways in found.best.values() for way in ways for turn in way.option.turns}
    assert names <= {"compression_low", "preload"} and found.best["workshop"] == ()


def test_opposite_wishes_are_named():
    found = ways_out(school_machine(), ["packs", "stands-tall"], adjusters=["preload", "compression_high"])
    assert found.opposite == ("preload",)  # more holds it up in the whoops, less lets it turn
    assert found.side("packs", "preload") == 1 == -found.side("stands-tall", "preload")
    assert ways_out(school_machine(), ["rides-low", "packs"], adjusters=["preload"]).opposite == ()


def test_a_way_that_a_collar_shuts_is_still_the_way_that_is_asked_for():
    """2 mm less, the collar's end, bring a third of a step; but 10 mm more cost nearly two."""
    found = ways_out(school_machine(), ["stands-tall"], adjusters=["preload"])
    assert found.most < 0.5 and found.side("stands-tall", "preload") == -1
    assert found.side("stands-tall", "rebound") == 0


@pytest.mark.parametrize("start", [0.0, 2.0, 4.0, 14.5, 18.0])
def test_preload_ends_where_a_collar_reaches(start):
    """Lesson 01: a collar gives 2 to 15 mm; a machine that stands outside may come nearer and go no further."""
    low, high = from_si(np.array(COLLAR), "mm")
    assert (low, high) == pytest.approx((2.0, 15.0))
    machine = set_machine("enduro", preload=start)
    ends = [from_si(t.end, "mm") for made in (singles(machine), pairs(machine)) for one in made for t in one.turns
            if t.name == "preload"]
    assert ends and min(start, low) - 1e-9 <= min(ends) and max(ends) <= max(start, high) + 1e-9


def test_reverses_are_those_written_out():
    found = {frozenset((name, each)) for name in COMPLAINTS for each in reverses([name])}
    assert found == REVERSES and all(name not in others([name]) for name in COMPLAINTS)
    assert "unused-travel" not in reverses(["bottoms", "unused-travel"])


def test_a_price_counts_from_where_it_is_noticed():
    option = singles(school_machine(), ["preload"])[0]
    for cost, worth in ((-0.999, 2.0), (-1.0, 1.0), (-2.5, -0.5), (0.7, 2.0)):
        assert Way(option, {"packs": 2.0}, {"dives": cost, "bottoms": 0.1}, 3.0).worth == pytest.approx(worth)
    assert Way(option, {"packs": 5.0, "dives": 1.5}, {"kicks": 0.0}, 1.0).worth == 1.0


def test_a_reverse_is_told_as_a_cost_and_not_weighed():
    option = singles(school_machine(), ["rebound"])[0]
    way = Way(option, {"packs": 1.1}, {"settles-late": -1.3, "stands-tall": -0.9, "dives": -0.4, "kicks": 0.2}, 1.0)
    assert way.costs == (("settles-late", 1.3), ("stands-tall", 0.9), ("dives", 0.4))
    assert way.felt_costs == (("settles-late", 1.3),) and way.price == ("dives", 0.4) and way.worth == 1.0


def test_a_price_is_no_veto_and_what_is_not_noticed_comes_last():
    option = singles(school_machine(), ["preload"])[0]
    ways = [Way(option, {"packs": brings}, {"dives": -cost}, 1.0)
            for brings, cost in ((1.0, 0.9), (1.0, 1.2), (2.0, 3.0), (0.99, 0.0))]
    assert sorted(ways, key=lambda way: way.rank) == ways


def test_a_pair_brings_half_a_step_more_than_its_better_turn():
    found = ways_out(school_machine(), ["dives"], adjusters=["preload", "compression_low"])
    alone = {option.turns[0]: brings["dives"] for option, brings in found.singles}
    (one,) = (way for way in found.best["by hand"] if way.noticed)
    assert [turn.name for turn in one.option.turns] == ["compression_low"]  # preload does nothing for it
    (pair,) = (each for each in pairs(school_machine(), ["preload", "compression_low"])
               if each.words.startswith("preload 2 mm less (4 to 2 mm) and low-speed compression 6 clicks in"))
    for brings, more in ((0.9, -0.1), (1.6, 0.6)):
        known = {pair.turns[0]: 0.1, pair.turns[1]: 1.0}
        assert added(pair, {"dives": brings}, known) == pytest.approx(more)
    assert abs(alone[pair.turns[0]]) < 0.2


def test_what_cannot_be_asked_is_refused_in_a_sentence():
    for asked, words in (([], "one complaint"), (["packs"] * 2, "two different"), (["packs", "dives", "kicks"],
                         "more at"), (["pakcs"], "did you mean 'packs'")):
        with pytest.raises(InputError, match=words):
            ways_out(school_machine(), asked)
    with pytest.raises(InputError, match="must be one of: a little, badly"):
        ways_out(school_machine(), ["packs"], "very")


def test_progress_ends_with_all_that_is_ridden():
    seen = []
    ways_out(school_machine(), ["dives", "hits-edges"], adjusters=["preload"], progress=lambda *d: seen.append(d))
    assert seen[-1][0] == seen[-1][1] and np.all(np.diff([done for done, _ in seen]) >= 0)
    assert set(TIERS) == set(HARDEST)
