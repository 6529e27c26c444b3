"""A design and what it must reach: any clicks, shims or sizes that do are right.

What a learner chooses is a design, in workshop units. A task says within which limits each of its numbers may lie, and
has a law that works out what the design reaches with the numbers given, and what was wanted of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from suspedu.spelling import readable

Values = Mapping[str, object]  # by name: a number, or for a stack a list of pairs (diameter, thickness)


@dataclass(frozen=True)
class Number:
    """One number of a design, in a workshop unit; `whole` for what is counted."""

    name: str
    low: float
    high: float
    unit: str = ""
    whole: bool = False

    def fault(self, found: tuple[tuple[float, ...], ...]) -> str:
        """What is wrong with what was read for it, or nothing.

        Parameters: found, groups of numbers as they were printed [in its unit].

        >>> Number("clicks", 0, 24, whole=True).fault(((12.5,),))
        'clicks is 12.5; only whole numbers can be counted'
        """
        if len(found) != 1 or len(found[0]) != 1:
            return f"{self.name} must be one number"
        value = found[0][0]
        if self.whole and value != int(value):
            return f"{self.name} is {value:g}; only whole numbers can be counted"
        if not self.low <= value <= self.high:
            allowed = readable(f"{self.low:g} to {self.high:g}", self.unit)
            return f"{self.name} is {readable(f'{value:g}', self.unit)}; allowed: {allowed}"
        return ""

    def taken(self, found: tuple[tuple[float, ...], ...]) -> object:
        """The value in what was read.

        Parameters: found [in its unit].

        >>> Number("clicks", 0, 24, whole=True).taken(((12.0,),))
        12
        """
        return int(found[0][0]) if self.whole else found[0][0]


@dataclass(frozen=True)
class Shims:
    """A list of shims in a design, each a diameter and a thickness that the drawer has [mm]."""

    name: str
    low: float
    high: float
    thicknesses: tuple[float, ...]
    most: int

    def fault(self, found: tuple[tuple[float, ...], ...]) -> str:
        """What is wrong with what was read for it, or nothing.

        Parameters: found, groups of numbers as they were printed [mm].

        >>> Shims("stack", 9, 21, (0.1, 0.15), 9).fault(((20.0, 0.13),))
        'stack has a shim of 20 x 0.13; the drawer has 0.1 and 0.15 mm, from 9 to 21 mm wide'
        """
        if not 1 <= len(found) <= self.most:
            return f"{self.name} has {len(found)} shims; allowed: 1 to {self.most}"
        for shim in found:
            if len(shim) != 2 or shim[1] not in self.thicknesses or not self.low <= shim[0] <= self.high:
                drawer = " and ".join(f"{each:g}" for each in self.thicknesses)
                size = " x ".join(f"{each:g}" for each in shim)
                return (f"{self.name} has a shim of {size}; the drawer has {drawer} mm, from {self.low:g} to "
                        f"{self.high:g} mm wide")
        return ""

    def taken(self, found: tuple[tuple[float, ...], ...]) -> object:
        """The shims in what was read, in order.

        Parameters: found [mm].

        >>> Shims("stack", 9, 21, (0.1, 0.15), 9).taken(((20.0, 0.1),))
        ((20.0, 0.1),)
        """
        return found


@dataclass(frozen=True)
class Reached:
    """What a design comes to in one respect, and between which values that was wanted, all in one workshop unit."""

    what: str
    value: float
    low: float = float("-inf")
    high: float = float("inf")
    unit: str = ""
    digits: int = 1

    @property
    def met(self) -> bool:
        """Whether it is as wanted."""
        return bool(self.low <= self.value <= self.high)

    @property
    def words(self) -> str:
        """What it comes to beside what was wanted.

        >>> Reached("the drop", 4.21, 4.4, 4.6, "bar", 2).words
        'the drop comes to 4.21 bar; wanted: 4.40 to 4.60 bar'
        """
        low, high = (f"{end:.{self.digits}f}" for end in (self.low, self.high))
        bounds = (f"at most {high}" if self.low == float("-inf") else f"at least {low}" if self.high == float("inf")
                  else f"{low} to {high}")
        return (f"{self.what} comes to {readable(f'{self.value:.{self.digits}f}', self.unit)}; wanted: "
                f"{readable(bounds, self.unit)}")


@dataclass(frozen=True)
class Must:
    """A condition that a design keeps or does not, as a sentence of its own: there is nothing to come near to."""

    what: str
    met: bool

    @property
    def words(self) -> str:
        """The condition.

        >>> Must("the window must be an odd number of rows", False).words
        'the window must be an odd number of rows'
        """
        return self.what


@dataclass(frozen=True)
class Design:
    """A task: what a design consists of, and the law that works out what it reaches.

    `law(design, given)` takes both by name, in workshop units.
    """

    entries: tuple[Number | Shims, ...]
    law: Callable[[Values, Values], tuple[Reached | Must, ...]]


def near(what: str, value, wanted: float, share: float, unit: str = "", digits: int = 1) -> Reached:
    """What is wanted within a share either way of a value.

    Parameters: what it is, in words; value, reached [in unit]; wanted [in unit]; share [-]; unit; digits shown.

    >>> near("the drop", 4.21, 4.5, 0.03, "bar", 2).met
    False
    >>> near("the drop", 4.21, 4.5, 0.03, "bar", 2).low
    4.365
    """
    return Reached(what, float(value), wanted * (1 - share), wanted * (1 + share), unit, digits)
