"""What the bench draws of a ride: its stroke over the ground, and one instant of it true to scale."""

from __future__ import annotations

import numpy as np

from suspedu.ride.outcomes import bumper_from
from suspedu.school.bench import OnBench
from suspedu.school.bench_sight import AHEAD, BEHIND, Sight, sight
from suspedu.school.loop import loop_ground
from suspedu.show.panels.bench_parts.curves import words_at
from suspedu.show.panels.rides.grounds import length_of, thinned
from suspedu.show.panels.words import millimetres
from suspedu.show.view import Axes, Curve, Mark, Shape
from suspedu.spelling import minus
from suspedu.units import from_si

STROKE_AXES, GROUND_AXES, SIGHT_AXES = 3, 4, 5
TICK_ROOM = 40.0  # px: stroke and ground stand over the same metres
LOW, HIGH = -0.35, 1.95  # m of height that are seen round a wheel on the ground
HELD = 0.3  # m of air under the wheel from which the picture goes up with it, and the ground out of it
FAR = 9.0  # m: the ground is drawn down to here


def riding_axes(bench: OnBench) -> tuple[Axes, ...]:
    """Axes of stroke, ground and sight."""
    length, ground = (0.0, length_of(bench.ground)), loop_ground(bench.ground)
    travel = from_si(bench.machine.travel, "mm")
    seen = ground.statistics
    low, high = (from_si(seen[name], "mm") for name in ("lowest", "highest"))
    room = max(high - low, 40.0)
    step = next(step for step in (5, 10, 20, 40, 100) if length[1] / step <= 8)
    ticks = [(at, f"{at}") for at in range(0, int(length[1]) + 1, step)]
    return (
        Axes("", "", length, (-8, travel + 12), "Stroke of the fork on the ride [mm]", place=(0.0, 0.17, 0.62, 0.47),
             tick_room=TICK_ROOM, xticks=tuple((at, "") for at, _ in ticks)),
        Axes("distance [m]; ground in mm", "", length, (low - 0.15 * room, high + 0.15 * room), "", xticks=tuple(ticks),
             yticks=tuple((round(at), minus(f"{round(at)}")) for at in sorted({low, high})),
             place=(0.0, 0.0, 0.62, 0.19), tick_room=TICK_ROOM),
        Axes("", "", (-BEHIND, AHEAD), (LOW, HIGH), "True to scale", equal=True, bare=True,
             place=(0.62, 0.0, 1.0, 0.47)),
    )  # fmt: skip


def riding_items(bench: OnBench, step: int) -> tuple:
    """The stroke with rest and bumper, the ground under it, the cursor through both, and the sight at it."""
    ride, ends = bench.ride, np.array([0.0, length_of(bench.ground)])
    x, stroke = thinned(ride, ride.stroke)
    at = float(ride.distance[step])
    return (
        *(Curve(name, ends, np.full(2, from_si(height, "mm")), STROKE_AXES, "limit", margin=False)
          for name, height in (("rest", ride.static_stroke), ("bumper", bumper_from(ride)))),
        words_at("at the bumper", 0.94 * ends[1], from_si(bumper_from(ride), "mm") - 26, "bumper", STROKE_AXES,
                 "limit"),
        Curve("stroke", x, from_si(stroke, "mm"), STROKE_AXES, "main", margin=False),
        Curve("cursor", np.full(2, at), np.array([0.0, 400.0]), STROKE_AXES, "ink", margin=False),
        Mark("here", at, from_si(float(ride.stroke[step]), "mm"), "", STROKE_AXES, "ink"),
        words_at("instant", 0.5 * (AHEAD - BEHIND) + 0.35, HIGH - 0.1,
                f"{at:.1f} m: {millimetres(ride.stroke[step])} deep", SIGHT_AXES),
        _ground_shape(bench),
        Curve("cursor below", np.full(2, at), np.array([-7e3, 3e3]), GROUND_AXES, "ink", margin=False),
        *_sight_items(sight(bench, step)),
    )  # fmt: skip


def _ground_shape(bench: OnBench) -> Shape:
    """The ground as an area, on as many points as are seen."""
    heights = bench.ride.terrain.height
    steps = np.linspace(0, len(heights) - 1, 600).astype(int)
    x, y = steps * (bench.ride.terrain.length / (len(heights) - 1)), from_si(heights[steps], "mm")
    return Shape("ground", np.concatenate([x, x[[-1, 0]]]), np.concatenate([y, [-9e3, -9e3]]), GROUND_AXES, 0.3,
                 "third", edge=0.8)


def _sight_items(seen: Sight) -> tuple:
    """The instant from the side; high above the ground the picture goes up with the wheel."""
    up = np.array([0.0, -max(seen.air - HELD, 0.0)])
    ground = np.concatenate([seen.ground, [[AHEAD, -FAR], [-BEHIND, -FAR]]]) + up
    inner, outer, limbs = seen.inner + up, seen.outer + up, seen.limbs + up
    body, wheel, rider = seen.chassis + up, seen.wheel + up, seen.rider + up
    air = f"{millimetres(seen.air)} of air" if seen.air > 0.0 else ""
    style = {"role": "ink", "margin": False}
    return (
        Shape("seen ground", *ground.T, SIGHT_AXES, 0.3, "third", edge=0.8),
        Shape("seen wheel", *wheel.T, SIGHT_AXES, 0.15, "ink", edge=2.0),
        Shape("seen chassis", *body.T, SIGHT_AXES, 0.3, "main", "chassis", edge=0.8, folds=False),
        Curve("seen inner", *inner.T, SIGHT_AXES, width=2.6, **style),
        Curve("seen outer", *outer.T, SIGHT_AXES, "main", width=2.6, margin=False),
        Curve("seen limbs", *limbs.T, SIGHT_AXES, **style),
        Mark("seen rider", *map(float, rider), "", SIGHT_AXES, "second"),
        words_at("rider's name", float(rider[0]) + 0.3, float(rider[1]), "rider", SIGHT_AXES),
        words_at("seen air", AHEAD - 0.65, LOW + 0.12, air, SIGHT_AXES),
    )
