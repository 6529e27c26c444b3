"""What a panel shows, as pure data: controls and axes in, curves, shapes, marks, numbers and one sentence out.

Nothing here draws. A panel's `view` function takes the values of its controls
in workshop units and returns a `View`; `draw` turns that into a picture.
"""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import asdict, dataclass, replace

import numpy as np

from suspedu.spelling import minus, readable_unit
from suspedu.units import InputError, nearest, require

MOST_CORNERS = 1 << 12  # of a panel with very many controls
ROLES = ("main", "second", "third", "fourth", "ghost", "limit", "ink")


def _with_minus(thing) -> None:
    """Give the texts of a frozen thing their true minus signs, whatever they were put together from."""
    for name in {"label", "text", "sentence"} & vars(thing).keys():
        object.__setattr__(thing, name, minus(getattr(thing, name)))
    if "numbers" in vars(thing):
        object.__setattr__(thing, "numbers", tuple((minus(label), minus(value)) for label, value in thing.numbers))


@dataclass(frozen=True)
class Control:
    """A slider: a quantity in its workshop unit, its honest range, and what more of it does."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    start: float
    direction: str = ""
    group: str = ""  # controls of a group are folded away under its name
    lasts: float = 0.0  # s that a film of its whole range takes: it gets a button to play it
    led: tuple[str, str] | None = None  # a Choice and its option under which the slider counts; else it says the choice

    def __post_init__(self):
        object.__setattr__(self, "unit", readable_unit(self.unit))

    def accepted(self, value) -> float:
        """The value as a number, or a sentence for the person who gave it."""
        try:
            number = float(value)
        except (TypeError, ValueError):
            raise InputError(f"{self.label} is {value!r}: expected a number in {self.unit or 'plain units'}") from None
        slack = 1e-9 * (self.high - self.low)  # a slider's last step may miss the end by rounding
        if self.low - slack <= number <= self.high + slack:
            return min(max(number, self.low), self.high)
        return require(f"{self.label} [{self.unit}]" if self.unit else self.label, number, self.low, self.high)

    def described(self) -> dict:
        """What the page needs to build the control, with the number of decimals that its step deserves."""
        decimals = len(f"{self.step:.6f}".rstrip("0").partition(".")[2])
        return asdict(self) | {"kind": "slider", "decimals": decimals}

    @property
    def corners(self) -> tuple:
        """The ends of the range."""
        return self.low, self.high


@dataclass(frozen=True)
class Choice:
    """One of a few options: each has an id, by which it is asked for, and the words that stand on the page."""

    name: str
    label: str
    options: dict[str, str]  # id: words
    start: str  # an id
    direction: str = ""
    group: str = ""

    def accepted(self, value) -> str:
        """The id of an option, or a sentence for the person who gave another."""
        if value not in self.options:
            known = ", ".join(f"'{option}'" for option in self.options)
            raise InputError(f"{self.label} is {value!r}; allowed: {known}{nearest(str(value), self.options)}")
        return value

    def described(self) -> dict:
        """What the page needs to build the control: its options as pairs of id and words."""
        return asdict(self) | {"kind": "choice", "options": [list(pair) for pair in self.options.items()]}

    @property
    def corners(self) -> tuple:
        """All options, by their ids."""
        return tuple(self.options)


@dataclass(frozen=True)
class Axes:
    """A pair of axes with limits fixed from the honest range of the controls.

    `equal`: one unit is as long along x as along y (cutaways). `bare`: no frame, ticks or grid.
    `share`: relative width beside other axes. `xticks`, `yticks`: pairs (position, text) instead of numbers.
    `place`: left, bottom, right, top as shares of the picture, for axes that do not stand side by side in one row.
    `tick_room`: least width of the numbers at the left [px], so that axes below each other line up.
    """

    xlabel: str
    ylabel: str
    xlim: tuple[float, float]
    ylim: tuple[float, float]
    title: str = ""
    equal: bool = False
    bare: bool = False
    share: float = 1.0
    xscale: str = "linear"
    yscale: str = "linear"
    xticks: tuple = ()
    yticks: tuple = ()
    place: tuple[float, float, float, float] | None = None
    tick_room: float = 0.0


@dataclass(frozen=True, eq=False)
class Curve:
    """A line; its label stands directly at its end. Role gives colour and dashes; `width` is relative.

    `margin`: room for the label is kept to the right of the axes (no for loops, which end anywhere).
    """

    name: str
    x: np.ndarray
    y: np.ndarray
    axes: int = 0
    role: str = "main"
    label: str = ""
    width: float = 1.0
    margin: bool = True

    __post_init__ = _with_minus


@dataclass(frozen=True, eq=False)
class Shape:
    """A filled outline: `tint` of its role's colour in the paper (0..1), or None for the outline alone."""

    name: str
    x: np.ndarray
    y: np.ndarray
    axes: int = 0
    tint: float | None = 0.25
    role: str = "main"
    label: str = ""
    edge: float = 1.0
    folds: bool = True  # whether a long label is broken into lines
    hatch: str = ""  # strokes over the area, as matplotlib calls them: "///"

    __post_init__ = _with_minus


