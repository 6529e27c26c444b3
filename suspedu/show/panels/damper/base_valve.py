"""Panel on the base valve: what each of its two clickers reaches."""

from __future__ import annotations

from suspedu.school.valves import LANDS, PATHS, BaseValveTest, base_valve_test
from suspedu.show.declared import Declared
from suspedu.show.panels.setting import HIGH, LOW
from suspedu.show.panels.words import newtons, number, percent, so_many
from suspedu.show.view import Axes, Curve, Mark, View, band

CHOP, STEP, EDGE = 0.25, 1.0, 3.0
READ = (0.05, CHOP, STEP, EDGE)  # m/s at which forces are read
ROLES = dict(zip(PATHS, ("second", "main", "third"), strict=True))
MET = {1: "more force", -1: "less force", 0: "much the same force"}


def view_base_valve(compression_low, compression_high) -> View:
    """Compression of one leg over velocity for both clickers [clicks out], and the base valve's shares of flow."""
    test = base_valve_test(int(compression_low), int(compression_high))
    between = [100.0 * edge for edge in test.edges]
    areas = [(name, test.shares[name].x, *edges)
             for name, *edges in zip(PATHS, between[:-1], between[1:], strict=True)]  # fmt: skip
    narrow, wide = test.land_span
    items = (
        band("lands", narrow.x, narrow.y, wide.y, axes=0, role="main", tint=0.15),
        Curve("force", test.force.x, test.force.y, 0, "main"),
        *(Mark(f"opens {name}", speed, test.force.at(speed), f"{name} open", 0, ROLES[name])
          for name, speed in test.opens.items()),
        *(band(f"share {name}", x, low, high, axes=1, role=ROLES[name], tint=0.3) for name, x, low, high in areas),
        *(Curve(f"edge {name}", x, (low + high) / 2, 1, ROLES[name], name, 0.01) for name, x, low, high in areas),
    )  # fmt: skip
    return View(items, _numbers(test), f"{_sentence(test, compression_low, compression_high)} {_of_lands(test)}")


def _numbers(test: BaseValveTest) -> tuple:
    return (
        *((f"Force at {speed:g} m/s", newtons(test.force.at(speed))) for speed in READ),
        ("Low-speed shims open at", f"{test.opens['low-speed']:.2f} m/s"),
        ("High-speed shims open at", f"{test.opens['high-speed']:.2f} m/s"),
    )


def _sentence(test: BaseValveTest, low, high) -> str:
    change = {speed: test.against_school(speed) for speed in READ}
    start = f"{so_many(low, 'clicks')} out at low speed and {high:g} at high speed"
    if max(map(abs, change.values())) < 0.005:  # less is not printed
        return f"{start}: the school's setting, with which the others are compared."
    told = ", ".join(f"{percent(value, sign='+')} % at {speed:g} m/s" if abs(value) >= 0.005 else
                     f"the same at {speed:g} m/s" for speed, value in change.items())  # fmt: skip
    return (f"{start}: against the school's setting the force is {told}. A dive ({CHOP:g} m/s) meets "
            f"{MET[test.felt(CHOP)]}, a fast bump ({EDGE:g} m/s) {MET[test.felt(EDGE)]}; how much of that reaches the "
            "hands, only a ride tells.")


def _of_lands(test: BaseValveTest) -> str:
    """How far the force may lie off, since nobody prints how wide the lands are."""
    least, most = (number(land, "mm", 1) for land in LANDS)
    narrow, wide = test.land_span
    changes = [percent(wide.at(speed) / narrow.at(speed) - 1.0, 1, "+") for speed in (CHOP, STEP)]
    return (f"Nobody prints how wide the lands are that the shims lie on: from {least} to {most} mm, the pale band, it "
            f"would change by {changes[0]} % at {CHOP:g} m/s and {changes[1]} % at {STEP:g} m/s.")


BASE_VALVE = Declared(
    id="base-valve", title="Two clickers, one valve", controls=(LOW, HIGH), view=view_base_valve, inside=("force",),
    axes=(Axes("velocity of the leg [m/s]", "compression of one leg [N]", (0, 3.2), (0, 1100), "Damping force"),
          Axes("velocity of the leg [m/s]", "share of the base valve's oil [%]", (0.01, 4), (0, 100),
               "Where the oil goes", xscale="log",
               xticks=((0.01, "0.01"), (0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"), (3, "3")))))  # fmt: skip
