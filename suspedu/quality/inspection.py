"""Look at all parts, at none, or at a sample: what each way costs, and where they break even."""

from __future__ import annotations

import numpy as np

from suspedu.quality.sampling import SamplingPlan, outgoing_quality, total_inspection
from suspedu.units import InputError, check_fields, part, quantity

WAYS = ("none", "all")


@part(kw_only=True)
class Prices:
    """What looking at a part costs, and a wrong one inside and outside the house [money]."""

    inspection: float = quantity("", 0, 1e6, "price of looking at one part")
    repair: float = quantity("", 0, 1e6, "price of putting a wrong part right in the house")
    complaint: float = quantity("", 0, 1e7, "price of a wrong part that a customer finds")

    def __post_init__(self):
        check_fields(self)
        if self.complaint <= self.repair:
            raise InputError(f"a complaint costs {self.complaint:.4g} and a repair in the house {self.repair:.4g}; "
                             "looking can only pay where a complaint costs more (were the two exchanged?)")


def break_even(prices: Prices):
    """Share of wrong parts at which looking at all costs as much as looking at none.

    p = k1/(F_ext - F_int)

    Parameters: prices, with k1 of looking at one part.
    Returns: share [-]; above 1, looking never pays.

    >>> break_even(Prices(inspection=4.0, repair=30.0, complaint=430.0))
    0.01

    Source: barlow-reliability, section 5.3, the all or none rule k1/k2 of Deming (printed)
    """
    return prices.inspection / (prices.complaint - prices.repair)


def way_cost(defective, way: str | SamplingPlan, prices: Prices, lot: int = 0):
    """Cost of each part, as lots come in with a share of wrong ones, under one way of inspection.

    none: p F_ext; all: k1 + p F_int; plan: w k1 + p w F_int + p (1 - w) F_ext, w = ATI/N

    Parameters: defective, share p [-, any shape]; way, "none", "all" or a plan; prices; lot N, for a plan.
    Returns: cost [money].
    Raises: InputError for a way that is none of these.
    Assumes: looking finds every wrong part, and they are put right.

    >>> prices = Prices(inspection=4.0, repair=30.0, complaint=430.0)
    >>> [round(float(way_cost(0.02, way, prices, 500)), 2) for way in ("none", "all", SamplingPlan(50, 1))]
    [8.6, 4.6, 7.25]
    """
    looked_at, out = way_shares(defective, way, lot)
    return looked_at * prices.inspection + (defective - out) * prices.repair + out * prices.complaint


def way_shares(defective, way: str | SamplingPlan, lot: int = 0):
    """Share of the parts that is looked at, and share of wrong ones that goes out, under one way of inspection.

    Parameters: defective, share of wrong parts that comes in [-, any shape]; way; lot, parts in a lot, for a plan.
    Returns: share looked at [-], share out [-].

    >>> [round(float(each), 3) for each in way_shares(0.02, SamplingPlan(50, 1), 500)]
    [0.338, 0.013]
    """
    share = np.asarray(defective, dtype=float)
    if isinstance(way, SamplingPlan):
        return total_inspection(share, way, lot) / lot, outgoing_quality(share, way, lot)
    if way not in WAYS:
        raise InputError(f"'{way}' is no way of inspection; known: none, all, or a SamplingPlan")
    return (np.ones_like(share), np.zeros_like(share)) if way == "all" else (np.zeros_like(share), share)


def mixed_cost(shares, weights, way: str | SamplingPlan, prices: Prices, lot: int = 0) -> float:
    """Cost of each part where lots differ: so many of each share of wrong parts.

    Parameters: shares of wrong parts [n, -]; weights of such lots [n, summing to 1]; way; prices; lot.
    Returns: cost [money].
    Assumes: nobody knows which lot is which before it is looked at.

    >>> prices = Prices(inspection=4.0, repair=30.0, complaint=430.0)
    >>> [round(mixed_cost([0.002, 0.08], [0.85, 0.15], way, prices, 500), 2)
    ...  for way in ("none", "all", SamplingPlan(50, 1))]
    [5.89, 4.41, 2.29]
    """
    given = np.asarray(weights, dtype=float)
    if given.size != np.size(shares) or np.any(given < 0.0) or abs(given.sum() - 1.0) > 1e-9:
        raise InputError(f"weights of lots are {given.tolist()}; one for each share, none below 0, 1 in all")
    return float(np.sum(given * way_cost(np.asarray(shares, dtype=float), way, prices, lot)))
