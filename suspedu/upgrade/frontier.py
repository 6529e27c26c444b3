"""Search for the settings of a damper that no other beats: seeded, in batches, with progress, and to be stopped.

Where all settings can be ridden, all are. Else settings are bred: two neighbours on a frontier are crossed, a step or
two is changed, and what comes of it is ridden. At the end fresh settings, drawn at random, are ridden against the
frontier; while one of them beats it, it goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np

from suspedu.machine import Machine
from suspedu.ride.search import undominated
from suspedu.ride.simulate import on_all_cores
from suspedu.upgrade.mix import WISHES
from suspedu.upgrade.oil_states import Day, most_throw, ridden_day, states
from suspedu.upgrade.technologies import Setting, Technology, turned_only

AGAINST = ("spare", "grip", "dive")  # what is set against the hands
BUDGET, BATCH, FRESH = {"rod": 700, "turned": 324, "open": 600, "closed": 600}, 30, 60  # settings
ROUNDS = 4  # of fresh settings at most

Steps = tuple[int, ...]
Progress = Callable[[int, int], None] | None


@dataclass(eq=False)
class Searched:
    """What a search has ridden: days by the steps of the settings, and how it ended."""

    of: Technology
    days: dict[Steps, Day | None] = field(default_factory=dict)
    stopped: bool = False  # by its user, before it was through
    fresh: int = 0  # settings drawn at random at the end
    beaten_by: int = 0  # of the last of them, how many beat the frontier
    known: dict[str, list[Steps]] = field(default_factory=dict)  # where frontiers are kept: their settings, by wish

    def costs(self, state: str = "both") -> tuple[list[Steps], np.ndarray]:
        """Settings that keep the limit of the throw, and their wishes as costs, in the order of `WISHES` [n, 4]."""
        kept = [steps for steps, day in self.days.items() if day is not None and day.throw <= most_throw()]
        rows = [[wish.cost(self.days[steps].of(name, state)) for name, wish in WISHES.items()] for steps in kept]
        return kept, np.array(rows, dtype=float).reshape(len(kept), len(WISHES))

    def front(self, against: str, state: str = "both") -> list[Steps]:
        """Settings that no other beats in hands and in what is set against them, easiest on the hands first.

        Of those ridden, or of those of them that are known to stand on this frontier.

        Parameters: against, a wish; state of the oil, "both", "cold" or "hot".
        """
        kept, costs = self.costs(state)
        if against in self.known:
            own = set(self.known[against])
            chosen = [place for place, steps in enumerate(kept) if steps in own]
            kept, costs = [kept[place] for place in chosen], costs[chosen]
        pair = costs[:, [list(WISHES).index("hands"), list(WISHES).index(against)]]
        stays = np.flatnonzero(undominated(pair))
        return [kept[place] for place in stays[np.argsort(pair[stays, 0], kind="stable")]]

    def fronts(self) -> list[list[Steps]]:
        """The three frontiers."""
        return [self.front(against) for against in AGAINST]


def day_of(of: Technology, setting: Setting, leg: Callable[[Machine], Machine] = lambda machine: machine) -> Day:
    """A day of a technology at a setting.

    Parameters: of, the technology; setting; leg, what else is done to the machine.

    >>> from suspedu.upgrade.technologies import technology
    >>> rod = technology("rod")
    >>> wide = rod.as_built | {"compression_holes": 4.2}
    >>> day_of(rod, wide).hot.hands < day_of(rod, rod.as_built).hot.hands, round(day_of(rod, wide).hot.hands, 1)
    (True, 19.6)
    """
    return ridden_day(leg(of.fitted(setting)), states(of.stock))


def search_frontier(of: Technology, *, budget: int | None = None, fresh: int = FRESH, seed: int = 1,
                    progress: Progress = None, cancel: Callable[[], bool] | None = None) -> Searched:
    """Settings of a technology that no other beats in hands and bottoming, grip or dive.

    Parameters: of, the technology; budget, settings to ride, `BUDGET`'s if None; fresh, how many are drawn at a time at
    the end; seed; progress(done, budget), called after each; cancel, asked before each batch: True ends the search, as
    Ctrl+C and the notebook's stop button do, and what has been found so far is the answer.
    Assumes: the answer is as good as its last fresh settings say (`Searched.beaten_by`), no proof of the best.
    """
    found, dice = Searched(of), np.random.default_rng(seed)
    budget = BUDGET[of.name] if budget is None else budget
    try:
        for batch in _batches(found, dice, budget, fresh):
            if cancel is not None and cancel():
                found.stopped = True
                break
            _ride(found, batch, budget, progress)
    except KeyboardInterrupt:
        found.stopped = True
    return found


def _batches(found: Searched, dice, budget: int, fresh: int):
    """Batches of settings to ride next: all, or a spread start, then bred ones, then fresh ones while they win."""
    if found.of.count <= budget:
        yield from _parts([tuple(int(k) for k in np.unravel_index(place, _sizes(found.of)))
                           for place in range(found.of.count)])
        return
    yield from _parts(_start(found.of, dice, budget))
    while len(found.days) < budget:
        yield _bred(found, dice, min(BATCH, budget - len(found.days)))
    for _ in range(ROUNDS if fresh else 0):
        before, drawn = found.fronts(), random_steps(found.of, fresh, dice)
        yield drawn
        found.fresh, found.beaten_by = found.fresh + fresh, len(beats(found, before, drawn))
        if not found.beaten_by:
            return
        yield _bred(found, dice, BATCH)


def _sizes(of: Technology) -> tuple[int, ...]:
    return tuple(each.last + 1 for each in of.freedoms)


def _parts(points: list[Steps]):
    for first in range(0, len(points), BATCH):
        yield points[first:first + BATCH]


def _start(of: Technology, dice, budget: int) -> list[Steps]:
    """As built, some of what turning alone reaches, and a spread over all."""
    by_hand = turned_only(of)
    some = dice.permutation(len(by_hand))[: budget // 6]
    spread = random_steps(of, budget // 6, dice)
    return list(dict.fromkeys([of.steps(of.as_built), *(by_hand[place] for place in some), *spread]))


def random_steps(of: Technology, count: int, dice: np.random.Generator) -> list[Steps]:
    """Settings drawn evenly from all that a technology may be set to.

    Parameters: of, the technology; count; dice.
    """
    sizes = _sizes(of)
    return [tuple(int(k) for k in row) for row in dice.integers(0, sizes, (count, len(sizes)))]


def _bred(found: Searched, dice, count: int) -> list[Steps]:
    """Settings not ridden yet, from neighbours on the frontiers."""
    fronts, lasts = found.fronts(), np.array(_sizes(found.of)) - 1
    born: dict[Steps, None] = {}
    for attempt in range(60 * count):
        child = _child(fronts[attempt % len(fronts)], lasts, dice)
        if child not in found.days:
            born[child] = None
        if len(born) == count:
            break
    return list(born) or random_steps(found.of, count, dice)


def _child(front: list[Steps], lasts, dice) -> Steps:
    place = int(dice.integers(len(front)))
    near = int(np.clip(place + dice.integers(-2, 3), 0, len(front) - 1))
    child = np.where(dice.random(len(lasts)) < 0.5, front[place], front[near])
    for gene in dice.choice(len(lasts), int(dice.integers(0, 3)), replace=False):
        far = dice.random() < 0.15
        child[gene] = dice.integers(lasts[gene] + 1) if far else child[gene] + dice.choice((-2, -1, 1, 2))
    return tuple(int(k) for k in np.clip(child, 0, lasts))


def _ride(found: Searched, batch: list[Steps], budget: int, progress: Progress) -> None:
    new = [steps for steps in dict.fromkeys(batch) if steps not in found.days]
    done = len(found.days)
    tell = None if progress is None else lambda count, _: progress(min(done + count, budget), budget)
    rows = on_all_cores(lambda steps: day_of(found.of, found.of.setting(steps)), new, tell) if new else []
    found.days.update(zip(new, rows, strict=True))


def beats(found: Searched, fronts: list[list[Steps]], others: Iterable[Steps]) -> set[Steps]:
    """Which others beat a setting of a frontier: as good in both wishes, and better in one.

    Parameters: found, in which all have been ridden; fronts, of `AGAINST`; others.
    """
    kept, costs = found.costs()
    row = dict(zip(kept, costs, strict=True))
    winners = set()
    for against, front in zip(AGAINST, fronts, strict=True):
        pair = [list(WISHES).index("hands"), list(WISHES).index(against)]
        known = np.array([row[steps][pair] for steps in front]).reshape(-1, 2)
        for steps in (each for each in others if each in row):
            better = (row[steps][pair] <= known).all(axis=1) & (row[steps][pair] < known).any(axis=1)
            winners |= {steps} if better.any() else set()
    return winners
