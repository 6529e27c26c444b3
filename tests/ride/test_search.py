"""The search finds what trying everything finds, keeps its limits, and says when it cannot."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from suspedu.ride.search import Aim, Limit, Range, best_setting, trade_off, undominated
from suspedu.units import InputError

RANGES = [Range("a", 0, 12), Range("b", 0, 12)]


def valley(tried):
    """Two outcomes that pull against each other, and one setting that cannot be ridden."""
    return [None if (s["a"], s["b"]) == (0, 0) else
            {"comfort": (s["a"] - 9) ** 2 + 0.5 * (s["b"] - 4) ** 2, "margin": s["a"] - 0.3 * s["b"],
             "drift": float("nan")} for s in tried]


def everything():
    all_settings = [{"a": a, "b": b} for a, b in itertools.product(range(13), range(13))]
    return [(s, o) for s, o in zip(all_settings, valley(all_settings), strict=True) if o]


def test_best_is_the_best_of_all_within_the_limit():
    answer = best_setting(valley, RANGES, Aim("comfort"), [Limit("margin", high=5.0)], rounds=20)
    best = min(o["comfort"] for _, o in everything() if o["margin"] <= 5.0)
    assert answer.keeps_limits and answer.outcomes["comfort"] == best
    assert answer.outcomes["margin"] <= 5.0 and len(answer.tried) < 169


def test_more_and_target_aims():
    assert best_setting(valley, RANGES, Aim("margin", "more")).setting == {"a": 12.0, "b": 0.0}
    near = best_setting(valley, RANGES, Aim("margin", "target", 3.0), rounds=20).outcomes["margin"]
    assert abs(near - 3.0) == pytest.approx(min(abs(o["margin"] - 3.0) for _, o in everything()), abs=1e-12)


def test_limits_that_nothing_keeps_are_said():
    answer = best_setting(valley, RANGES, Aim("comfort"), [Limit("margin", low=100.0)])
    assert not answer.keeps_limits and answer.outcomes["margin"] == max(o["margin"] for _, o in everything())
    with pytest.raises(InputError, match="no setting tried keeps the limits"):
        trade_off(valley, RANGES, (Aim("comfort"), Aim("margin", "more")), [Limit("margin", low=100.0)])


def test_trade_off_is_the_one_of_trying_everything():
    aims = (Aim("comfort"), Aim("margin", "more"))
    told = []
    front = trade_off(valley, RANGES, aims, budget=120, progress=lambda *at: told.append(at))
    costs = np.array([[aim.cost(o) for aim in aims] for _, o in everything()])
    whole = {tuple(row) for row in costs[undominated(costs)]}
    assert {tuple(aim.cost(o) for aim in aims) for _, o in front} == whole
    assert told[-1][0] <= 120 and np.all(np.diff([done for done, _ in told]) > 0)
    assert np.all(np.diff([o["comfort"] for _, o in front]) >= 0)


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), min_size=1, max_size=30))
@settings(max_examples=50)
def test_undominated_is_its_definition(costs):
    slow = [not any(all(x <= y for x, y in zip(o, c, strict=True)) and o != c for o in costs) for c in costs]
    assert undominated(costs).tolist() == slow


@pytest.mark.parametrize("ask, sentence", [
    (lambda: Range("rebound", 5, 5), "range of rebound is 5 to 5"),
    (lambda: Aim("comfort", "les"), "'les' is no aim .did you mean 'less'"),
    (lambda: best_setting(valley, RANGES, Aim("comfot")), "outcome 'comfot' is not measured .did you mean 'comfort'"),
    (lambda: best_setting(valley, RANGES, Aim("drift")), "'drift' means nothing on this terrain"),
    (lambda: best_setting(lambda s: [None] * len(s), RANGES, Aim("comfort")), "none of the settings tried"),
])
def test_slips_get_a_sentence(ask, sentence):
    with pytest.raises(InputError, match=sentence):
        ask()
