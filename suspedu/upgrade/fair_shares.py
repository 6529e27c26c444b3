"""How a gain is shared out among what made it, where each counts for more or less beside the others."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from suspedu.units import InputError

MOST_PLAYERS = 10  # a thousand teams


@dataclass(frozen=True)
class FairShare:
    """What one of several brings: on average over all orders, alone, as the last one, and the least and most of all."""

    average: float
    alone: float
    last: float
    least: float
    most: float


def fair_shares(names: Sequence[str], worth: Callable[[frozenset[str]], float]) -> dict[str, FairShare]:
    """Shares of several in what they make together, each order in which they could come counted alike.

    phi_i = sum over teams S without i of s! (n - s - 1)!/n! (v(S + i) - v(S)), s members in S

    Parameters: names; worth v of a team, any set of them, asked once of each [any unit].
    Returns: shares by name [same unit]; the averages add up to v(all) - v(none).
    Raises: InputError for none, or so many that not all teams can be asked.

    >>> found = fair_shares(("left", "right 1", "right 2"), lambda team: float("left" in team and len(team) > 1))
    >>> [round(each.average, 3) for each in found.values()]  # of a pair of gloves
    [0.667, 0.167, 0.167]

    Source: shapley-1953, equation 12 (printed, from memory)
    """
    if not 1 <= len(names) <= MOST_PLAYERS:
        raise InputError(f"shares of {len(names)} are asked for; allowed: 1 to {MOST_PLAYERS}")
    values, everyone = {team: worth(team) for team in teams(names)}, frozenset(names)
    return {name: _share(name, names, values, everyone) for name in names}


def teams(names: Sequence[str]) -> Iterator[frozenset[str]]:
    """All sets that can be made of some names, the empty one first.

    >>> [sorted(team) for team in teams(("a", "b"))]
    [[], ['a'], ['b'], ['a', 'b']]
    """
    return (frozenset(team) for size in range(len(names) + 1) for team in combinations(names, size))


def _share(name: str, names: Sequence[str], values: dict[frozenset[str], float], everyone) -> FairShare:
    before = [team for team in values if name not in team]
    brought = np.array([values[team | {name}] - values[team] for team in before])
    count = len(names)
    orders = np.array([math.factorial(len(team)) * math.factorial(count - len(team) - 1) for team in before])
    return FairShare(float(orders @ brought / math.factorial(count)), values[frozenset({name})] - values[frozenset()],
                     values[everyone] - values[everyone - {name}], float(brought.min()), float(brought.max()))
