"""Item analysis: how hard each question was, and how well it told strong answers from weak ones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

GROUP = 0.27  # share of the class in the upper and in the lower group
FEWEST = 8  # returns below which a discrimination says nothing


@dataclass(frozen=True)
class Item:
    """Figures of one question; nan where the class is too small or all did alike."""

    count: int
    share: float
    correlation: float
    difference: float


def share_right(earned, possible: float) -> float:
    """Difficulty index of a question: mean points as a share of the points there are.

    p = mean(earned) / possible

    Parameters: earned, points [n]; possible, the most points there are.
    Returns: 0 (nobody) to 1 (all).
    Source: crocker-algina, ch. 14, item difficulty (printed, from memory)

    >>> share_right([2, 2, 0, 0], 2)
    0.5
    """
    return float(np.mean(earned) / possible)


def rest_correlation(earned, totals) -> float:
    """Discrimination of a question: correlation of its points with the points of all other questions.

    r = corr(earned, totals - earned); for right-or-wrong questions this is the point-biserial correlation

    Parameters: earned, points [n]; totals [n], the question's own points in them.
    Returns: -1 to 1; nan where either is the same for all or fewer than `FEWEST` took part.
    Source: crocker-algina, ch. 14, discrimination corrected for the question's own share (printed, from memory)

    >>> rest_correlation([1, 0] * 4, [4, 1] * 4)
    1.0
    """
    earned, rest = np.asarray(earned, float), np.asarray(totals, float) - np.asarray(earned, float)
    if len(earned) < FEWEST or np.ptp(earned) == 0 or np.ptp(rest) == 0:
        return float("nan")
    return float(round(np.corrcoef(earned, rest)[0, 1], 12))


def upper_lower(earned, totals, possible: float) -> float:
    """Discrimination index: share right in the best 27 % of the class less that in the weakest 27 %.

    D = p_upper - p_lower

    Parameters: earned, points [n]; totals, points [n]; possible, the most points there are.
    Returns: -1 to 1; nan where fewer than `FEWEST` took part.
    Assumes: ties at the edge of a group are shared out, so that D does not depend on the order of the class.
    Source: kelley-1939, pp. 17-24, the 27 % groups (printed, from memory)

    >>> round(upper_lower([1] * 5 + [0] * 5, range(10, 0, -1), 1), 6)
    1.0
    """
    earned, totals = np.asarray(earned, float), np.asarray(totals, float)
    if len(earned) < FEWEST:
        return float("nan")
    size = max(1, round(GROUP * len(earned)))
    return float((_group_mean(earned, -totals, size) - _group_mean(earned, totals, size)) / possible)


def _group_mean(earned: np.ndarray, rank_by: np.ndarray, size: int) -> float:
    """Mean points of the `size` with the lowest `rank_by`; those tied at the edge count in part."""
    edge = np.sort(rank_by)[size - 1]
    inside, tied = rank_by < edge, rank_by == edge
    weight = inside + tied * (size - inside.sum()) / tied.sum()
    return float(np.average(earned, weights=weight))


def item(earned, totals, possible: float) -> Item:
    """All figures of a question.

    Parameters: earned, points [n] of those who took part; totals [n], their points over all questions;
    possible, the most points there are.
    """
    if not len(earned):
        return Item(0, float("nan"), float("nan"), float("nan"))
    return Item(len(earned), share_right(earned, possible), rest_correlation(earned, totals),
                upper_lower(earned, totals, possible))
