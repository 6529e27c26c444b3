"""Fair shares of what several make together.

Source: shapley-1953, axioms and the value of small games; littlechild-owen-1973, equation 1 (printed, from memory)
"""

import itertools

import pytest

from suspedu.upgrade import fair_shares


def averages(names, worth):
    return {name: share.average for name, share in fair_shares(names, worth).items()}


def runway(costs):
    """Shares of runways of rising lengths: each stretch is shared out among those who need it (printed, from memory).

    phi_i = sum over k <= i of (c_k - c_(k-1))/(n - k + 1)
    """
    steps = [now - before for before, now in itertools.pairwise([0.0, *costs])]
    return [sum(step / (len(costs) - k) for k, step in enumerate(steps[: place + 1])) for place in range(len(costs))]


@pytest.mark.parametrize("costs", [(1.0, 2.0, 3.0, 4.0), (8.0, 11.0, 13.0, 18.0), (0.0, 5.0)], ids=str)
def test_littlechild_owen_runways(costs):
    names = [str(place) for place in range(len(costs))]
    found = averages(names, lambda team: max((costs[int(name)] for name in team), default=0.0))
    assert list(found.values()) == pytest.approx(runway(costs))


def test_a_runway_that_is_wrong_on_purpose_is_caught():
    """The stretches shared out among those who do not need them."""
    costs = (1.0, 2.0, 3.0, 4.0)
    found = averages("0123", lambda team: max((costs[int(name)] for name in team), default=0.0))
    assert list(found.values()) != pytest.approx(runway(costs)[::-1])


VOTES = [(51, (50, 49, 1), (2 / 3, 1 / 6, 1 / 6)), (3, (1, 1, 1, 1, 1), (0.2,) * 5),
         (65, (40, 22, 30, 9), (7 / 12, 1 / 12, 1 / 4, 1 / 12))]


@pytest.mark.parametrize(("quota", "weights", "wanted"), VOTES, ids=str)
def test_shapley_of_voters(quota, weights, wanted):
    """Weighted votes: who turns the vote, over all orders (computed by counting)."""
    names = [str(place) for place in range(len(weights))]
    found = averages(names, lambda team: float(sum(weights[int(name)] for name in team) >= quota))
    turned = dict.fromkeys(names, 0)
    orders = list(itertools.permutations(names))
    for order in orders:
        votes = itertools.accumulate(weights[int(name)] for name in order)
        turned[next(name for name, sum_of in zip(order, votes, strict=True) if sum_of >= quota)] += 1
    assert list(found.values()) == pytest.approx([turned[name] / len(orders) for name in names])
    assert list(found.values()) == pytest.approx(wanted)


def test_shapley_axioms():
    """All is shared out; who brings nothing gets nothing; alike are treated alike; games add up (printed, from memory).
    """
    def one(team):
        return len(team & {"a", "b"}) ** 2.0

    def two(team):
        return 3.0 * ("c" in team) + 2.0 * ({"a", "c"} <= team)

    names = ("a", "b", "c", "d")
    first, second = averages(names, one), averages(names, two)
    both = averages(names, lambda team: one(team) + two(team))
    assert sum(both.values()) == pytest.approx(one(set(names)) + two(set(names)))
    assert first["a"] == pytest.approx(first["b"]) and first["d"] == 0.0 == second["d"]
    assert all(both[name] == pytest.approx(first[name] + second[name]) for name in names)
