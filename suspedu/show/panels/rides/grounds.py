"""What the ride panels share: the words for the grounds, how a ride ends, and curves thin enough to draw."""

from __future__ import annotations

import numpy as np

from suspedu.ride.outcomes import outcomes
from suspedu.ride.simulate import Ride
from suspedu.school.loop import BRAKING, CRASH, FALLS, GROUNDS, LANDING, LOOP, end_of_travel, loop_ground
from suspedu.show.panels.words import number

# id: words; the ids are those of the school's grounds
WORDS = {name: name for name in (*GROUNDS, *LOOP)} | {
    LANDING: "flat landing from 1.2 m", "dip": "dip taken fast", "dab of the brake": "dab of the brake into a turn",
    CRASH: "crash, a jump taken too short"} | {
    name: f"flat landing from {fall:g} m" for name, fall in FALLS.items()}  # fmt: skip
POINTS = 600  # of a curve: one every 20 ms of a long ride, and a stroke takes five times as long
BRAKING_LENGTH = 46.0  # m that are seen of it, whatever the speed


def options(*names: str) -> dict[str, str]:
    """Grounds as the options of a choice, by their ids; all of the trails if none is named."""
    return {name: WORDS[name] for name in names or GROUNDS}


def headed(ground: str) -> str:
    """The words of a ground at the head of a sentence.

    >>> headed("log"), headed("flat landing")
    ('Log', 'Flat landing from 1.2 m')
    """
    return f"{WORDS[ground][0].upper()}{WORDS[ground][1:]}"


def length_of(ground: str) -> float:
    """How much of a ground a picture shows [m]."""
    return BRAKING_LENGTH if ground == BRAKING else loop_ground(ground).length


def ending(done: Ride) -> str:
    """How the deepest stroke of a ride ends, in words: in hand, on the bumper, or metal on metal."""
    felt, end = outcomes(done, ["margin", "bumper_speed", "past_travel"]), end_of_travel(done)
    if end == "spare":
        return f"keeps {number(felt['margin'], 'mm')} mm in hand"
    met = f"bottoms, meeting the bumper at {felt['bumper_speed']:.1f} m/s"
    if end == "bumper":
        return met
    return f"{met} and then metal on metal, which gives way by {number(felt['past_travel'], 'mm', 1)} mm"


def worn(rim: bool, metal: bool) -> str:
    """What is to be said of a ride on which the tyre met its rim, or the fork metal; nothing if neither.

    >>> worn(True, False), worn(False, False)
    (' The tyre is pressed to its rim on the way: nobody rides it like that.', '')
    """
    met = ["the tyre is pressed to its rim"] * rim + ["the fork ends metal on metal"] * metal
    told = " and ".join(met)
    return f" {told[0].upper()}{told[1:]} on the way: nobody rides it like that." if met else ""


def thinned(done: Ride, *channels) -> tuple:
    """Distance [m] and channels of a ride, at evenly spread steps."""
    steps = np.linspace(0, len(done.time) - 1, POINTS).astype(int)
    return tuple(np.asarray(channel)[steps] for channel in (done.distance, *channels))
