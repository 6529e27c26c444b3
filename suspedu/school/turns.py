"""What a mechanic could turn on a machine: single changes and pairs of them, each as a machine that can be ridden."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from suspedu.machine import Machine, pressure_caution
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.machine.changing import has, range_of, setting, turned
from suspedu.school.sag import COLLAR
from suspedu.spelling import readable
from suspedu.units import InputError, from_si

# One move of each adjuster in its own steps (see `Adjuster.step`), how many moves either way, and which of them in a
# pair (guess of the course). Of a clicker a move is a twelfth of its range.
MOVES = {"preload": (2, 5, (1, 2, 4)), "coil_rate": (2, 3, (1, 2)), "oil_height": (1, 4, (1, 2, 4)),
         "compression_low": (0, 6, (1, 3, 5)), "compression_high": (0, 6, (1, 3, 5)), "rebound": (0, 6, (1, 3, 5)),
         "tyre_pressure": (1, 3, (1, 2, 3))}  # fmt: skip
TWELFTH = 12
MEANS = {"oil_height": ("more oil", "less oil")}  # what less and more of it are, where the words alone mislead
TIERS = {"by hand": "by hand", "with tools": "with a syringe", "workshop": "in the workshop"}


@dataclass(frozen=True)
class Turn:
    """One adjuster moved: from and to [SI, or clicks out], and which share of its range that is."""

    name: str
    start: float
    end: float
    share: float

    @property
    def hand(self) -> str:
        """Who turns it, as in the table of adjusters."""
        return ADJUSTERS[self.name].hand

    @property
    def words(self) -> str:
        """The turn in a mechanic's words.

        >>> Turn("rebound", 12, 9, 0.125).words, Turn("oil_height", 0.11, 0.12, 0.17).words
        ('rebound 3 clicks in (12 to 9 out)', 'oil height 10 mm more (110 to 120 mm: less oil)')
        """
        row, by = ADJUSTERS[self.name], self.end - self.start
        called = row.label.partition(",")[0].lower()
        if row.kind == "clicks":
            count = f"{abs(by):.0f} {'click' if abs(by) == 1 else 'clicks'}"
            return f"{called} {count} {'out' if by > 0 else 'in'} ({self.start:.0f} to {self.end:.0f} out)"
        size = from_si(abs(by), str(row.unit))
        meant = f": {MEANS[self.name][by > 0]}" if self.name in MEANS else ""
        return (f"{called} {readable(f'{size:.3g}', row.unit)} {'more' if by > 0 else 'less'} "
                f"({row.shown(self.start):.3g} to {row.reading(self.end)}{meant})")


@dataclass(frozen=True)
class Option:
    """One or two turns at once, and the machine that they make."""

    turns: tuple[Turn, ...]
    machine: Machine

    @property
    def hand(self) -> str:
        """Who can do all of it: the one who does the harder turn."""
        return max((turn.hand for turn in self.turns), key=list(TIERS).index)

    @property
    def share(self) -> float:
        """How much is turned in all, as shares of ranges [-]."""
        return sum(turn.share for turn in self.turns)

    @property
    def words(self) -> str:
        """All turns in words."""
        return " and ".join(turn.words for turn in self.turns)

    @property
    def clickers_only(self) -> bool:
        """Whether clickers alone do it."""
        return all(ADJUSTERS[turn.name].kind == "clicks" for turn in self.turns)


def movable(machine: Machine) -> tuple[str, ...]:
    """Adjusters of a machine that may be turned here, in the order of the table.

    >>> from suspedu.school.machines import school_machine
    >>> len(movable(school_machine("trail")))  # no high-speed clicker
    6
    """
    return tuple(name for name in MOVES if has(machine, name))


def singles(machine: Machine, adjusters: Sequence[str] | None = None) -> tuple[Option, ...]:
    """Every single change of a machine that its parts and its tubes allow.

    Parameters: machine; adjusters by name, all that may be turned if None.

    >>> from suspedu.school.machines import school_machine
    >>> [one.words for one in singles(school_machine(), ["tyre_pressure"])][0]
    'tyre pressure 0.3 bar less (1 to 0.7 bar)'
    """
    return tuple(option for name in adjusters or movable(machine)
                 for moves in _moves(range(1, MOVES[name][1] + 1))
                 if (option := _option(machine, ((name, moves),))))


def pairs(machine: Machine, adjusters: Sequence[str] | None = None) -> tuple[Option, ...]:
    """Every pair of changes of two adjusters, each by a few moves, a middling number or many.

    Parameters: machine; adjusters by name, all that may be turned if None.
    """
    names = adjusters or movable(machine)
    return tuple(option for a, b in combinations(names, 2)
                 for i in _moves(MOVES[a][2]) for j in _moves(MOVES[b][2])
                 if (option := _option(machine, ((a, i), (b, j)))))


def _moves(counts) -> list[int]:
    """Moves either way."""
    return sorted(sign * count for count in counts for sign in (-1, 1))


def _option(machine: Machine, moved) -> Option | None:
    """The machine with some adjusters moved; None past an end, or where a tube would not hold it."""
    try:
        made, turns = machine, []
        for name, moves in moved:
            made = turned(made, name, moves * _steps(machine, name))
            turns.append(_turn(machine, made, name))
    except InputError:
        return None
    safe = not pressure_caution(made) or bool(pressure_caution(machine))
    return Option(tuple(turns), made) if safe and all(_within(machine, turn) for turn in turns) else None


def _steps(machine: Machine, name: str) -> int:
    """Steps of one move: fixed, or a twelfth of a clicker's own range."""
    low, high = range_of(machine, name)
    return MOVES[name][0] or max(1, round((high - low) / TWELFTH))


def _ends(machine: Machine, name: str) -> tuple[float, float]:
    """Lowest and highest value that a turn may end at [SI, or clicks]: of preload, what the collar reaches."""
    return COLLAR if name == "preload" else range_of(machine, name)


def _turn(machine: Machine, made: Machine, name: str) -> Turn:
    start, end = float(setting(machine, name)), float(setting(made, name))
    low, high = _ends(machine, name)
    return Turn(name, start, end, abs(end - start) / (high - low))


def _within(machine: Machine, turn: Turn) -> bool:
    """Whether a turn ends within what a workshop usually meets; a machine that stands outside may come nearer."""
    low, high = _ends(machine, turn.name)
    slack = 1e-9 * (high - low)
    return min(low, turn.start) - slack <= turn.end <= max(high, turn.start) + slack
