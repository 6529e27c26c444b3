"""Clicks, oil and springs, chosen so that rides meet what was wanted of them."""

from __future__ import annotations

from suspedu.machine import ride
from suspedu.ride import flat_landing, outcomes
from suspedu.school.designs.clickers import HIGH, LOW, RATE, REBOUND
from suspedu.school.designs.design import Design, Number, Reached, Values
from suspedu.school.machines import pressure_at_the_end, set_machine
from suspedu.school.packing import comes_back_to, whoop_row

OIL = Number("oil_height", 90.0, 150.0, "mm")
LOW_FALL, HIGH_FALL, FALL = 0.9, 1.6, 1.2  # m
MOST_PRESSURE = 8.0  # bar in the tube at the end of the stroke (guess of the course)


def _within(what: str, value: float, wanted: float, reach: float, unit: str = "mm") -> Reached:
    return Reached(what, float(value), wanted - reach, wanted + reach, unit)


def _deepest(fall: float, **sheet) -> float:
    """Deepest stroke of a flat landing [mm] from a fall [m]."""
    return 1e3 * float(ride(set_machine("enduro", **sheet), flat_landing(fall)).stroke.max())


def _two_landings(design: Values, given: Values) -> tuple[Reached, ...]:
    """Deepest stroke of a low and of a high landing, and the pressure that the oil leaves at the end."""
    sheet = {"oil_height": design["oil_height"], "compression_high": design["high"], "rider_mass": given["rider"]}
    pressure = pressure_at_the_end(set_machine("enduro", **sheet)) / 1e5
    return (_within("the low landing", _deepest(LOW_FALL, **sheet), given["low_landing"], 1.5),
            _within("the high landing", _deepest(HIGH_FALL, **sheet), given["high_landing"], 1.0),
            Reached("the pressure at the end", pressure, high=MOST_PRESSURE, unit="bar"))


def _dive_and_hit(design: Values, given: Values) -> tuple[Reached, ...]:
    """Dive on the brakes, hardest hit of a square edge, deepest stroke of a landing."""
    sheet = {"compression_low": design["low"], "compression_high": design["high"], "rider_mass": given["rider"]}
    fork = set_machine("enduro", **sheet)
    dive = 1e3 * outcomes(ride(fork, "hard braking"), ["dive"])["dive"]
    hit = outcomes(ride(fork, "square edge"), ["harshness"])["harshness"]
    return (_within("the dive", dive, given["dive"], 1.0),
            Reached("the hit", float(hit), high=given["most_hit"], unit="m/s^2"),
            Reached("the landing", _deepest(FALL, **sheet), high=given["most_stroke"], unit="mm"))


def _over_whoops(design: Values, given: Values) -> tuple[Reached, ...]:
    """Mean stroke over a row of whoops, and what is left over of a blow when the next one comes."""
    done = ride(set_machine("enduro", coil_rate=design["rate"], rebound=design["rebound"], rider_mass=given["rider"]),
                whoop_row("round"))
    return (_within("the mean stroke", 1e3 * outcomes(done, ["ride_height"])["ride_height"], given["middle"], 1.0),
            _within("the stroke left over", 1e3 * comes_back_to(done), given["left"], 1.0))


def _as_a_spring(design: Values, given: Values) -> tuple[Reached, ...]:
    """The landing that stiffer springs give, by oil alone and by clicks alone."""
    now = {"oil_height": given["oil_now"], "rider_mass": given["rider"], "compression_high": given["clicks_now"]}
    stiff = _deepest(given["fall"], **now, coil_rate=4.0 + given["stiffer"])
    return tuple(_within(f"the landing by {name} alone", _deepest(given["fall"], **(now | {own: design[entry]})), stiff,
                         0.7) for name, own, entry in (("oil", "oil_height", "oil_height"),
                                                       ("clicks", "compression_high", "high")))


DESIGNS = {"two-landings": Design((OIL, HIGH), _two_landings), "dive-and-hit": Design((LOW, HIGH), _dive_and_hit),
           "over-whoops": Design((RATE, REBOUND), _over_whoops), "as-a-spring": Design((OIL, HIGH), _as_a_spring)}
