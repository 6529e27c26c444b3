"""Single sampling plans: take some parts of a lot, count the wrong ones, and accept the lot or not.

A lot that is not accepted is sorted: every part is looked at, and wrong ones are put right. So are those of the sample.
"""

from __future__ import annotations

import numpy as np
import scipy

from suspedu.damper.paths import counted
from suspedu.numerics import remembered
from suspedu.units import InputError, check_fields, part, require

MOST_SAMPLE = 5000  # parts of a plan that is looked for


@part
class SamplingPlan:
    """So many parts of a lot are looked at; the lot is accepted with so many wrong ones among them, and no more.

    >>> SamplingPlan(20, 25)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: acceptance number is 25; allowed: 0 to 19 (were sample and acceptance number exchanged?)
    """

    sample: int
    accept: int

    def __post_init__(self):
        check_fields(self)
        counted("sample size", self.sample, 1, 1_000_000)
        counted("acceptance number", self.accept, 0, self.sample - 1, "were sample and acceptance number exchanged?")


def acceptance_probability(defective, plan: SamplingPlan, lot: int | None = None):
    """How likely a lot is accepted: the operating characteristic of a plan.

    From a running process P = sum over d <= c of C(n, d) p^d (1 - p)^(n - d) = I(1 - p; n - c, c + 1); from one lot
    that holds D wrong parts P = sum over d <= c of C(D, d) C(N - D, n - d)/C(N, n)

    Parameters: defective, share p of wrong parts [-, any shape]; plan with n and c; lot N, None for a process.
    Returns: probability [-].
    Raises: InputError for a share outside 0 to 1, a sample larger than its lot, or a share that is no whole number of
    parts.

    >>> acceptance_probability([0.01, 0.02, 0.05], SamplingPlan(89, 2)).round(4).tolist()
    [0.9397, 0.7366, 0.1721]
    >>> round(float(acceptance_probability(2 / 25, SamplingPlan(5, 0), lot=25)), 4)
    0.6333

    Source: montgomery-sqc, single sampling plans (printed, from memory); hypergeometric-lots, part a (printed)
    """
    share = np.asarray(require("share of wrong parts", defective, 0.0, 1.0, slip="was it given in percent?"))
    if lot is None:
        return scipy.special.betainc(plan.sample - plan.accept, plan.accept + 1, 1.0 - share)[()]
    _fits(plan, lot)
    wrong = np.rint(share * lot)
    if np.any(np.abs(share * lot - wrong) > 1e-6 * lot):
        raise InputError(f"share of wrong parts does not make whole parts in a lot of {lot}; give k/{lot}")
    return sum(_found(d, wrong, plan.sample, lot) for d in range(plan.accept + 1))


def _found(found: int, wrong, sample: int, lot: int):
    """Probability of so many wrong parts in a sample of a lot, by logarithms of binomials."""
    possible = (found <= wrong) & (sample - found <= lot - wrong)
    bad, good = np.where(possible, wrong, found), np.where(possible, lot - wrong, sample)
    log = _log_choose(bad, found) + _log_choose(good, sample - found) - _log_choose(lot, sample)
    return np.where(possible, np.exp(log), 0.0)[()]


def _log_choose(of, some):
    ln = scipy.special.gammaln
    return ln(np.asarray(of) + 1.0) - ln(some + 1.0) - ln(of - some + 1.0)


def outgoing_quality(defective, plan: SamplingPlan, lot: int):
    """Share of wrong parts after inspection: average outgoing quality, of a plan that sorts what it does not accept.

    AOQ = P p (N - n)/N

    Parameters: defective, share p that comes in [-, any shape]; plan; lot N, parts in a lot.
    Returns: share that goes out [-].
    Assumes: lots from a running process; every wrong part that is found is put right.

    >>> round(float(outgoing_quality(0.02, SamplingPlan(150, 10), 25_000)), 5)
    0.01988

    Source: krajewski-om, average outgoing quality (printed)
    """
    _fits(plan, lot)
    return acceptance_probability(defective, plan) * defective * (lot - plan.sample) / lot


def outgoing_limit(plan: SamplingPlan, lot: int) -> tuple[float, float]:
    """The worst that ever goes out on average, AOQL, and the incoming share at which it does.

    Parameters: plan; lot, parts in a lot. Returns: limit [-], share that comes in [-].

    >>> [round(each, 4) for each in outgoing_limit(SamplingPlan(150, 10), 25_000)]
    [0.0435, 0.0537]

    Source: dodge-romig, average outgoing quality limit (printed, from memory)
    """
    last = min(1.0, (plan.accept + 2.0) * 3.0 / plan.sample)
    found = scipy.optimize.minimize_scalar(lambda p: -outgoing_quality(p, plan, lot), bounds=(0.0, last),
                                           method="bounded", options={"xatol": 1e-9})
    return -float(found.fun), float(found.x)


def total_inspection(defective, plan: SamplingPlan, lot: int):
    """Parts of a lot that are looked at, on average: ATI, the sample, and the rest of a lot that is sorted.

    ATI = n + (1 - P)(N - n)

    Parameters: defective, share that comes in [-, any shape]; plan; lot N. Returns: parts [-].

    >>> round(float(total_inspection(0.05, SamplingPlan(150, 10), 25_000)), 1)
    3435.6

    Source: montgomery-sqc, rectifying inspection (printed, from memory)
    """
    _fits(plan, lot)
    return plan.sample + (1.0 - acceptance_probability(defective, plan)) * (lot - plan.sample)


@remembered
def plan_for(good: float, bad: float, producer_risk: float = 0.05, consumer_risk: float = 0.10) -> SamplingPlan:
    """The smallest plan that accepts good lots and refuses bad ones, each but for a risk.

    P(good) >= 1 - producer_risk, P(bad) <= consumer_risk

    Parameters: good, bad shares of wrong parts [-]; producer_risk that a good lot is refused, consumer_risk that a bad
    one is accepted [-].
    Raises: InputError where good is not below bad, or no plan of 5000 parts does it.

    >>> plan_for(0.01, 0.06)
    SamplingPlan(sample=110, accept=3)
    """
    require("share of wrong parts in a good lot", good, 0.0, bad * 0.999, slip="a good lot has fewer than a bad one")
    for accept in range(60):
        sample = _least_sample(bad, accept, consumer_risk)
        plan = SamplingPlan(sample, accept)
        if sample > MOST_SAMPLE:
            break
        if acceptance_probability(good, plan) >= 1.0 - producer_risk:
            return plan
    raise InputError(f"no plan of {MOST_SAMPLE} parts tells {good:.3g} from {bad:.3g}; take them further apart")


def _least_sample(bad: float, accept: int, consumer_risk: float) -> int:
    """Fewest parts of which more than `accept` are wrong, but for the risk, where a share `bad` is."""
    low, high = accept, accept + 1
    while scipy.special.betainc(high - accept, accept + 1, 1.0 - bad) > consumer_risk:
        low, high = high, 2 * high
    while high - low > 1:
        middle = (low + high) // 2
        enough = scipy.special.betainc(middle - accept, accept + 1, 1.0 - bad) <= consumer_risk
        low, high = (low, middle) if enough else (middle, high)
    return high


def _fits(plan: SamplingPlan, lot: int) -> None:
    counted("lot", lot, plan.sample, 10**9, "a sample is no larger than its lot")
