"""Panel of a ride: what the ground does to wheel, chassis, rider and fork."""

from __future__ import annotations

import numpy as np

from suspedu.machine import Machine, pressure_caution
from suspedu.ride.outcomes import bumper_from, outcomes
from suspedu.ride.simulate import Ride
from suspedu.school import set_machine
from suspedu.school.loop import CRASH, chassis_path, landing_told, meets_rim, ridden, usual_speed
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import ending, headed, length_of, options, thinned
from suspedu.show.panels.setting import HIGH, LOW, OIL, PRELOAD, REBOUND, TYRE
from suspedu.show.panels.words import millimetres, number, percent
from suspedu.show.view import Axes, Choice, Control, Curve, View
from suspedu.units import from_si

FELT = ("comfort", "body_comfort", "harshness", "body_hit", "airborne", "ride_height", "deepest")
HEIGHTS = {"rough ground": (-120, 120), "whoops": (-150, 350), "braking bumps": (-150, 150), "log": (-110, 160),
           "square edge": (-30, 130), "rock garden": (-120, 260), "dip": (-450, 200), "low flat landing": (-250, 1800),
           "flat landing": (-250, 1800), "high flat landing": (-250, 1800), "slope landing": (-6200, 800),
           "hard braking": (-180, 60), "dab of the brake": (-180, 60), "crash": (-400, 2700)}  # mm  # fmt: skip
FIRST = "whoops"


def _axes(ground: str) -> tuple[Axes, ...]:
    """Axes of a ride over a ground, as long as the ground is."""
    length = (0, length_of(ground))
    return (Axes("distance [m]", "height against standing at the start [mm]", length, HEIGHTS[ground],
                 "Ground and chassis"),
            Axes("distance [m]", "stroke [mm]", length, (0, 310), "Stroke of the fork"))


def view_ride(ground, pace, tyre_pressure, preload, oil_height, compression_low, compression_high, rebound) -> View:
    """The school enduro over a ground at a pace [%], at a setting in workshop units and clicks out."""
    machine = set_machine(tyre_pressure=tyre_pressure, preload=preload, oil_height=oil_height,
                          compression_low=compression_low, compression_high=compression_high, rebound=rebound)
    speed = usual_speed(ground) * pace / 100
    done = ridden(machine, ground, speed)
    felt, axes = outcomes(done, FELT), _axes(ground)
    x, road, body, stroke = thinned(done, done.road, chassis_path(done), done.stroke)
    ends = np.array(axes[0].xlim, dtype=float)
    items = (
        Curve("ground", x, from_si(road - road[0], "mm"), 0, "second", "ground"),
        Curve("chassis", x, from_si(body, "mm"), 0, "main", "chassis"),
        Curve("stroke", x, from_si(stroke, "mm"), 1, "main"),
        *(Curve(name, ends, np.full(2, from_si(height, "mm")), 1, "limit", words) for name, height, words in (
            ("rest", done.static_stroke, "at rest"), ("bumper", bumper_from(done), "bumper"))),
    )
    return View(items, _numbers(felt), _sentence(ground, speed, done, felt, machine), axes)


def _numbers(felt) -> tuple:
    return (("Shake of the bars, weighted", f"{felt['comfort']:.2f} m/s2"),
            ("Shake of the rider, weighted", f"{felt['body_comfort']:.2f} m/s2"),
            ("Hardest hit, bars", f"{felt['harshness']:.1f} m/s2"),
            ("Hardest hit, rider", f"{felt['body_hit']:.1f} m/s2"),
            ("Mean stroke", millimetres(felt["ride_height"])), ("Deepest stroke", millimetres(felt["deepest"])))


def _sentence(ground, speed, done: Ride, felt, machine: Machine) -> str:
    low, landing = felt["ride_height"] - done.static_stroke, landing_told(ground, speed)
    begins = f"{headed(ground)} at {number(speed, 'km/h')} km/h{f' {landing}' if landing else ''}: "
    told = (f"{begins}on average the fork stands {number(abs(low), 'mm')} mm {'deeper' if low > 0 else 'higher'} "
            f"than at rest; it uses {number(felt['deepest'], 'mm')} mm and {ending(done)}. The bars shake with "
            f"{felt['comfort']:.1f} m/s2, the rider with {felt['body_comfort']:.1f}, and the tyre is off the ground "
            f"{percent(felt['airborne'])} % of the time.")
    extra = ("The tyre is pressed down to its rim." if meets_rim(done) else "",
             "No fork is made for a crash." if ground == CRASH else "", pressure_caution(machine))
    return " ".join(part for part in (told, *extra) if part)


RIDE = Declared(
    id="ride", title="The ride", view=view_ride, axes=_axes(FIRST),
    controls=(Choice("ground", "Ground", options(), FIRST),
              Control("pace", "Pace", "%", 50, 110, 5, 100, "100 = as the school rides this ground"),
              TYRE, PRELOAD, OIL, LOW, HIGH, REBOUND))  # fmt: skip
