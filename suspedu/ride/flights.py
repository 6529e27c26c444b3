"""Grounds onto which the wheel comes flying: flat and sloping landings, and the jump taken too short."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.numerics import remembered
from suspedu.ride.profile import RUN_IN, STEP, Flight, Terrain, laid
from suspedu.units import STANDARD_GRAVITY, InputError, require

RUN_OUT = 20.0  # m over which a landing's slope becomes flat


@remembered(size=32)
def flat_landing(fall: float = 1.2, speed: float = 8.0) -> Terrain:
    """Flat ground, met after a fall: the wheel closes at sqrt(2 g h).

    Parameters: fall, height h from which the wheel falls [m]; speed [m/s].

    >>> flat_landing(0.9).name
    'flat landing from 0.9 m'
    """
    require("fall height", fall, 0.05, 3.0, "m")
    run = speed * (np.sqrt(2 * fall / STANDARD_GRAVITY) + 3.0)
    return Terrain(f"flat landing from {fall:.3g} m", np.zeros(round(run / STEP)), speed, quiet_from=0.0,
                   flight=Flight(fall))


@remembered(size=32)
def slope_landing(take_off: float = 0.3, table: float = 3.8, slope: float = 0.25, speed: float = 9.0) -> Terrain:
    """A landing that slopes down behind a crest as high as the lip, and even ground between them.

    The run begins at the lip. Where the flight is short the wheel meets the even ground, not a face.

    Parameters: take_off, slope of the lip [-]; table, from lip to crest [m]; slope of the landing [-]; speed [m/s].

    >>> told(slope_landing())
    'lands 3.0 m behind the crest, closing at 2.4 m/s, as a fall of 0.28 m onto the flat would'
    """
    require("slope of the lip", take_off, 0.0, 1.5)
    require("length of the table", table, 0.5, 60.0, "m")
    require("slope of the landing", slope, 0.02, 1.0)
    foot = table + 12.0

    def shape(s):
        out = np.clip(s - foot, 0.0, RUN_OUT)  # runs out evenly, or its foot would hit harder than the landing
        return -slope * (np.clip(s - table, 0.0, foot - table) + out - out**2 / (2 * RUN_OUT))

    heights = laid(foot + RUN_OUT + 2 * speed, shape)
    return Terrain("slope landing", heights, speed, quiet_from=foot + RUN_OUT, flight=Flight(0.0, take_off, table))


@dataclass(frozen=True)
class Touchdown:
    """Where a flight ends, and how hard."""

    place: float  # m from the start of the run
    behind: float  # m behind the crest, below zero before it
    closing: float  # m/s across the ground
    fall: float  # m of fall onto the flat that closes as fast


def touchdown(terrain: Terrain, speed: float | None = None) -> Touchdown:
    """Where the wheel of a terrain's flight meets the ground, and how fast it closes across it.

    y = y_0 + s tan a - g s^2/(2 v^2); closing = (h' - y') v cos(atan h')

    Parameters: terrain with a flight; speed [m/s], the terrain's own if None.
    Raises: InputError for a terrain without a flight, or a flight past its end.

    >>> round(touchdown(flat_landing(1.2)).closing, 2)  # sqrt(2 g 1.2 m)
    4.85

    Source: derivation, ballistic flight without drag (computed by derivation)
    """
    flight, pace = terrain.flight, speed or terrain.speed
    if flight is None:
        raise InputError(f"'{terrain.name}' begins on the ground: there is no landing")
    s = np.arange(len(terrain.height)) * STEP
    above = terrain.height[0] + flight.height + flight.slope * s - STANDARD_GRAVITY * (s / pace) ** 2 / 2
    met = np.flatnonzero((above - terrain.height < 0.0) & (s > 0.0))
    if not len(met):
        raise InputError(f"at {pace:.4g} m/s the flight goes past the end of '{terrain.name}'")
    k = int(met[0])
    before, after = (above - terrain.height)[k - 1 : k + 1]
    place = float(s[k - 1] + STEP * before / (before - after))
    ground = float(terrain.height[k] - terrain.height[k - 1]) / STEP
    closing = (ground - flight.slope + STANDARD_GRAVITY * place / pace**2) * pace / np.hypot(1.0, ground)
    return Touchdown(place, place - flight.crest, float(closing), float(closing**2 / (2 * STANDARD_GRAVITY)))


def told(terrain: Terrain, speed: float | None = None) -> str:
    """A landing as a sentence; speed [m/s], the terrain's own if None.

    >>> told(flat_landing(0.9))
    'lands closing at 4.2 m/s, as a fall of 0.90 m onto the flat would'
    """
    landing, flight = touchdown(terrain, speed), terrain.flight
    side = "behind" if landing.behind > 0.0 else "before"
    place = f"{abs(landing.behind):.1f} m {side} the crest, " if flight is not None and flight.crest else ""
    return (f"lands {place}closing at {landing.closing:.1f} m/s, as a fall of {landing.fall:.2f} m onto the flat "
            "would")


@remembered(size=32)
def crash(height: float = 1.2, gap: float = 7.5, speed: float = 10.0, slope: float = 0.25) -> Terrain:
    """A jump taken too short: at its usual speed the wheel hits the up-face before the crest. No fork is made for it.

    A take-off ramp, a gap, a face up to the crest, and a landing that slopes down.

    Parameters: height of the lip, gap from lip to the landing's crest [m]; speed [m/s]; slope of the landing [-].
    """
    require("height of the jump", height, 0.2, 5.0, "m")
    require("gap of the jump", gap, 0.5, 30.0, "m")
    require("slope of the landing", slope, 0.05, 1.0)
    lip = RUN_IN + 2 * height / 0.35  # the ramp curves up evenly to a slope of 0.35
    crest = lip + gap
    foot = crest + height / slope

    def shape(s):
        ramp = height * np.clip((s - RUN_IN) / (lip - RUN_IN), 0, 1) ** 2 * (s <= lip)
        face = height * np.clip(1 - (crest - s) / 1.5, 0, 1) * (s > lip) * (s <= crest)
        return ramp + face + np.where(s > crest, height * np.clip((foot - s) / (foot - crest), 0, 1), 0)

    return Terrain("crash", laid(foot + 30, shape), speed, quiet_from=foot)
