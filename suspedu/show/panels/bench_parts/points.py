"""Explain this point: the numbers behind one place of a curve, in place of the key numbers, and its dot."""

from __future__ import annotations

import numpy as np

from suspedu.school.bench import OnBench
from suspedu.school.bench_point import damping_point, ride_point, spring_point
from suspedu.show.panels.bench_parts.controls import DAMPING, NOTHING, RIDE, SPRINGS
from suspedu.show.panels.bench_parts.curves import DAMPING_AXES, SPRING_AXES
from suspedu.show.panels.words import millimetres, newtons, percent, with_unit
from suspedu.show.view import Mark
from suspedu.units import from_si, to_si

PART_WORDS = {"coil": "Coils", "air": "Air", "gas": "Gas of the cartridges", "top_out": "Top-out springs",
              "bumper": "Bumpers"}  # fmt: skip
SHIMS = ("low-speed", "high-speed", "mid", "rebound", "stop shims")  # paths that shims close
MOST_ROWS = 7


def point_rows(bench: OnBench, point: str, stroke: float, velocity: float, step: int) -> tuple:
    """Rows of the table that explain a point: springs at a stroke [mm], damping at a velocity [m/s], or the ride."""
    rows = {SPRINGS: lambda: _springs(bench, to_si(stroke, "mm")), DAMPING: lambda: _damping(bench, velocity),
            RIDE: lambda: _ride(bench, step)}  # fmt: skip
    return tuple(rows[point]()[:MOST_ROWS])


def point_marks(bench: OnBench, point: str, stroke: float, velocity: float) -> tuple:
    """The dots of the points on springs and damping; of the one that is not explained, none."""
    springs = damping = np.nan, np.nan
    if point == SPRINGS:
        at = spring_point(bench, to_si(stroke, "mm"))
        springs = from_si(at.stroke, "mm"), at.force
    if point == DAMPING:
        damping = velocity, bench.damping.at(velocity)
    return (Mark("point springs", *springs, "this" if point == SPRINGS else "", SPRING_AXES, "fourth"),
            Mark("point damping", *damping, "this" if point == DAMPING else "", DAMPING_AXES, "fourth"))


def _springs(bench: OnBench, stroke: float) -> tuple:
    found = spring_point(bench, stroke)
    parts = [(words, newtons(found.parts[name])) for name, words in PART_WORDS.items() if abs(found.parts[name]) >= 0.5]
    return ((f"Springs hold, {millimetres(found.stroke)} deep", newtons(found.force)), *parts[:3],
            ("The next millimetre costs", with_unit(found.rate, "N/mm", 1)),
            ("Pressure of the air", with_unit(found.air_pressure, "bar", 2)),
            ("Friction holds it within", f"±{newtons(found.holds)}"))


def _damping(bench: OnBench, velocity: float) -> tuple:
    found = damping_point(bench, velocity)
    rows = [(f"Damping of both legs, {velocity:g} m/s", newtons(bench.damping.at(velocity)))]
    if not any(found.paths.values()):
        return (*rows, ("Oil that moves", "none"), ("Margin to cavitation", _margin(found.leg)))
    paths = [_path(valve, path) for valve, ways in found.paths.items() for path in ways]
    pressures = ("Pressure below, above the piston", f"{number_of(found.leg.compression_chamber)}, "
                                                     f"{with_unit(found.leg.rebound_chamber, 'bar', 1)}")
    return (*rows, *paths[: MOST_ROWS - 3], pressures, ("Margin to cavitation", _margin(found.leg)))


def number_of(pressure) -> str:
    """A pressure [Pa] in bar, without its unit."""
    return with_unit(pressure, "bar", 1).removesuffix(" bar")


def _margin(leg) -> str:
    return "none: the oil is torn" if leg.cavitating else with_unit(max(float(leg.margin), 0.0), "bar", 2)


def _path(valve: str, path) -> tuple[str, str]:
    lifted = f", {with_unit(path.lift, 'mm', 2)} open" if path.name in SHIMS and path.open else ""
    return f"{valve[0].upper()}{valve[1:]}: {path.name}", f"{percent(path.share)} %{lifted}"


def _ride(bench: OnBench, step: int) -> tuple:
    found = ride_point(bench, step)
    way = "in" if found.velocity >= 0.0 else "out"
    under = ("Air under the tyre", millimetres(found.air_under)) if found.air_under > 0.0 else (
        "Tyre presses with", newtons(found.tyre))
    return ((f"Stroke at {found.distance:.1f} m, {found.time:.2f} s", millimetres(found.stroke)),
            (f"Goes {way} at", f"{abs(found.velocity):.2f} m/s"),
            ("Springs, air and ends hold", newtons(found.springs)),
            ("Damping, end stop and friction", newtons(found.moving)), under,
            ("Bars speed up by", with_unit(found.bars, "m/s^2", 1)))


def explains(point: str) -> bool:
    """Whether a point is explained, in place of the key numbers."""
    return point != NOTHING
