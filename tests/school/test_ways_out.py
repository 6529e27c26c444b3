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
from suspedu.school.turns import TIERS, Turn, movable, pairs, singles
from suspedu.school.ways_out import GOALS, Way, others, ways_out
from suspedu.units import InputError

# What a mechanic would try on the school's enduro, written out: value after [mm, N/mm, clicks out, bar].
TRIED = {"preload": (1.0, 7.0, 10.0, 13.0), "compression_high": (2, 4, 6, 8, 12, 14, 16, 18),
         "rebound": (0, 3, 6, 9, 15, 18, 21, 24), "tyre_pressure": (0.7, 0.8, 0.9, 1.1, 1.2, 1.3),
         "coil_rate": (3.4, 3.6, 3.8, 4.2, 4.4, 4.6), "oil_height": (90, 95, 100, 105, 115, 120, 125, 130)}  # fmt: skip
IN_PAIRS = {"preload": (1.0, 7.0, 10.0), "compression_high": (2, 6, 8, 12, 14, 18), "rebound": (0, 6, 9, 15, 18, 24),
            "tyre_pressure": (0.8, 0.9, 1.1, 1.2), "coil_rate": (3.6, 3.8, 4.2, 4.4),
            "oil_height": (90, 100, 105, 115, 120, 130)}  # fmt: skip
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
    """For every setting: who turns it, its worth and its key for ties, by the words of the module alone."""
    usual, found = brute
    told = []
    for sheet, after in found.items():
        steps = {name: (1 if w.better == "more" else -1) * (after[name] - usual[name]) / noticed(w.outcome, usual[name])
                 for name, w in COMPLAINTS.items()}
        reverse = {(COMPLAINTS[name].ground, COMPLAINTS[name].outcome) for name in asked}
        price = max(0.0, *(-steps[n] for n, w in COMPLAINTS.items() if (w.ground, w.outcome) not in reverse))
        brings = min(steps[name] for name in asked)
        worth = min(brings, goal) - (price if price >= 1.0 else 0.0)
        share = sum(abs(value - ADJUSTERS[name].shown(setting(school_machine(), name))) / spread(name)
                    for name, value in sheet)
        hand = max((ADJUSTERS[name].hand for name, _ in sheet), key=HARDEST.index)
        told.append((hand, (-np.floor(round(worth, 6) * 2), len(sheet), round(share, 6)), sheet, brings, price))
    return told


def spread(name):
    row = ADJUSTERS[name]
    return 20 if name == "compression_high" else float(row.shown(row.high) - row.shown(row.low))


CASES = [(("bottoms",), "badly"), (("hits-edges",), "a little"), (("kicks-roots",), "badly"),
         (("dives", "hits-edges"), "a little"), (("settles-late",), "badly")]  # fmt: skip


@pytest.mark.parametrize(("asked", "how_bad"), CASES, ids=["+".join(a) + " " + b for a, b in CASES])
def test_the_best_of_every_tier_is_that_of_the_brute_force_run(brute, asked, how_bad):
    found, told = ways_out(school_machine(), asked, how_bad, adjusters=SOME), judged(brute, asked, GOALS[how_bad])
    assert found.ridden == len(told)
    for hand in HARDEST:
        mine = sorted(each[1] for each in told if each[0] == hand)[:2]
        assert [way.rank[:3] for way in found.best[hand]] == [pytest.approx(rank, abs=2e-6) for rank in mine]
        for way in found.best[hand]:
            sheet = tuple((t.name, pytest.approx(ADJUSTERS[t.name].shown(t.end))) for t in way.option.turns)
            _, _, _, brings, price = next(each for each in told if sheet == each[2])
            assert way.least == pytest.approx(brings, abs=1e-9) and way.price[1] == pytest.approx(price, abs=1e-9)
    assert found.most == pytest.approx(max(0.0, *(each[3] for each in told)), abs=1e-9)
    assert found.clickers == pytest.approx(max(0.0, *(each[3] for each in told if all(
        n == "compression_high" for n, _ in each[2]))), abs=1e-9)


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
    assert ends == [9.0, 7.0, 5.0, 3.0]  # in clicks out; none past gently closed
    for option in singles(school_machine()):
        turn = option.turns[0]
        assert setting(option.machine, turn.name) == turn.end and 0 < turn.share <= 1
        assert ("more" in turn.words) is (turn.end > turn.start and ADJUSTERS[turn.name].kind == "quantity")
    assert Turn("rebound", 12, 13, 1 / 24).words == "rebound 1 click out (12 to 13 out)"


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


def test_own_reverses_are_no_price():
    for name in COMPLAINTS:
        assert name not in others([name])
    assert "bottoms" not in others(["unused-travel"]) and "packs" in others(["rides-low"])


def test_a_price_counts_from_where_it_is_noticed():
    option = singles(school_machine(), ["preload"])[0]
    for cost, worth in ((-0.999, 2.0), (-1.0, 1.0), (-2.5, -0.5), (0.7, 2.0)):
        assert Way(option, {"packs": 2.0}, {"dives": cost, "kicks": 0.1}, 3.0).worth == pytest.approx(worth)
    assert Way(option, {"packs": 5.0, "dives": 1.5}, {"kicks": 0.0}, 1.0).worth == 1.0


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
