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


def share_right(points, of: float) -> float:
    """Difficulty index of a question: mean points as a share of the points there are.

    p = mean(points) / of

    Parameters: points [n]; of, the most there is.
    Returns: 0 (nobody) to 1 (all).
    Source: crocker-algina, ch. 14, item difficulty.

    >>> share_right([2, 2, 0, 0], 2)
    0.5
    """
    return float(np.mean(points) / of)


def rest_correlation(points, totals) -> float:
    """Discrimination of a question: correlation of its points with the points of all other questions.

    r = corr(points, totals - points); for right-or-wrong questions this is the point-biserial correlation

    Parameters: points [n]; totals [n], the question's own points in them.
    Returns: -1 to 1; nan where either is the same for all or fewer than `FEWEST` took part.
    Source: crocker-algina, ch. 14, item discrimination, corrected for the question's own share in the total.

    >>> rest_correlation([1, 0] * 4, [4, 1] * 4)
    1.0
    """
    points, rest = np.asarray(points, float), np.asarray(totals, float) - np.asarray(points, float)
    if len(points) < FEWEST or np.ptp(points) == 0 or np.ptp(rest) == 0:
        return float("nan")
    return float(round(np.corrcoef(points, rest)[0, 1], 12))


def upper_lower(points, totals, of: float) -> float:
    """Discrimination index: share right in the best 27 % of the class less that in the weakest 27 %.

    D = p_upper - p_lower

    Parameters: points [n]; totals [n]; of, the most points there are.
    Returns: -1 to 1; nan where fewer than `FEWEST` took part.
    Assumes: ties at the edge of a group are shared out, so that D does not depend on the order of the class.
    Source: kelley-1939, pp. 17-24 (the 27 % groups).

    >>> round(upper_lower([1] * 5 + [0] * 5, range(10, 0, -1), 1), 6)
    1.0
    """
    points, totals = np.asarray(points, float), np.asarray(totals, float)
    if len(points) < FEWEST:
        return float("nan")
    size = max(1, round(GROUP * len(points)))
    return float((_group_mean(points, -totals, size) - _group_mean(points, totals, size)) / of)


def _group_mean(points: np.ndarray, rank_by: np.ndarray, size: int) -> float:
    """Mean points of the `size` with the lowest `rank_by`; those tied at the edge count in part."""
    edge = np.sort(rank_by)[size - 1]
    inside, tied = rank_by < edge, rank_by == edge
    weight = inside + tied * (size - inside.sum()) / tied.sum()
    return float(np.average(points, weights=weight))


def item(points, totals, of: float) -> Item:
    """All figures of a question.

    Parameters: points [n] of those who took part; totals [n], their points over all questions; of, the most there is.
    """
    if not len(points):
        return Item(0, float("nan"), float("nan"), float("nan"))
    return Item(len(points), share_right(points, of), rest_correlation(points, totals), upper_lower(points, totals, of))
