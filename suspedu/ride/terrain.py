"""Terrain: heights over distance, made from a few numbers and a seed, with their statistics stated."""

from __future__ import annotations

import numpy as np

from suspedu.numerics import remembered
from suspedu.ride.flights import crash, flat_landing, slope_landing
from suspedu.ride.profile import RUN_IN, STEP, Dab, Terrain, fits, laid
from suspedu.ride.roughness import random_profile
from suspedu.units import InputError, nearest, require


@remembered(size=32)
def rough_ground(roughness_class: str = "D", length: float = 120.0, speed: float = 12.0, seed: int = 1) -> Terrain:
    """Random ground of an ISO 8608 class, faded in over the run-in.

    Parameters: roughness_class, A to H; length [m]; speed [m/s]; seed, any whole number.

    >>> rough_ground("D", seed=3).statement
    'rough ground, class D: 120 m, heights -75 to 66 mm, r.m.s. 28.1 mm'

    Source: iso-8608, spectrum, see `roughness` (printed, from memory)
    """
    height = random_profile(length + STEP, STEP, roughness_class, seed)
    fade = np.minimum(np.arange(len(height)) * STEP / RUN_IN, 1.0)
    return Terrain(f"rough ground, class {roughness_class.upper()}", height * fade**2 * (3 - 2 * fade), speed)


@remembered(size=32)
def whoops(height: float = 0.2, spacing: float = 4.5, count: int = 11, speed: float = 8.0,
           length: float = 64.0) -> Terrain:
    """A row of equal round humps, h/2 (1 - cos(2 pi s/spacing)): the ground that packs a slow fork.

    Parameters: height, spacing, length of the run [m]; count; speed [m/s].

    >>> whoops(count=100)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: the whoops take 454 m with the run-in, longer than the run of 64 m
    """
    require("height of the whoops", height, 0.02, 1.5, "mm")
    require("spacing of the whoops", spacing, 0.5, 20.0, "m")
    require("number of whoops", count, 1, 200)
    end = RUN_IN + count * spacing
    fits("whoops", end, length)
    hump = laid(length, lambda s: np.where((s > RUN_IN) & (s < end), 1 - np.cos(2 * np.pi * (s - RUN_IN) / spacing), 0))
    return Terrain("whoops", height / 2 * hump, speed, quiet_from=end)


@remembered(size=32)
def braking_bumps(height: float = 0.09, spacing: float = 1.3, count: int = 14, speed: float = 14.0,
                  deceleration: float = 4.0) -> Terrain:
    """Bumps dug by braking wheels: growing, ever closer, taken on the brakes.

    Parameters: height of the last bump, spacing of the first [m]; count; speed before [m/s]; deceleration [m/s2].
    """
    require("height of the braking bumps", height, 0.01, 0.4, "mm")
    require("spacing of the braking bumps", spacing, 0.4, 6.0, "m")
    require("number of braking bumps", count, 2, 100)
    widths = spacing * np.linspace(1.0, 0.7, count)
    edges = 2 * RUN_IN + np.concatenate([[0.0], np.cumsum(widths)])
    sizes = height * np.linspace(0.4, 1.0, count)

    def shape(s):
        i = np.clip(np.searchsorted(edges, s, side="right") - 1, 0, count - 1)
        part = np.clip((s - edges[i]) / widths[i], 0.0, 1.0)
        return sizes[i] / 2 * (1 - np.cos(2 * np.pi * part))

    return Terrain("braking bumps", laid(edges[-1] + 16, shape), speed, edges[-1], RUN_IN, deceleration)


@remembered(size=32)
def square_edge(height: float = 0.08, speed: float = 10.0, length: float = 40.0) -> Terrain:
    """A step up with a sharp edge, and flat ground after it.

    Parameters: height, length of the run [m]; speed [m/s].
    """
    require("height of the square edge", height, 0.005, 0.4, "mm")
    fits("square edge and what follows", RUN_IN + 2, length)
    return Terrain("square edge", height * laid(length, lambda s: s >= RUN_IN), speed, quiet_from=RUN_IN)


@remembered(size=32)
def log(diameter: float = 0.2, speed: float = 7.0, length: float = 35.0) -> Terrain:
    """A round log lying half in the ground.

    Parameters: diameter, length of the run [m]; speed [m/s].
    """
    require("diameter of the log", diameter, 0.02, 0.8, "mm")
    fits("log and what follows", RUN_IN + diameter + 2, length)
    centre = RUN_IN + diameter / 2
    shape = laid(length, lambda s: np.sqrt(np.maximum((diameter / 2) ** 2 - (s - centre) ** 2, 0.0)))
    return Terrain("log", shape, speed, quiet_from=RUN_IN + diameter)


