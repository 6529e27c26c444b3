"""Panel of a ride: what the ground does to wheel, chassis and fork."""

from __future__ import annotations

import numpy as np

from suspedu.ride.outcomes import bumper_from, outcomes
from suspedu.ride.simulate import Ride
from suspedu.school import set_machine
from suspedu.school.loop import end_of_travel, ridden, usual_speed
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import headed, length_of, options, thinned
from suspedu.show.panels.setting import HIGH, LOW, OIL, PRELOAD, REBOUND
from suspedu.show.panels.words import millimetres, number, percent
from suspedu.show.view import Axes, Choice, Control, Curve, View
from suspedu.units import from_si

FELT = ("comfort", "harshness", "airborne", "ride_height", "deepest", "margin")
HEIGHTS = {"rough ground": (-120, 120), "whoops": (-150, 350), "braking bumps": (-150, 150), "log": (-110, 160),
           "square edge": (-30, 130), "rock garden": (-120, 260), "dip": (-450, 200),
           "flat landing": (-1500, 100), "slope landing": (-6000, 700), "hard braking": (-180, 60),
           "dab of the brake": (-180, 60), "crash": (-400, 2400)}  # mm  # fmt: skip
FIRST = "whoops"


def _axes(ground: str) -> tuple[Axes, ...]:
    """Axes of a ride over a ground, as long as the ground is."""
    length = (0, length_of(ground))
    return (Axes("distance [m]", "height against the start [mm]", length, HEIGHTS[ground], "Ground and chassis"),
            Axes("distance [m]", "stroke [mm]", length, (0, 300), "Stroke of the fork"))


def view_ride(ground, pace, preload, oil_height, compression_low, compression_high, rebound) -> View:
    """The school enduro over a ground at a pace [%], at a setting in workshop units and clicks out."""
    machine = set_machine(preload=preload, oil_height=oil_height, compression_low=compression_low,
                          compression_high=compression_high, rebound=rebound)
    speed = usual_speed(ground) * pace / 100
    done = ridden(machine, ground, speed)
    felt, axes = outcomes(done, FELT), _axes(ground)
    x, road, body, stroke = thinned(done, done.road, done.sprung_height - done.sprung_height[0], done.stroke)
    ends = np.array(axes[0].xlim, dtype=float)
    items = (
        Curve("ground", x, from_si(road - road[0], "mm"), 0, "second", "ground"),
        Curve("chassis", x, from_si(body, "mm"), 0, "main", "chassis"),
        Curve("stroke", x, from_si(stroke, "mm"), 1, "main"),
        *(Curve(name, ends, np.full(2, from_si(height, "mm")), 1, "limit", words) for name, height, words in (
            ("rest", done.static_stroke, "at rest"), ("bumper", bumper_from(done), "bumper"))),
    )
    return View(items, _numbers(felt), _sentence(ground, speed, done, felt), axes)


def _numbers(felt) -> tuple:
    return (("Shake, weighted", f"{felt['comfort']:.2f} m/s2"), ("Hardest hit", f"{felt['harshness']:.1f} m/s2"),
            ("Tyre in the air", f"{percent(felt['airborne'], 1)} %"), ("Mean stroke", millimetres(felt["ride_height"])),
            ("Deepest stroke", millimetres(felt["deepest"])), ("Travel left", millimetres(max(felt["margin"], 0.0))))


def _sentence(ground, speed, done: Ride, felt) -> str:
    low = felt["ride_height"] - done.static_stroke
    end = {"metal": "and meets its end, metal on metal", "bumper": "and bottoms",
           "spare": f"and keeps {number(felt['margin'], 'mm')} mm in hand"}[end_of_travel(done)]  # fmt: skip
    return (f"{headed(ground)} at {number(speed, 'km/h')} km/h: the fork works "
            f"{number(abs(low), 'mm')} mm {'deeper' if low > 0 else 'higher'} than at rest, uses "
            f"{number(felt['deepest'], 'mm')} mm {end}. The bars shake with {felt['comfort']:.1f} m/s2 and the tyre is "
            f"off the ground {percent(felt['airborne'])} % of the time.")


RIDE = Declared(
    id="ride", title="The ride", view=view_ride, axes=_axes(FIRST),
    controls=(Choice("ground", "Ground", options(), FIRST),
              Control("pace", "Pace", "%", 50, 110, 5, 100, "100 = as the school rides this ground"),
              PRELOAD, OIL, LOW, HIGH, REBOUND))  # fmt: skip
