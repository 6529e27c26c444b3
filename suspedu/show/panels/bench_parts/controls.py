"""Controls of the bench: an adjuster asked for stands in front, all others are folded away in groups."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from suspedu.machine import Machine
from suspedu.machine.adjusters import ADJUSTERS
from suspedu.school.bench_fittings import FITTINGS
from suspedu.school.bench_point import LOOKS
from suspedu.school.bench_settings import AS_IT_CAME, CHOSEN, ON_THE_BENCH, bench_has, bench_reading
from suspedu.school.legs import DAMPERS
from suspedu.school.loop import TALL
from suspedu.school.machines import chosen_machine, machine_choices, school_machine
from suspedu.school.oils import SHELF
from suspedu.show.manner import nearest_stop
from suspedu.show.panels.rides.grounds import options
from suspedu.show.panels.setting import slider
from suspedu.show.panels.words import with_unit
from suspedu.show.view import Choice, Control
from suspedu.spelling import readable
from suspedu.units import InputError, from_si, nearest

USUAL = ("preload", "coil_rate", "oil_height", "compression_low", "compression_high", "rebound", "tyre_pressure",
         "fork_height")  # what stands in front of a bench that nobody asked for anything
GROUPS = {"Turned by hand or with tools": USUAL,
          "Machine, rider, damper": ("rider_mass", "damper", "oil", "oil_temperature", "charge", "gauge_pressure"),
          "Shims, float, end stop": ("low_shims", "high_shims", "mid_shims", "rebound_shims", "rebound_thick",
                                     "mid_float", "stop_gap", "stop_zone")}  # fmt: skip
MACHINE_GROUP, POINT_GROUP = "Machine, rider, damper", "Explain a point, look at the ride"
NOTHING, SPRINGS, DAMPING, RIDE = "nothing", "springs", "damping", "ride"
POINTS = {NOTHING: "nothing", SPRINGS: "springs, at the stroke below", DAMPING: "damping, at the velocity below",
          RIDE: "ride, at the cursor"}
CURSOR = "cursor"
LOOK_WORDS = dict(zip(LOOKS, ("deepest stroke", "hardest hit in the hands", "fastest in", "fastest out"), strict=True))
GROUND = Choice("ground", "Ground", options() | {TALL: TALL}, "log")
PACE = Control("pace", "Pace", "%", 50, 110, 5, 100, "100 = as the school rides this ground")
LASTS = 10.0  # s that the film of a whole ride takes: most of them last as long
VIEWING = (
    Choice("look", "Look at", LOOK_WORDS | {CURSOR: "the cursor"}, "deepest", group=POINT_GROUP),
    Choice("point", "Explain", POINTS, NOTHING, "or click into a curve; Esc: back to the key numbers",
           group=POINT_GROUP),
    Control("stroke", "Stroke of the point", "mm", 0, 300, 5, 150, "on the curve of the springs", group=POINT_GROUP),
    Control("velocity", "Velocity of the point", "m/s", -3, 3, 0.05, 0.5, "plus = in, minus = out", group=POINT_GROUP),
)  # fmt: skip
FILM = Control("cursor", "Cursor", "% of the ride", 0, 100, 0.25, 0, "arrow keys: step by step", lasts=LASTS,
               led=("look", CURSOR))
SETTINGS = tuple(name for name in ON_THE_BENCH if name != "oil_volume")  # one of oil height and volume at a time


def bench_controls(front=USUAL, **changes) -> tuple:
    """All controls: ground and pace, the adjusters in front, the cursor, then the others in folded groups.

    Parameters: front, names of adjusters; changes of the ground's or the machine's start, by name.
    Raises: InputError for an adjuster that is not on the bench.

    >>> [control.name for control in bench_controls(("rebound",)) if not control.group]
    ['ground', 'pace', 'rebound', 'cursor']
    """
    for name in front:
        if name not in ON_THE_BENCH:
            raise InputError(f"'{name}' is not on the bench{nearest(name, ON_THE_BENCH)}; there are: "
                             f"{', '.join(ON_THE_BENCH)}")
    volume = "oil_volume" in front
    names = [("oil_volume" if volume and name == "oil_height" else name) for name in SETTINGS]
    folded = [control_of(("oil_volume" if volume and name == "oil_height" else name), group)
              for group, members in GROUPS.items() for name in members]
    machine = Choice("machine", "Machine", machine_choices(), "enduro", group=MACHINE_GROUP)
    rest = [control for control in folded if control.name not in front and control.name in names]
    at = next((k for k, control in enumerate(rest) if control.group == MACHINE_GROUP), len(rest))
    return (GROUND, PACE, *(control_of(name) for name in front), FILM, *rest[:at], machine, *rest[at:], *VIEWING)


@cache
def control_of(name: str, group: str = "") -> Control | Choice:
    """The control of one thing on the bench, from where the school's enduro stands."""
    if name == "damper":
        kinds = {AS_IT_CAME: AS_IT_CAME} | {kind: kind for kind in DAMPERS}
        return Choice("damper", "Damper", kinds, AS_IT_CAME, "another one comes as it was built", group=group)
    if name == "oil":
        return Choice("oil", "Fork oil", {AS_IT_CAME: AS_IT_CAME} | {can: _can(can) for can in SHELF}, AS_IT_CAME,
                      "its thickness when warm, at 40 °C", group=group)
    if name in ADJUSTERS:
        return slider(name, group=group, **_volume_ends(name))
    row = FITTINGS[name]
    start = bench_reading(school_machine(), name)
    return Control(name, row.label, row.unit, row.low, row.high, row.step, start, row.more, group=group)


def _can(name: str) -> str:
    return f"{name.replace('-', ' ')}, {with_unit(SHELF[name].viscosity_40, 'mm**2/s', 1)}"


def _volume_ends(name: str) -> dict:
    """Ends of the oil's volume are a leg's own: whole cubic centimetres within them."""
    if name != "oil_volume":
        return {}
    low, high = sorted(from_si(end, "cm**3") for end in ADJUSTERS[name].ends(school_machine().legs[0]))
    return {"low": 5.0 * -(-low // 5), "high": 5.0 * (high // 5)}


@dataclass(frozen=True)
class Home:
    """Where something stands on a machine as it came: exactly, and on the raster of its slider."""

    exact: float | str
    shown: float | str


def home_of(values) -> dict[str, Home]:
    """Where what can be turned, of the names in `values`, stands on the machine that is named there."""
    everything = _homes(chosen_machine(values["machine"]))
    return {name: everything[name] for name in values if name in everything}


def off_the_slider(name: str, at: Home) -> bool:
    """Whether something stands beyond an end of its slider.

    >>> off_the_slider("rider_mass", Home(130.0, 115.0)), off_the_slider("rider_mass", Home(82.2, 82.0))
    (True, False)
    """
    control = control_of(name)
    return isinstance(control, Control) and abs(at.exact - at.shown) > 0.51 * control.step  # half a step lies beside it


def shown_as(name: str, value: float) -> str:
    """A value as its slider would show it.

    >>> shown_as("coil_rate", 6.2)
    '6.20 N/mm'
    """
    control = control_of(name).described()
    return readable(f"{value:.{control['decimals']}f}", control["unit"])


@lru_cache(16)
def _homes(machine: Machine) -> dict[str, Home]:
    found = {name: Home(AS_IT_CAME, AS_IT_CAME) for name in CHOSEN}
    for name in ON_THE_BENCH:
        if name not in CHOSEN and bench_has(machine, name):
            exact = bench_reading(machine, name)
            found[name] = Home(exact, nearest_stop(control_of(name), exact))
    return found
