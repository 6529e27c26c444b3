"""Costs of quality and sampling plans: closed forms against search, our sums against scipy's distributions."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from scipy.stats import binom, hypergeom

from suspedu.quality import (
    Prices,
    SamplingPlan,
    acceptance_probability,
    break_even,
    conformance_cost,
    effort_per_part,
    failure_cost,
    least_cost,
    mixed_cost,
    optimum_conformance,
    outgoing_limit,
    outgoing_quality,
    plan_for,
    quality_costs,
    way_cost,
    wrong_part_cost,
)
from suspedu.units import InputError

PRICES = Prices(inspection=4.0, repair=30.0, complaint=430.0)
PLANS = [SamplingPlan(*each) for each in ((1, 0), (5, 0), (20, 1), (50, 3), (89, 2), (500, 12))]


@given(effort=st.floats(1e-3, 40.0), times=st.floats(1.01, 1e4))
def test_the_optimum_is_where_a_search_finds_it(effort, times):
    """(computed by scipy: a bounded search of the same sum)"""
    failure = effort * times
    found = minimize_scalar(lambda p: conformance_cost(p, effort) + failure_cost(p, failure), bounds=(0.0, 1 - 1e-6),
                            method="bounded", options={"xatol": 1e-10})
    best = optimum_conformance(effort, failure)
    assert best == pytest.approx(found.x, abs=1e-6)
    assert least_cost(effort, failure) == pytest.approx(found.fun, rel=1e-9)
    assert conformance_cost(best, effort) + failure_cost(best, failure) == pytest.approx(found.fun, rel=1e-9)


def test_marginal_costs_are_equal_there_and_totals_are_not():
    effort, failure, step = 2.0, 50.0, 1e-6
    best = optimum_conformance(effort, failure)
    rise = (conformance_cost(best + step, effort) - conformance_cost(best - step, effort)) / (2 * step)
    assert rise == pytest.approx(failure, rel=1e-6)
    assert conformance_cost(best, effort) != pytest.approx(failure_cost(best, failure), rel=0.05)


def test_where_effort_outweighs_failure_nothing_is_spent():
    assert optimum_conformance(60.0, 50.0) == 0.0 and least_cost(60.0, 50.0) == 50.0


def test_large_volume_asks_for_more_conformance():
    """What is paid once is shared: the share of good parts rises with volume to that of the effort for each part."""
    best = optimum_conformance(effort_per_part(0.5, 400.0, np.geomspace(10, 1e8, 30)), 150.0)
    assert np.all(np.diff(best) > 0) and best[-1] == pytest.approx(1 - np.sqrt(0.5 / 150.0), abs=1e-4)


def test_heads_of_cost_add_up():
    costs = quality_costs(0.9, 0.5, looked_at=1.0, inspection=4.0, found=0.8, repair=30.0, complaint=400.0)
    assert costs.failure == pytest.approx(failure_cost(0.9, wrong_part_cost(0.8, 30.0, 400.0)))
    assert costs.total == pytest.approx(conformance_cost(0.9, 0.5) + 4.0 + costs.failure)


@pytest.mark.parametrize("plan", PLANS, ids=str)
def test_acceptance_equals_scipys_binomial(plan):
    shares = np.concatenate([[0.0], np.geomspace(1e-6, 1.0, 60)])
    assert acceptance_probability(shares, plan) == pytest.approx(binom.cdf(plan.accept, plan.sample, shares), abs=1e-13)


@pytest.mark.parametrize("plan", PLANS, ids=str)
def test_acceptance_equals_scipys_hypergeometric(plan):
    for lot in {plan.sample, plan.sample + 1, 2 * plan.sample + 3, 1000}:
        wrong = np.unique(np.linspace(0, lot, 25).astype(int))
        expected = hypergeom.cdf(plan.accept, lot, wrong, plan.sample)
        assert acceptance_probability(wrong / lot, plan, lot=lot) == pytest.approx(expected, abs=1e-10)


def test_a_large_lot_is_as_good_as_a_process():
    plan = SamplingPlan(50, 2)
    assert acceptance_probability(0.02, plan, lot=10**6) == pytest.approx(acceptance_probability(0.02, plan), abs=1e-5)


def test_outgoing_limit_with_nothing_allowed_has_a_closed_form():
    """c = 0: p (1 - p)^n is largest at 1/(n + 1) (computed by a closed form)."""
    limit, at = outgoing_limit(SamplingPlan(40, 0), 400)
    assert at == pytest.approx(1 / 41, rel=1e-4)
    assert limit == pytest.approx(outgoing_quality(1 / 41, SamplingPlan(40, 0), 400), rel=1e-9)


@pytest.mark.parametrize("plan", PLANS[1:], ids=str)
def test_nothing_goes_out_worse_than_the_limit(plan):
    limit, _ = outgoing_limit(plan, 1000)
    assert np.all(outgoing_quality(np.linspace(0, 1, 2001), plan, 1000) <= limit * (1 + 1e-9))


@pytest.mark.parametrize("good, bad", [(0.005, 0.05), (0.01, 0.06), (0.02, 0.08), (0.001, 0.3)])
def test_a_plan_keeps_both_promises_and_none_smaller_does(good, bad):
    plan = plan_for(good, bad)
    assert acceptance_probability(good, plan) >= 0.95 and acceptance_probability(bad, plan) <= 0.10
    smaller = [SamplingPlan(n, c) for n, c in itertools.product(range(1, plan.sample), range(plan.accept + 2)) if c < n]
    keeps = [each for each in smaller if binom.cdf(each.accept, each.sample, bad) <= 0.10
             and binom.cdf(each.accept, each.sample, good) >= 0.95]
    assert not keeps


def test_at_break_even_all_ways_cost_the_same():
    edge = break_even(PRICES)
    costs = [way_cost(edge, way, PRICES, 500) for way in ("none", "all", SamplingPlan(50, 1))]
    assert costs == pytest.approx([costs[0]] * 3)


@given(share=st.floats(0.0, 0.3), sample=st.integers(2, 200), accept=st.integers(0, 1))
def test_where_all_lots_are_alike_no_plan_beats_all_or_none(share, sample, accept):
    """A plan is a mixture of both: it lies between them (computed by a closed form)."""
    cost = way_cost(share, SamplingPlan(sample, accept), PRICES, 500)
    ends = way_cost(share, "none", PRICES), way_cost(share, "all", PRICES)
    assert min(ends) - 1e-9 <= cost <= max(ends) + 1e-9


def test_where_lots_differ_a_plan_can_beat_both():
    ways = [mixed_cost([0.002, 0.08], [0.85, 0.15], way, PRICES, 500) for way in ("none", "all", SamplingPlan(50, 1))]
    assert ways[2] < min(ways[:2])


@pytest.mark.parametrize("slip, said", [
    (lambda: conformance_cost(1.0, 2.0), "0 to below 1"),
    (lambda: optimum_conformance(0.0, 50.0), "effort"),
    (lambda: effort_per_part(1.0, 2.0, 0), "volume"),
    (lambda: acceptance_probability(1.2, SamplingPlan(5, 0)), "percent"),
    (lambda: acceptance_probability(0.013, SamplingPlan(5, 0), lot=25), "whole parts"),
    (lambda: acceptance_probability(0.5, SamplingPlan(5, 0), lot=4), "no larger than its lot"),
    (lambda: SamplingPlan(5.5, 0), "whole numbers"),
    (lambda: way_cost(0.1, "some", PRICES), "no way of inspection"),
    (lambda: mixed_cost([0.1], [0.9], "all", PRICES), "1 in all"),
    (lambda: Prices(inspection=1.0, repair=50.0, complaint=40.0), "exchanged"),
    (lambda: plan_for(0.05, 0.04), "good"),
    (lambda: plan_for(0.01, 0.0101), "further apart"),
])  # fmt: skip
def test_slips_get_a_sentence(slip, said):
    with pytest.raises(InputError, match=said):
        slip()
