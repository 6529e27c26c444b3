"""How a panel behaves beside following its controls: what a pin follows, what a move or a click brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from suspedu.show.view import Control, View


@dataclass(frozen=True, eq=False)
class Manner:
    """Rules of a panel, by names of its controls.

    `shared`: conditions and no settings: a pinned setting is shown under the present ones. `against`: makes of a view
    and the pinned one the view that compares them. `implied`: values that a move of a control brings along, from all
    values; a control that was given a value itself keeps it. `picks`: the slider that a click into axes, by
    number, sets, and to what, from its x and all values. `escape`: values that the key Esc brings back.
    `least_height`: below it [px] the picture is not shrunk to fit the page.
    """

    shared: tuple[str, ...] = ()
    against: Callable[[View, View], View] | None = None
    implied: dict[str, Callable[[dict], dict]] = field(default_factory=dict)
    picks: dict[int, Callable[[float, dict], tuple[str, float]]] = field(default_factory=dict)
    escape: dict = field(default_factory=dict)
    least_height: int = 0

    def brought(self, before: dict, given: dict) -> dict:
        """The values after some are given, with what they bring along.

        >>> manner = Manner(implied={"cursor": lambda values: {"look": "cursor"}})
        >>> manner.brought({"cursor": 0, "look": "deepest"}, {"cursor": 1})
        {'cursor': 1, 'look': 'cursor'}
        >>> manner.brought({"cursor": 0, "look": "deepest"}, {"cursor": 1, "look": "deepest"})
        {'cursor': 1, 'look': 'deepest'}
        """
        found = before | given
        for name, rule in self.implied.items():
            if name in given and given[name] != before.get(name):
                found |= {other: value for other, value in rule(found).items() if other not in given}
        return found

    def pinned_under(self, pinned: dict, now: dict) -> dict:
        """The values of a pinned setting under the present conditions.

        >>> Manner(shared=("ground",)).pinned_under({"ground": "log", "preload": 4}, {"ground": "dip", "preload": 8})
        {'ground': 'dip', 'preload': 4}
        """
        return pinned | {name: now[name] for name in self.shared}


PLAIN = Manner()  # of a panel that only follows its controls


def nearest_stop(control: Control, x: float) -> float:
    """The value of a slider nearest to x, on its raster.

    >>> nearest_stop(Control("a", "a", "mm", 0, 10, 0.5, 1), 3.4)
    3.5
    """
    steps = round((min(max(x, control.low), control.high) - control.low) / control.step)
    return min(round(control.low + steps * control.step, 9), control.high)
