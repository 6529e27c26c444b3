"""Terrain: heights over distance, made from a few numbers and a seed, with their statistics stated."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from suspedu.numerics import frozen, remembered
from suspedu.ride.roughness import random_profile
from suspedu.units import InputError, check_fields, nearest, part, quantity, require

STEP = 0.005  # m between the heights of a profile
RUN_IN = 4.0  # m of flat ground before anything happens


@part(eq=False)
class Terrain:
    """A height profile over distance, and where a rider brakes on it."""

    name: str
    height: np.ndarray  # [n, m] every STEP
    speed: float = quantity("m/s", 0.5, 60, "speed usual on this terrain")
    quiet_from: float | None = None  # m: flat from here on, so that settling can be judged
    brake_from: float | None = None  # m
    deceleration: float = quantity("m/s^2", 0, 12, "deceleration", default=0.0)
    exit_speed: float = quantity("m/s", 0.5, 60, "speed after braking", default=3.0)

    def __post_init__(self):
        check_fields(self)
        if not np.isfinite(self.height).all():
            raise InputError(f"terrain '{self.name}' holds heights that are not numbers")
        object.__setattr__(self, "height", frozen(np.array(self.height, dtype=float)))  # nobody else can write into it

    @property
    def length(self) -> float:
        """Length of the run [m]."""
        return (len(self.height) - 1) * STEP

    @property
    def statistics(self) -> dict[str, float]:
        """Length, r.m.s. height about the mean, lowest, highest [m] and steepest slope [-]."""
        h = self.height
        return {"length": self.length, "rms": float(h.std()), "lowest": float(h.min()), "highest": float(h.max()),
                "steepest": float(np.abs(np.diff(h)).max() / STEP)}

    @property
    def statement(self) -> str:
        """The statistics as a sentence."""
        s = self.statistics
        return (f"{self.name}: {s['length']:.0f} m, heights {1e3 * s['lowest']:.0f} to {1e3 * s['highest']:.0f} mm, "
                f"r.m.s. {1e3 * s['rms']:.1f} mm")


def laid(length: float, shape: Callable) -> np.ndarray:
    """Heights [m] of shape(distance) every STEP, over a length [m]."""
    return np.asarray(shape(np.arange(round(length / STEP) + 1) * STEP), dtype=float)


def _fits(what: str, needed: float, run: float):
    if needed > run:
        raise InputError(f"the {what} take {needed:.4g} m with the run-in, longer than the run of {run:.4g} m")


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
    _fits("whoops", end, length)
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
    _fits("square edge and what follows", RUN_IN + 2, length)
    return Terrain("square edge", height * laid(length, lambda s: s >= RUN_IN), speed, quiet_from=RUN_IN)


@remembered(size=32)
def log(diameter: float = 0.2, speed: float = 7.0, length: float = 35.0) -> Terrain:
    """A round log lying half in the ground.

    Parameters: diameter, length of the run [m]; speed [m/s].
    """
    require("diameter of the log", diameter, 0.02, 0.8, "mm")
    _fits("log and what follows", RUN_IN + diameter + 2, length)
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
def jump(height: float = 1.2, gap: float = 7.5, speed: float = 10.0, slope: float = 0.25) -> Terrain:
    """A take-off ramp, a gap, and a landing that slopes down: ridden too slowly the wheel falls short.

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

    return Terrain("jump", laid(foot + 30, shape), speed, quiet_from=foot)


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
def flat(length: float = 20.0, speed: float = 5.0) -> Terrain:
    """Flat ground, for drops and for settling.

    Parameters: length [m]; speed [m/s].
    """
    require("length of the run", length, 1, 2000, "m")
    return Terrain("flat ground", np.zeros(round(length / STEP)), speed, quiet_from=0.0)


TERRAINS = {"rough ground": rough_ground, "whoops": whoops, "braking bumps": braking_bumps, "square edge": square_edge,
            "log": log, "rock garden": rock_garden, "jump": jump, "hard braking": hard_braking}


def terrain(name: str, **options) -> Terrain:
    """A terrain by its name in `TERRAINS`, with its own options.

    >>> terrain("log", diameter=0.15).name
    'log'
    """
    if name not in TERRAINS:
        raise InputError(f"terrain '{name}' is not known{nearest(name, TERRAINS)}; there are: {', '.join(TERRAINS)}")
    return TERRAINS[name](**options)
