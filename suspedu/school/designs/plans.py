"""A sampling plan that keeps two promises: to whoever makes good lots, and to whoever gets bad ones."""

from __future__ import annotations

import numpy as np
import scipy

from suspedu.numerics import remembered
from suspedu.school.designs.design import Design, Number, Reached, Values

KEPT, LET_THROUGH = 0.95, 0.10  # good lots accepted at least, bad ones at most (common practice, no source)
SPARE = 1.1  # of the smallest sample that does: what "small" lets
ENTRIES = (Number("sample", 1, 600, whole=True), Number("accept", 0, 20, whole=True))


@remembered
def smallest_sample(good: float, bad: float) -> int:
    """Fewest parts with which a plan keeps both promises.

    Parameters: good, bad, shares of wrong parts in lots that are good and bad [-].

    >>> smallest_sample(0.01, 0.06)
    110
    """
    samples = np.arange(1, 601)
    for accept in range(21):
        does = (scipy.stats.binom.cdf(accept, samples, good) >= KEPT) & (
            scipy.stats.binom.cdf(accept, samples, bad) <= LET_THROUGH)
        if does.any():
            return int(samples[np.argmax(does)])
    return int(samples[-1])


def _keeps_promises(design: Values, given: Values) -> tuple[Reached, ...]:
    """Acceptance of good and bad lots, and the sample, of a plan, by the binomial of scipy."""
    good, bad = (float(given[name]) / 100.0 for name in ("good_share", "bad_share"))
    through = [100.0 * float(scipy.stats.binom.cdf(design["accept"], design["sample"], share)) for share in (good, bad)]
    most = int(SPARE * smallest_sample(good, bad))
    return (Reached("the share of good lots accepted", through[0], low=100.0 * KEPT, unit="%"),
            Reached("the share of bad lots accepted", through[1], high=100.0 * LET_THROUGH, unit="%"),
            Reached("the sample", float(design["sample"]), high=float(most), digits=0))


DESIGNS = {"keeps-both-promises": Design(ENTRIES, _keeps_promises)}
