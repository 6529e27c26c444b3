"""What quality costs: prevention, appraisal, internal and external failure, and the conformance that costs least.

Four heads of cost, as trade and BS 6143-2 keep them apart: what is spent so that fewer parts come out wrong, what is
spent on looking, what wrong parts cost that are found in the house, and what those cost that are found outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.units import InputError, require

Money = float | np.ndarray


@dataclass(frozen=True)
class QualityCosts:
    """The four heads of cost of one part [money]; their sum is the cost of quality."""

    prevention: Money  # jigs, training, closer tolerances
    appraisal: Money  # inspection and test
    internal: Money  # failures found in the house: repair, scrap
    external: Money  # failures found outside: complaint, a second journey, a name lost

    @property
    def total(self):
        """All four [money]."""
        return self.prevention + self.appraisal + self.internal + self.external

    @property
    def failure(self):
        """What is lost on parts that are wrong, wherever they are found [money]."""
        return self.internal + self.external


def effort_per_part(each, once, volume):
    """Effort for conformance that falls on one part: what each part costs, and its share of what is paid once.

    A = A_each + A_once/V

    Parameters: each, once [money, any shape]; volume V, parts made [-].
    Returns: effort A [money].

    >>> [float(effort_per_part(0.5, 400.0, volume)) for volume in (20, 2000)]
    [20.5, 0.7]
    """
    require("volume", volume, 1, 1e9, slip="at least one part is made")
    return each + np.divide(once, volume)[()]


def conformance_cost(conforming, effort):
    """What it costs to let a share of the parts come out right: it has no end as the share goes to one.

    C_c = A p/(1 - p)

    Parameters: conforming, share p of good parts [-], 0 to under 1; effort A [money for each part], any shape.
    Returns: cost of each part [money].

    >>> [round(float(conformance_cost(p, 2.0)), 2) for p in (0.5, 0.9, 0.99)]
    [2.0, 18.0, 198.0]

    Source: juran, cost of quality: the shape of its curves (printed: in pyzdek, figure 8.3; the formula is ours)
    """
    good = np.asarray(conforming, dtype=float)
    if np.any(~((good >= 0.0) & (good < 1.0))):
        raise InputError(f"conforming share is {np.max(good):.4g}; allowed: 0 to below 1 (all good would cost without "
                         "end; was it given in percent?)")
    return (effort * good / (1.0 - good))[()]


def failure_cost(conforming, failure):
    """What wrong parts cost, spread over all.

    C_f = F (1 - p)

    Parameters: conforming, share p of good parts [-]; failure F, cost of one wrong part [money], any shape.

    >>> round(failure_cost(0.98, 150.0), 6)
    3.0
    """
    return failure * (1.0 - require("conforming share", conforming, 0.0, 1.0))


def optimum_conformance(effort, failure):
    """Share of good parts at which conformance and failure together cost least.

    C = A p/(1 - p) + F (1 - p); dC/dp = A/(1 - p)^2 - F = 0 where p = 1 - (A/F)^(1/2)

    Parameters: effort A and failure F, cost of one wrong part [money], > 0, any shape.
    Returns: share [-]; 0 where a wrong part costs no more than the first effort.
    Assumes: costs of the shape above. There the *marginal* costs are equal; the two totals are not.

    >>> [round(float(optimum_conformance(effort_per_part(0.5, 400.0, v), 150.0)), 3) for v in (20, 2000)]
    [0.63, 0.932]

    Source: derivation (computed by a closed form: the tests find the same least by search)
    """
    _positive(effort, failure)
    return np.maximum(1.0 - np.sqrt(np.divide(effort, failure)), 0.0)[()]


def least_cost(effort, failure):
    """Cost of each part at the best conformance.

    C = 2 (A F)^(1/2) - A, or F where that best is no conformance at all (A >= F)

    Parameters: effort A and failure F [money], > 0, any shape.
    Returns: cost [money].

    >>> round(float(least_cost(2.0, 50.0)), 6)
    18.0

    Source: derivation (computed by a closed form)
    """
    _positive(effort, failure)
    balanced = 2.0 * np.sqrt(np.multiply(effort, failure)) - effort
    return np.where(np.less(effort, failure), balanced, failure)[()]


def wrong_part_cost(found, repair, complaint):
    """Cost of one wrong part, of which some are found in the house.

    F = d F_int + (1 - d) F_ext

    Parameters: found, share d of wrong parts found [-]; repair F_int, complaint F_ext [money], any shape.

    >>> round(wrong_part_cost(0.9, 30.0, 400.0), 6)
    67.0
    """
    share = require("share found", found, 0.0, 1.0)
    return share * repair + (1.0 - share) * complaint


def quality_costs(conforming, effort, *, looked_at=0.0, inspection=0.0, found=0.0, repair=0.0,
                  complaint=0.0) -> QualityCosts:
    """The four heads of cost at a conformance.

    Parameters: conforming, share of good parts [-]; effort [money]; looked_at, share of the parts that are inspected
    [-]; inspection of one part [money]; found, share of the wrong parts found in the house [-]; repair and complaint,
    cost of one wrong part found inside and outside [money]; any shape.
    Returns: `QualityCosts` of each part [money].

    >>> costs = quality_costs(0.9, 0.5, looked_at=1.0, inspection=4.0, found=0.8, repair=30.0, complaint=400.0)
    >>> [round(float(each), 1) for each in (costs.prevention, costs.appraisal, costs.internal, costs.external)]
    [4.5, 4.0, 2.4, 8.0]

    Source: bs-6143-2, the four heads (printed: its definitions were not seen, its table of contents was)
    """
    wrong = failure_cost(conforming, 1.0)
    parts = (conformance_cost(conforming, effort), require("share looked at", looked_at, 0.0, 1.0) * inspection,
             wrong * found * repair, wrong * (1.0 - found) * complaint)
    return QualityCosts(*(part.copy()[()] for part in np.broadcast_arrays(*parts)))


def _positive(effort, failure) -> None:
    for name, value in (("effort", effort), ("cost of a wrong part", failure)):
        require(name, value, 1e-9, 1e12, slip="money is counted above nothing")
