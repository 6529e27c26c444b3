"""Sampling plans against printed tables: acceptance, average outgoing quality, its limit, average total inspection.

Source: attribute-plans (printed); oc-exercise (printed); hypergeometric-lots (printed)
Source: krajewski-om, Poisson table of its supplement (printed); barlow-reliability, section 5.3 (printed)
Source: montgomery-sqc, chapter on acceptance sampling (printed, from memory)
"""

import pytest
from scipy.stats import poisson

from suspedu.quality import (
    Prices,
    SamplingPlan,
    acceptance_probability,
    break_even,
    outgoing_limit,
    outgoing_quality,
    total_inspection,
)

# oc-exercise, table of the plan n = 50, c = 1: share of wrong parts, probability of acceptance (printed)
FIFTY_ONE = ((0.005, 0.97387), (0.01, 0.91056), (0.02, 0.73577), (0.03, 0.55528), (0.04, 0.40048), (0.05, 0.27943),
             (0.06, 0.19000), (0.08, 0.08271))  # fmt: skip
# attribute-plans, c = 10, lots of 25 000 (the size is not printed; it is the round one that fits all six of ATI):
# n, share in percent, acceptance, AOQ in percent, ATI (printed)
TEN = ((150, 2, 1.000, 1.988, 155.9), (150, 5, 0.868, 4.313, 3435.6), (200, 2, 0.997, 1.979, 262.8),
       (200, 5, 0.583, 2.892, 10539.9), (250, 2, 0.987, 1.955, 566.7), (250, 5, 0.291, 1.440, 17799.6))  # fmt: skip
LIMITS = ((150, 4.355, 5.369), (200, 3.254, 4.027), (250, 2.595, 3.222))  # n, AOQL, at, percent (printed)
EIGHTY_NINE = ((0.01, 0.9397), (0.02, 0.7366), (0.05, 0.1721))  # montgomery-sqc, n 89, c 2 (printed, from memory)
# krajewski-om, Poisson table for c = 1 (printed): n p, probability; with 10 000 parts the binomial is that to 1e-4
POISSON = ((0.05, 0.999), (0.30, 0.963), (0.60, 0.878), (0.65, 0.861))
HALF = 0.5 * (1 + 1e-9)  # of the last printed digit


@pytest.mark.parametrize("share, accepted", FIFTY_ONE)
def test_fifty_and_one(share, accepted):
    assert acceptance_probability(share, SamplingPlan(50, 1)) == pytest.approx(accepted, abs=HALF * 1e-5)


@pytest.mark.parametrize("share, accepted", EIGHTY_NINE)
def test_eighty_nine_and_two(share, accepted):
    assert acceptance_probability(share, SamplingPlan(89, 2)) == pytest.approx(accepted, abs=HALF * 1e-4)


@pytest.mark.parametrize("sample, percent, accepted, outgoing, inspected", TEN)
def test_outgoing_quality_and_total_inspection(sample, percent, accepted, outgoing, inspected):
    plan, share, lot = SamplingPlan(sample, 10), percent / 100, 25_000
    assert acceptance_probability(share, plan) == pytest.approx(accepted, abs=HALF * 1e-3)
    assert 100 * outgoing_quality(share, plan, lot) == pytest.approx(outgoing, abs=HALF * 1e-3)
    assert total_inspection(share, plan, lot) == pytest.approx(inspected, abs=HALF * 0.1)


@pytest.mark.parametrize("sample, limit, worst", LIMITS)
def test_outgoing_limit(sample, limit, worst):
    found, at = outgoing_limit(SamplingPlan(sample, 10), 25_000)
    assert (100 * found, 100 * at) == (pytest.approx(limit, abs=HALF * 1e-3), pytest.approx(worst, abs=HALF * 1e-3))


def test_a_lot_of_twenty_five():
    """hypergeometric-lots, part a (printed): 2 wrong parts of 25, a sample of 5, none allowed: 0.6333."""
    assert acceptance_probability(2 / 25, SamplingPlan(5, 0), lot=25) == pytest.approx(0.6333, abs=HALF * 1e-4)


@pytest.mark.parametrize("expected, accepted", POISSON)
def test_poisson_limit(expected, accepted):
    """Few wrong ones in many: the binomial becomes the printed Poisson (printed)."""
    many = acceptance_probability(expected / 10_000, SamplingPlan(10_000, 1))
    assert many == pytest.approx(accepted, abs=HALF * 1e-3 + 1e-4)
    assert many == pytest.approx(poisson.cdf(1, expected), abs=1e-4)


def test_all_or_none():
    """barlow-reliability, section 5.3 (printed): inspect all where p exceeds k1/k2."""
    assert break_even(Prices(inspection=2.0, repair=0.0, complaint=50.0)) == pytest.approx(2.0 / 50.0)


def test_wrong_on_purpose_is_caught():
    """A row of another plan (printed): n = 50 with c = 2 must not pass for c = 1, nor a lot of 20 000 for 25 000."""
    assert acceptance_probability(0.02, SamplingPlan(50, 2)) != pytest.approx(FIFTY_ONE[2][1], abs=1e-2)
    assert total_inspection(0.05, SamplingPlan(150, 10), 20_000) != pytest.approx(TEN[1][4], rel=0.1)
