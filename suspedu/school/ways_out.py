"""Which adjuster cures a complaint, or two at once: single changes and pairs ridden, and ranked in what is noticed.

A change is worth what it brings of the steps asked for, less what it costs elsewhere where that is noticed. Half steps
count: among changes worth the same to that, one adjuster goes before two, and the smaller turn before the larger.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from suspedu.machine import Machine
from suspedu.machine.riding import ride_all
from suspedu.numerics import remembered
from suspedu.school.complaints import BADLY, COMPLAINTS, complaint, loop_outcomes
from suspedu.school.loop import loop_ground
from suspedu.school.noticed import noticed
from suspedu.school.turns import TIERS, Option, pairs, singles
from suspedu.units import InputError

GOALS = {"a little": 1.0, "badly": float(BADLY)}  # steps one notices that a cure has to bring
TELLS = 0.5  # steps: two like it are noticed together, so its direction counts (guess of the course)
HALF = 0.5  # step: what differs by less is alike
KEPT = 2  # of each tier
BATCH = 6  # options whose price is ridden at once
DIGITS = 6  # of steps: what differs by rounding is alike, on every processor


@dataclass(frozen=True)
class Way:
    """A change, what it brings against each complaint and what it costs elsewhere, in steps one notices."""

    option: Option
    brings: dict[str, float]  # by complaint, > 0 = better
    elsewhere: dict[str, float]  # by the other complaints, > 0 = better
    goal: float

    @property
    def least(self) -> float:
        """What it brings to the complaint that it helps least [steps]."""
        return min(self.brings.values())

    @property
    def price(self) -> tuple[str, float]:
        """The complaint that gets worst by it, and by how much [steps, >= 0]."""
        worst = min(self.elsewhere, key=lambda name: round(self.elsewhere[name], DIGITS))
        return worst, max(-self.elsewhere[worst], 0.0)

    @property
    def felt_price(self) -> float:
        """The price as far as it is noticed [steps]."""
        return self.price[1] if round(self.price[1], DIGITS) >= 1.0 else 0.0

    @property
    def reaches(self) -> bool:
        """Whether it brings all that was asked for."""
        return round(self.least, DIGITS) >= self.goal

    @property
    def worth(self) -> float:
        """What it is worth [steps]: what it brings of what was asked for, less the price where that is noticed."""
        return round(min(self.least, self.goal) - self.felt_price, DIGITS)

    @property
    def rank(self) -> tuple:
        """Order of ways: the worthiest first, to half a step; then one turn before two, then the least turning."""
        return _halves(self.worth), len(self.option.turns), round(self.option.share, DIGITS), self.option.words


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
        """Which way an adjuster has to go for a complaint: 1 up, -1 down, 0 where it hardly tells either way."""
        moves = [(brings[name], turn) for option, brings in self.singles for turn in option.turns
                 if turn.name == adjuster]
        brings, turn = max(moves, key=lambda pair: round(pair[0], DIGITS), default=(0.0, None))
        return 0 if turn is None or round(brings, DIGITS) < TELLS else 1 if turn.end > turn.start else -1

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
    """
    _refuse_odd(asked, how_bad)
    options = (*singles(machine, adjusters), *pairs(machine, adjusters))
    brought = _brought(machine, options, asked, progress)
    known = [(option, told) for option, told in zip(options, brought, strict=True) if told is not None]
    least = {option: min(told.values()) for option, told in known}
    found = {hand: _best_of([each for each in known if each[0].hand == hand], machine, asked, GOALS[how_bad])
             for hand in TIERS}
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


def others(asked: Sequence[str]) -> tuple[str, ...]:
    """Complaints that a change may cost something in: all but those asked, and their own reverses.

    >>> [name for name in COMPLAINTS if name not in others(["bottoms"])]
    ['bottoms', 'unused-travel']
    """
    own = {(COMPLAINTS[name].ground, COMPLAINTS[name].outcome) for name in asked}
    return tuple(name for name, wrong in COMPLAINTS.items() if (wrong.ground, wrong.outcome) not in own)


def _best_of(known, machine: Machine, asked, goal: float) -> tuple[Way, ...]:
    """The best ways of one tier: the price is ridden only while a way could still be among them."""
    queue = sorted(known, key=lambda each: _ceiling(each, goal))
    found: list[Way] = []
    while queue and (len(found) < KEPT or _ceiling(queue[0], goal) < found[-1].rank):
        batch, queue = queue[:BATCH], queue[BATCH:]
        prices = _brought(machine, [option for option, _ in batch], others(asked))
        ways = [Way(*each, price, goal) for each, price in zip(batch, prices, strict=True) if price]
        found = heapq.nsmallest(KEPT, [*found, *ways], key=lambda way: way.rank)
    return tuple(found)


def _halves(worth: float) -> int:
    """Worth in whole half steps, the most first."""
    return -int(worth // HALF)


def _ceiling(each, goal: float) -> tuple:
    """The rank that an option would have if it cost nothing."""
    option, brings = each
    at_most = round(min(*brings.values(), goal), DIGITS)
    return _halves(at_most), len(option.turns), round(option.share, DIGITS), option.words