@dataclass(frozen=True, eq=False)
class Mark:
    """A point with a text beside it, put where it covers least."""

    name: str
    x: float
    y: float
    text: str = ""
    axes: int = 0
    role: str = "main"

    __post_init__ = _with_minus


@dataclass(frozen=True, eq=False)
class View:
    """All that a panel shows for one set of values. `axes` only where the limits follow the values.

    `facts`: what a comparison with a pinned view asks for; it is not shown.
    """

    items: tuple
    numbers: tuple
    sentence: str
    axes: tuple[Axes, ...] = ()
    facts: object = None

    __post_init__ = _with_minus

    @property
    def text(self) -> str:
        """The sentence and the key numbers as plain text."""
        return "\n".join([self.sentence, *(f"{label}: {value}" for label, value in self.numbers)])


def band(name, x, low, high, **style) -> Shape:
    """The area between two curves over the same x, without an edge."""
    around = np.concatenate([x, np.asarray(x)[::-1]])
    return Shape(name, around, np.concatenate([low, np.asarray(high)[::-1]]), **({"edge": 0.0} | style))


def box(name, left, bottom, width, height, **style) -> Shape:
    """A rectangle, as for a tube in a cutaway."""
    x, y = np.array([0, 1, 1, 0]), np.array([0, 0, 1, 1])
    return Shape(name, left + width * x, bottom + height * y, **style)


def bar(name, position, height, width=0.6, **style) -> Shape:
    """A standing bar from zero, centred on its position."""
    return box(name, position - width / 2, 0.0, width, height, **({"tint": 0.7} | style))


def roofed(axes: Axes, highest: float, *roofs: float) -> Axes:
    """The axes up to the first of some roofs, from the lowest on, that leaves room over the highest; else to the last.

    >>> roofed(Axes("", "", (0, 1), (0, 400)), 76.0, 100, 400).ylim
    (0, 100)
    """
    return replace(axes, ylim=(axes.ylim[0], next((roof for roof in roofs if highest < 0.95 * roof), roofs[-1])))


def start_values(controls, start=None) -> dict:
    """The values of all controls at the start, some of them given by name."""
    given, known = dict(start or {}), {control.name: control for control in controls}
    for name in given:
        if name not in known:
            raise InputError(f"there is no control '{name}'; there are: {', '.join(known)}{nearest(name, known)}")
    return {name: control.accepted(given.get(name, control.start)) for name, control in known.items()}


def every_corner(controls):
    """The start, then each combination of the ends of sliders and the options of choices, at most MOST_CORNERS of them.

    >>> slider, choice = Control("a", "a", "mm", 0, 1, 0.1, 0.5), Choice("b", "b", {"x": "one", "y": "two"}, "x")
    >>> len(list(every_corner((slider, choice))))
    5
    """
    yield start_values(controls)
    names, ends = [control.name for control in controls], [control.corners for control in controls]
    whole = math.prod(map(len, ends)) <= MOST_CORNERS
    for values in itertools.product(*ends) if whole else _drawn(ends):
        yield dict(zip(names, values, strict=True))


def _drawn(ends):
    """Corners of a panel that has too many: drawn with even chances, the same ones each time."""
    draw = random.Random(1)
    return (tuple(map(draw.choice, ends)) for _ in range(MOST_CORNERS))
