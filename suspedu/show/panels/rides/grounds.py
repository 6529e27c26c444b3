"""What the ride panels share: the words for the grounds, how far each is seen, and curves thin enough to draw."""

from __future__ import annotations

import numpy as np

from suspedu.ride.simulate import Ride
from suspedu.school.loop import BRAKING, GROUNDS, LOOP, loop_ground

WORDS = {name: name for name in (*GROUNDS, *LOOP)}  # id: words; the ids are those of the terrains
POINTS = 600  # of a curve: one every 20 ms of a long ride, and a stroke takes five times as long
BRAKING_LENGTH = 46.0  # m that are seen of it, whatever the speed


def options(*names: str) -> dict[str, str]:
    """Grounds as the options of a choice, by their ids; all of the trails if none is named."""
    return {name: WORDS[name] for name in names or GROUNDS}


def headed(ground: str) -> str:
    """The words of a ground at the head of a sentence.

    >>> headed("log")
    'Log'
    """
    return f"{WORDS[ground][0].upper()}{WORDS[ground][1:]}"


def length_of(ground: str) -> float:
    """How much of a ground a picture shows [m]."""
    return BRAKING_LENGTH if ground == BRAKING else loop_ground(ground).length


def thinned(done: Ride, *channels) -> tuple:
    """Distance [m] and channels of a ride, at evenly spread steps."""
    steps = np.linspace(0, len(done.time) - 1, POINTS).astype(int)
    return tuple(np.asarray(channel)[steps] for channel in (done.distance, *channels))
