"""Looking for settings: the best for one outcome under limits, and the trade-off between two. Never one magic number.

Blind to what a setting is: `measure` takes a list of settings (dicts) and returns their outcomes (dicts, None where a
setting cannot be ridden). All that was tried is kept, so every answer can be shown among its neighbours.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from suspedu.units import InputError, nearest

Measure = Callable[[list[dict]], list[dict | None]]
Progress = Callable[[int, int], None] | None
LOST = 1e9  # cost of a setting that cannot be ridden


@dataclass(frozen=True)
class Range:
    """What one adjuster may take: evenly stepped values from low to high."""

    name: str
    low: float
    high: float
    step: float = 1.0

    def __post_init__(self):
        if not (self.step > 0 and self.high > self.low):
            raise InputError(f"range of {self.name} is {self.low:.4g} to {self.high:.4g} in steps of {self.step:.4g}; "
                             "it must rise in steps above zero")

    @property
    def last(self) -> int:
        """Number of the last step."""
        return int((self.high - self.low) / self.step + 1e-9)


@dataclass(frozen=True)
class Aim:
    """What is wanted of an outcome: "less", "more", or as near as can be to a target."""

    outcome: str
    better: str = "less"
    target: float = 0.0

    def __post_init__(self):
        if self.better not in ("less", "more", "target"):
            raise InputError(f"'{self.better}' is no aim{nearest(self.better, ('less', 'more', 'target'))}; "
                             "say 'less', 'more' or 'target'")

    def cost(self, outcomes: dict | None) -> float:
        """The outcome as something to be made small [in its own unit]."""
        if outcomes is None:
            return LOST
        value = _value(outcomes, self.outcome)
        return {"less": value, "more": -value, "target": abs(value - self.target)}[self.better]


@dataclass(frozen=True)
class Limit:
    """What an outcome must keep to."""

    outcome: str
    low: float = -np.inf
    high: float = np.inf

    def excess(self, outcomes: dict | None) -> float:
        """How far outside, 0 inside [in its own unit]."""
        value = LOST if outcomes is None else _value(outcomes, self.outcome)
        return max(self.low - value, value - self.high, 0.0)


def _value(outcomes: dict, name: str) -> float:
    if name not in outcomes:
        raise InputError(f"outcome '{name}' is not measured{nearest(name, outcomes)}; there are: {', '.join(outcomes)}")
    if np.isnan(outcomes[name]):
        raise InputError(f"outcome '{name}' means nothing on this terrain, so nothing can be sought in it")
    return outcomes[name]


class Tried:
    """Memory of all settings that were measured, by their steps; measures only what is new."""

    def __init__(self, measure: Measure, ranges: Sequence[Range], progress: Progress = None, budget: int = 0):
        self.measure, self.ranges, self.progress, self.budget = measure, tuple(ranges), progress, budget
        self.found: dict[tuple[int, ...], dict | None] = {}

    def setting(self, steps: Sequence[int]) -> dict:
        """The setting at some steps of the ranges."""
        return {r.name: r.low + r.step * k for r, k in zip(self.ranges, steps, strict=True)}

    def outcomes(self, points: Sequence[Sequence[int]]) -> list[dict | None]:
        """Outcomes at rows of steps."""
        keys = [tuple(round(float(k)) for k in point) for point in points]
        new = [key for key in dict.fromkeys(keys) if key not in self.found]
        if new:
            self.found.update(zip(new, self.measure([self.setting(key) for key in new]), strict=True))
            if self.progress:
                self.progress(len(self.found), max(self.budget, len(self.found)))
        return [self.found[key] for key in keys]


@dataclass(frozen=True)
class Answer:
    """A setting, its outcomes, whether it keeps the limits, and all that was tried on the way."""

    setting: dict[str, float]
    outcomes: dict[str, float]
    keeps_limits: bool
    tried: list[tuple[dict, dict]]


def best_setting(measure: Measure, ranges: Sequence[Range], aim: Aim, limits: Sequence[Limit] = (), *,
                 rounds: int = 12, seed: int = 1, progress: Progress = None) -> Answer:
    """Setting of the best outcome that keeps the limits, by differential evolution over the steps.

    Parameters: measure; ranges; aim; limits; rounds of the search; seed;
    progress(done, about how many), called after each round.
    Returns: Answer; where no setting keeps the limits, the one that misses them least, and it says so.

    >>> def bowl(settings):
    ...     return [{"depth": (s["a"] - 3) ** 2 + (s["b"] - 5) ** 2} for s in settings]
    >>> best_setting(bowl, [Range("a", 0, 9), Range("b", 0, 9)], Aim("depth")).setting
    {'a': 3.0, 'b': 5.0}

    Source: storn-price, differential evolution (printed, from memory); scipy
    """
    from scipy.optimize import NonlinearConstraint, differential_evolution

    people = 8 * len(ranges)
    tried = Tried(measure, ranges, progress, people * (rounds + 1))
    for middle in tried.outcomes([[r.last // 2 for r in ranges]]):  # a slip in a name shows here, not inside
        _ = middle and [aim.cost(middle)] + [limit.excess(middle) for limit in limits]
    bounds = [(0, r.last) for r in ranges]
    keeps = [NonlinearConstraint(lambda x: np.array([[limit.excess(o) for limit in limits]
                                                     for o in tried.outcomes(x.reshape(len(ranges), -1).T)]).T,
                                 0, 0)] if limits else []
    differential_evolution(lambda x: np.array([aim.cost(o) for o in tried.outcomes(x.reshape(len(ranges), -1).T)]),
                           bounds, integrality=[True] * len(ranges), constraints=keeps, maxiter=rounds, popsize=8,
                           rng=seed, polish=False, vectorized=True, updating="deferred", tol=0.0)
    ridden = {key: o for key, o in tried.found.items() if o is not None}
    if not ridden:
        raise InputError("none of the settings tried could be ridden; widen the ranges")
    best = min(ridden, key=lambda key: (sum(limit.excess(ridden[key]) for limit in limits), aim.cost(ridden[key])))
    kept = all(limit.excess(ridden[best]) == 0 for limit in limits)
    return Answer(tried.setting(best), ridden[best], kept, [(tried.setting(k), o) for k, o in ridden.items()])


def undominated(costs) -> np.ndarray:
    """Which rows no other row beats: none is as good in every column and better in one.

    Parameters: costs [n, k], less is better.
    Returns: mask [n].

    >>> undominated([[1, 4], [2, 2], [3, 3], [4, 1]]).tolist()
    [True, True, False, True]
    """
    costs = np.asarray(costs, dtype=float)
    no_worse = (costs[:, None] <= costs[None]).all(axis=2)
    better = (costs[:, None] < costs[None]).any(axis=2)
    return ~(no_worse & better).any(axis=0)


def trade_off(measure: Measure, ranges: Sequence[Range], aims: tuple[Aim, Aim], limits: Sequence[Limit] = (), *,
              budget: int = 200, seed: int = 1, progress: Progress = None) -> list[tuple[dict, dict]]:
    """Settings that no other setting beats in both aims, in order of the first: the trade-off curve.

    Half the budget is spread evenly; the rest is spent on the neighbours of what no one has beaten yet.

    Parameters: measure; ranges; two aims; limits; budget, settings to measure; seed; progress(done, budget).
    Returns: list of (setting, outcomes).
    Raises: InputError where no setting keeps the limits.
    """
    from scipy.stats import qmc  # slow to load

    tried = Tried(measure, ranges, progress, budget)
    with_power = 2 ** int(np.log2(max(2, budget // 2)))  # Sobol points come in powers of two
    last = np.array([r.last for r in ranges])
    points = np.floor(qmc.Sobol(len(ranges), rng=seed).random(with_power) * (last + 1))
    while len(points) and len(tried.found) < budget:
        tried.outcomes(points[:budget - len(tried.found)])
        front = _front(tried.found, aims, limits)
        points = np.array([p for p in _neighbours(front, last) if p not in tried.found])
    ridden = {key: found for key, found in tried.found.items() if found is not None}
    return [(tried.setting(key), ridden[key]) for key in _front(ridden, aims, limits)]


def _front(found, aims, limits) -> list[tuple[int, ...]]:
    kept = [key for key, o in found.items() if o is not None and all(limit.excess(o) == 0 for limit in limits)]
    if not kept:
        raise InputError("no setting tried keeps the limits; loosen a limit or widen the ranges")
    costs = np.array([[aim.cost(found[key]) for aim in aims] for key in kept])
    return sorted((key for key, stays in zip(kept, undominated(costs), strict=True) if stays),
                  key=lambda key: aims[0].cost(found[key]))


def _neighbours(front, last) -> list[tuple[int, ...]]:
    """Steps one away from the front in one or more adjusters, inside the ranges."""
    moves = list(itertools.product((-1, 0, 1), repeat=len(last)))
    around = {tuple(np.add(key, move).tolist()) for key in front for move in moves}
    return sorted(key for key in around if all(0 <= k <= end for k, end in zip(key, last, strict=True)))
