"""Where the channels of a damper are drawn in its cutaway: each by what it is, not by what its file calls it.

Across the piston the way of oil in compression is on the right, that of rebound on the left.
"""

from __future__ import annotations

from dataclasses import dataclass

from suspedu.damper import Channel, Damper

WALL, ROD, CUP, PIN = 20.0, 4.5, 11.0, 2.5  # half widths as drawn
BASE, THICK, PISTON = 18.0, 14.0, 12.0  # bottom of the base valve, thickness of base valve and piston
TRAVEL, STUB, GUIDE = 56.0, 14.0, 128.0  # of the picture; stub: from the end-stop piston to the main piston
FLOOR = BASE + THICK + 6.5  # upper face of the cup's floor; the base valve's oil goes beneath it
PLACES = {  # valve, kind of channel -> from the middle, the first port, the second port ...
    ("base", "leak"): (-18.3,), ("base", "needle"): (0.0,), ("base", "holes"): (0.0,), ("base", "port"): (-11.0, 9.5),
    ("refill", "holes"): (0.0,), ("refill", "port"): (16.5,),
    ("mid", "holes"): (6.8,), ("mid", "port"): (13.8,), ("mid", "leak"): (19.0,),
    ("rebound", "needle"): (0.0,), ("rebound", "holes"): (0.0,), ("rebound", "port"): (-12.0,),
    ("rebound", "leak"): (-19.0,),
}  # fmt: skip
HINGES = {("base", 0): (-6.5, -15.5), ("base", 1): (5.0, 14.0), ("refill", 0): (13.0, 20.0), ("mid", 0): (9.3, 18.2),
          ("rebound", 0): (-7.0, -16.5)}  # port -> where its shims are held and where their rim is  # fmt: skip
UPWARDS = ("mid", "refill")
BETWEEN = 5.0  # from a port to the next one that has no place of its own


@dataclass(frozen=True)
class Slot:
    """A place in the picture: its valve, what it holds, how far from the middle; the channel in it, if any."""

    valve: str
    kind: str
    number: int
    x: float
    channel: Channel | None

    @property
    def name(self) -> str:
        """What tells it apart: "base needle", "mid port 1"."""
        return f"{self.valve} {self.kind}" + (f" {self.number + 1}" if self.kind == "port" else "")

    @property
    def upwards(self) -> bool:
        """Whether its oil goes up in the picture."""
        return self.valve in UPWARDS

    @property
    def hinge_and_rim(self) -> tuple[float, float]:
        """Where the shims of a port are held, and where their rim is."""
        return HINGES.get((self.valve, self.number), (self.x - 3.0, self.x + 3.0))

    def floor(self, foot: float) -> tuple[float, float]:
        """Lower and upper face of what it is drilled through, the piston's foot at a height."""
        return (foot, foot + PISTON) if self.valve in ("mid", "rebound") else (BASE, BASE + THICK)


def slots(damper: Damper) -> tuple[Slot, ...]:
    """All places of the picture, with the channels that this damper has; more ports than places stand beside them.

    >>> from suspedu.damper import stock_damper
    >>> [slot.name for slot in slots(stock_damper("damping rod")) if slot.channel and slot.valve == "base"]
    ['base leak', 'base holes']
    """
    found = []
    for (valve, kind), places in PLACES.items():
        there = [channel for channel in damper.channels if (channel.valve, channel.kind) == (valve, kind)]
        for number in range(max(len(places), len(there))):
            beyond = max(number - len(places) + 1, 0) * BETWEEN
            channel = there[number] if number < len(there) else None
            found.append(Slot(valve, kind, number, places[min(number, len(places) - 1)] + beyond, channel))
    return tuple(found)


def piston_height(stroke, travel) -> float:
    """Height of the piston's lower face in the picture at a stroke [m] of a travel [m]."""
    return FLOOR + 1.0 + STUB + TRAVEL * (1.0 - float(stroke) / travel)


def cup_height(damper: Damper, travel: float) -> float:
    """Height of the end stop's cup above its floor as drawn, to the scale of the stroke; none without an end stop."""
    return 1.0 + TRAVEL * damper.end_stop.zone / travel if damper.end_stop else float("nan")