@remembered(size=32)
def rock_garden(largest: float = 0.14, per_metre: float = 1.2, length: float = 60.0, speed: float = 6.0,
                seed: int = 2) -> Terrain:
    """Rocks at random: half ellipses whose places, heights and widths are drawn evenly; the highest one counts.

    Parameters: largest rock's height [m]; per_metre, rocks per metre [1/m]; length [m]; speed [m/s]; seed.
    """
    require("height of the largest rock", largest, 0.01, 0.5, "mm")
    require("rocks per metre", per_metre, 0.05, 10)
    require("length of the rock garden", length, 2 * RUN_IN + 9, 2000, "m")
    draw = np.random.default_rng(seed)
    count = max(1, round(per_metre * (length - 2 * RUN_IN - 8)))
    place = draw.uniform(RUN_IN, length - RUN_IN - 8, count)
    tall, half = largest * draw.uniform(0.2, 1.0, count), draw.uniform(0.08, 0.3, count)

    def shape(s):
        ellipses = np.sqrt(np.maximum(1 - ((s - place[:, None]) / half[:, None]) ** 2, 0.0))
        return np.max(tall[:, None] * ellipses, axis=0)

    return Terrain("rock garden", laid(length, shape), speed, quiet_from=length - RUN_IN - 7.5)


@remembered(size=32)
def hard_braking(deceleration: float = 7.0, speed: float = 18.0, exit_speed: float = 4.0) -> Terrain:
    """Flat ground and a hard brake, released at the exit speed.

    Parameters: deceleration [m/s2]; speed before [m/s]; exit_speed, after [m/s].
    """
    require("deceleration", deceleration, 0.5, 12.0, "m/s^2")
    require("speed after braking", exit_speed, 0.5, speed - 0.5, "m/s", "it must be below the speed before braking")
    stop = RUN_IN + (speed**2 - exit_speed**2) / (2 * deceleration)
    return Terrain("hard braking", np.zeros(round((stop + 4 + 3 * exit_speed) / STEP)), speed, stop + 4, RUN_IN,
                   deceleration, exit_speed)


@remembered(size=32)
def brake_dab(deceleration: float = 5.0, lasting: float = 0.4, speed: float = 12.0) -> Terrain:
    """A dab of the brake on the way into a turn, which is entered with half the dab's load shift already in front.

    Parameters: deceleration in the dab [m/s2]; lasting [s]; speed before [m/s].
    Assumes: an upright machine; of the turn only the load shift is there.
    """
    require("deceleration", deceleration, 0.5, 12.0, "m/s^2")
    half, after = deceleration / 2, 1.5
    slow = speed - half * (after + lasting + 1.0)
    require("speed after braking", slow - half * lasting, 1.0, speed, "m/s", "the machine would stop in the dab")
    return Terrain("dab of the brake", np.zeros(round((RUN_IN + (after + lasting + 3.0) * speed) / STEP)), speed, None,
                   RUN_IN, half, slow, Dab(half, after, lasting))


@remembered(size=32)
def dip(depth: float = 0.3, width: float = 5.0, speed: float = 12.0, length: float = 45.0) -> Terrain:
    """A dip taken fast: half a cosine deep in the ground, -d cos(pi s/w).

    Parameters: depth, width, length of the run [m]; speed [m/s].
    """
    require("depth of the dip", depth, 0.02, 2.0, "mm")
    require("width of the dip", width, 0.5, 40.0, "m")
    fits("dip and what follows", RUN_IN + width + 2, length)
    place = RUN_IN + width / 2
    inside = laid(length, lambda s: np.cos(np.pi * np.clip((s - place) / width, -0.5, 0.5)))
    return Terrain("dip", -depth * np.where(inside > 1e-12, inside, 0.0), speed, quiet_from=RUN_IN + width)


@remembered(size=32)
def flat(length: float = 20.0, speed: float = 5.0) -> Terrain:
    """Flat ground, for drops and for settling.

    Parameters: length [m]; speed [m/s].
    """
    require("length of the run", length, 1, 2000, "m")
    return Terrain("flat ground", np.zeros(round(length / STEP)), speed, quiet_from=0.0)


TERRAINS = {"rough ground": rough_ground, "whoops": whoops, "braking bumps": braking_bumps, "square edge": square_edge,
            "log": log, "rock garden": rock_garden, "dip": dip, "flat landing": flat_landing,
            "slope landing": slope_landing, "hard braking": hard_braking, "dab of the brake": brake_dab, "crash": crash}


def terrain(name: str, **options) -> Terrain:
    """A terrain by its name in `TERRAINS`, with its own options.

    >>> terrain("log", diameter=0.15).name
    'log'
    """
    if name not in TERRAINS:
        raise InputError(f"terrain '{name}' is not known{nearest(name, TERRAINS)}; there are: {', '.join(TERRAINS)}")
    return TERRAINS[name](**options)
