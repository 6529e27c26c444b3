"""Which adjuster cures a complaint, or two at once: single changes and pairs ridden, and ranked (see `ways`).

A pair earns its place where it brings half a step more than the better of its two turns alone: less is alike, and one
adjuster is simpler. Where nothing of all that is noticed, a pair stands that is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from suspedu.machine import Machine
from suspedu.machine.riding import ride_all
from suspedu.numerics import remembered
from suspedu.school.complaints import BADLY, COMPLAINTS, complaint, loop_outcomes
from suspedu.school.loop import loop_ground
from suspedu.school.noticed import noticed
from suspedu.school.turns import TIERS, Option, Turn, pairs, singles
from suspedu.school.ways import DIGITS, HALF, Way, others, rank_of
from suspedu.units import InputError

GOALS = {"a little": 1.0, "badly": float(BADLY)}  # steps one notices that a cure has to bring
TELLS = 0.5  # steps: two like it are noticed together, so its direction counts (guess of the course)
KEPT = 2  # ways of each tier, with different adjusters
BATCH = 6  # options whose price is ridden at once


@dataclass(frozen=True)
class WaysOut:
    """What was found for a machine and its complaints."""

    asked: tuple[str, ...]
    goal: float
    singles: tuple[tuple[Option, dict[str, float]], ...]  # and what each brings
    best: dict[str, tuple[Way, ...]] = field(default_factory=dict)  # by tier, the best first
    clickers: float = 0.0  # the most that clickers alone bring [steps], whatever it costs
    most: float = 0.0  # the most that anything brings [steps]
    ridden: int = 0

    def side(self, name: str, adjuster: str) -> int:
        """Which way an adjuster has to go for a complaint: 1 up, -1 down, 0 where it hardly tells either way.

        Where the way that helps is nearly shut, by a collar or a last click, the harm of the other way tells.
        """
        ways = {way: [brings[name] for option, brings in self.singles for turn in option.turns
                      if turn.name == adjuster and (turn.end > turn.start) == (way > 0)] for way in (1, -1)}
        best = {way: round(max(brings, default=0.0), DIGITS) for way, brings in ways.items()}
        harm = {way: round(min(brings, default=0.0), DIGITS) for way, brings in ways.items()}
        way = max(best, key=lambda each: (best[each], -harm[-each]))
        return way if best[way] >= TELLS or (best[way] >= 0.0 and harm[-way] <= -TELLS) else 0

    @property
    def opposite(self) -> tuple[str, ...]:
        """Adjusters that two complaints ask to be turned opposite ways."""
        names = dict.fromkeys(option.turns[0].name for option, _ in self.singles)
        return tuple(each for each in names if {self.side(name, each) for name in self.asked} >= {-1, 1})


def ways_out(machine: Machine, asked: Sequence[str], how_bad: str = "a little", *,
             adjusters: Sequence[str] | None = None, progress: Callable[[int, int], None] | None = None) -> WaysOut:
    """Ride every single change and pair against one or two complaints, and rank them.

    Parameters: machine, one setting; asked, one or two complaints by id; how_bad, of `GOALS`; adjusters by name, all if
    None; progress(done, total), called as it goes.
    Raises: InputError for no complaint, more than two, one that is none, or twice the same.

    >>> from suspedu.school.machines import school_machine
    >>> ways_out(school_machine(), ["hits-edges"], adjusters=["tyre_pressure"]).best["by hand"][0].option.words
    'tyre pressure 0.3 bar less (1 to 0.7 bar)'
    """
    _refuse_odd(asked, how_bad)
    options = (*singles(machine, adjusters), *pairs(machine, adjusters))
    brought = _brought(machine, options, asked, progress)
    known = [(option, told) for option, told in zip(options, brought, strict=True) if told is not None]
    least = {option: min(told.values()) for option, told in known}
    tried, rides = _standing(known), len(options) * len({COMPLAINTS[name].ground for name in asked})
    heard = progress and (lambda: progress(rides, rides))  # while prices are ridden a cancel is still heard
    found = {hand: _best_of([each for each in tried if each[0].hand == hand], machine, GOALS[how_bad], heard)
             for hand in TIERS}
    if not any(way.noticed for ways in found.values() for way in ways):  # what was noticed cannot be ridden elsewhere
        least = {option: size for option, size in least.items() if round(size, DIGITS) < 1.0}
    return WaysOut(tuple(asked), GOALS[how_bad], tuple(each for each in known if len(each[0].turns) == 1), found,
                   max([0.0, *(least[o] for o in least if o.clickers_only)]), max([0.0, *least.values()]),
                   len(options))


def _refuse_odd(asked: Sequence[str], how_bad: str) -> None:
    if not 1 <= len(asked) <= 2 or len(set(asked)) != len(asked):
        raise InputError("give one complaint, or two different ones: more at once is no diagnosis")
    for name in asked:
        complaint(name)
    if how_bad not in GOALS:
        raise InputError(f"how bad it is must be one of: {', '.join(GOALS)}")


def _brought(machine: Machine, options, asked, progress=None) -> list[dict[str, float] | None]:
    """What each option brings to some complaints [steps]; None where it cannot be ridden."""
    grounds = dict.fromkeys(COMPLAINTS[name].ground for name in asked)
    usual, rides = _usual(machine), {}
    for count, ground in enumerate(grounds):
        names = tuple(dict.fromkeys(COMPLAINTS[name].outcome for name in asked if COMPLAINTS[name].ground == ground))
        tell = progress and (lambda done, total, before=count: progress(before * total + done, len(grounds) * total))
        rides[ground] = ride_all([o.machine for o in options], loop_ground(ground), names=names, progress=tell)
    return [None if any(told[k] is None for told in rides.values()) else
            {name: _gain(name, rides[COMPLAINTS[name].ground][k], usual) for name in asked}
            for k in range(len(options))]


def _gain(name: str, told: dict, usual: dict[str, float]) -> float:
    wrong = COMPLAINTS[name]
    return float(wrong.gain(told[wrong.outcome] - usual[name])) / noticed(wrong.outcome, usual[name])


@remembered(size=16)
def _usual(machine: Machine) -> dict[str, float]:
    """What each complaint is measured by, the machine as it stands [SI]."""
    return loop_outcomes(machine)


def _standing(known) -> list:
    """Single changes and pairs that earn their place; where none of these is noticed, other pairs that are."""
    alone = {option.turns[0]: min(brings.values()) for option, brings in known if len(option.turns) == 1}
    earned = [len(option.turns) == 1 or round(added(option, brings, alone), DIGITS) >= HALF for option, brings in known]
    simple = any(_is_noticed(each) for each, stands in zip(known, earned, strict=True) if stands)
    return [each for each, stands in zip(known, earned, strict=True) if stands or (not simple and _is_noticed(each))]


def _is_noticed(each) -> bool:
    return round(min(each[1].values()), DIGITS) >= 1.0


def added(option: Option, brings: dict[str, float], alone: dict[Turn, float]) -> float:
    """What a pair brings beyond the better of its two turns alone [steps]; alone, what single turns bring."""
    return min(brings.values()) - max(alone.get(turn, -np.inf) for turn in option.turns)


def _best_of(known, machine: Machine, goal: float, heard: Callable[[], None] | None) -> tuple[Way, ...]:
    """The best ways of one tier: the price is ridden only while a way could still be among them."""
    queue = sorted(known, key=lambda each: _ceiling(each, goal))
    found: list[Way] = []
    while queue and (len(found) < KEPT or _ceiling(queue[0], goal) < found[-1].rank):
        batch, queue = queue[:BATCH], queue[BATCH:]
        prices = _brought(machine, [option for option, _ in batch], others(batch[0][1]))
        ways = [Way(*each, price, goal) for each, price in zip(batch, prices, strict=True) if price]
        found = _different([*found, *ways])[:KEPT]
        if heard:
            heard()
    return tuple(found)


def _different(ways: Sequence[Way]) -> list[Way]:
    """Of all ways that turn the same adjusters the best, the best of all first."""
    best: dict[tuple, Way] = {}
    for way in sorted(ways, key=lambda way: way.rank):
        best.setdefault(tuple(turn.name for turn in way.option.turns), way)
    return list(best.values())


def _ceiling(each, goal: float) -> tuple:
    """The rank that an option would have if it cost nothing."""
    option, brings = each
    least = round(min(brings.values()), DIGITS)
    return rank_of(option, _is_noticed(each), round(min(least, goal), DIGITS))
