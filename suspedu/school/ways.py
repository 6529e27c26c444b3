"""A way out of a complaint: what a change brings and costs, in steps one notices, and which way goes before which.

A change that is noticed goes before one that is not. It is worth what it brings of the steps asked for, less what it
costs elsewhere where that is noticed: a price, never a veto. What is by nature the reverse of the complaint is told and
not weighed. Half steps count: among changes worth the same to that, one adjuster goes before two, and the smaller turn
before the larger.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from suspedu.school.complaints import COMPLAINTS
from suspedu.school.turns import Option

DEAR = 2.0  # times what it brings, from where a cost is no trade any more (guess of the course)
HALF = 0.5  # step: what differs by less is alike, two like it are noticed together (guess of the course)
DIGITS = 6  # of steps: what differs by rounding is alike, on every processor
# Complaints that are one another's reverse, beside those of the same outcome: how deep it goes, how soon it is back.
REVERSED = (("blows-through", "unused-travel"), ("packs", "settles-late"), ("packs", "kicks"))


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
    def costs(self) -> tuple[tuple[str, float], ...]:
        """The complaints that get worse by it, and by how much [steps, > 0]: the worst first."""
        worse = [(name, -change) for name, change in self.elsewhere.items() if round(change, DIGITS) < 0.0]
        return tuple(sorted(worse, key=lambda cost: -round(cost[1], DIGITS)))

    @property
    def price(self) -> tuple[str, float] | None:
        """The worst of the costs [steps], the complaint's own reverses left out; None where nothing gets worse."""
        own = reverses(self.brings)
        return next((cost for cost in self.costs if cost[0] not in own), None)

    @property
    def felt_costs(self) -> tuple[tuple[str, float], ...]:
        """The costs that are noticed [steps], reverses with them."""
        return tuple((name, size) for name, size in self.costs if round(size, DIGITS) >= 1.0)

    @property
    def felt_price(self) -> float:
        """The price as far as it is noticed [steps]."""
        return self.price[1] if self.price and round(self.price[1], DIGITS) >= 1.0 else 0.0

    @property
    def noticed(self) -> bool:
        """Whether a rider would notice what it brings."""
        return round(self.least, DIGITS) >= 1.0

    @property
    def reaches(self) -> bool:
        """Whether it brings all that was asked for."""
        return round(self.least, DIGITS) >= self.goal

    @property
    def worth(self) -> float:
        """What it is worth [steps]: what it brings of what was asked for, less the price where that is noticed."""
        return round(min(self.least, self.goal) - self.felt_price, DIGITS)

    @property
    def is_trade(self) -> bool:
        """Whether it brings less than a step more than its price, or anything, a reverse too, grows by more."""
        return self.worth < 1.0 or any(round(size - self.least, DIGITS) > 0.0 for _, size in self.felt_costs)

    @property
    def is_dear(self) -> bool:
        """Whether anything, a reverse too, grows by more than twice what it brings."""
        return any(round(size - DEAR * self.least, DIGITS) > 0.0 for _, size in self.felt_costs)

    @property
    def rank(self) -> tuple:
        """Order of ways: noticed ones, the worthiest, to half a step; then one turn before two, then the least."""
        return rank_of(self.option, self.noticed, self.worth)


def others(asked: Iterable[str]) -> tuple[str, ...]:
    """Complaints that a change may cost something in: all but those asked.

    >>> len(COMPLAINTS) - len(others(["bottoms"]))
    1
    """
    return tuple(name for name in COMPLAINTS if name not in asked)


def reverses(asked: Iterable[str]) -> tuple[str, ...]:
    """Complaints that are by nature the reverse of one that is asked: what cures the one brings on the other.

    >>> reverses(["packs"]), reverses(["hits-edges"])
    (('stands-tall', 'kicks', 'settles-late'), ())
    """
    return tuple(name for name in others(asked) if any(is_reverse(name, each) for each in asked))


def is_reverse(one: str, other: str) -> bool:
    """Whether two complaints are by nature each other's reverse.

    >>> is_reverse("packs", "settles-late"), is_reverse("packs", "dives")
    (True, False)
    """
    a, b = COMPLAINTS[one], COMPLAINTS[other]
    return (a.outcome == b.outcome and a.better != b.better) or (one, other) in REVERSED or (other, one) in REVERSED


def rank_of(option: Option, is_noticed: bool, worth: float) -> tuple:
    """The order of a change by its worth [steps], the best first: its words last, so that no two are alike."""
    return not is_noticed, -int(worth // HALF), len(option.turns), round(option.share, DIGITS), option.words
