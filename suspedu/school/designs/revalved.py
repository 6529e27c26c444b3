"""A rebound stack built anew: as much firmer as wanted where it is quick, as it was where it is slow, and as high."""

from __future__ import annotations

from collections.abc import Sequence

from suspedu.changes import changed
from suspedu.damper import stock_damper
from suspedu.numerics import remembered
from suspedu.parts.shim_stacks import Shim, Stack
from suspedu.school.designs.design import Design, Reached, Shims, Values, near
from suspedu.school.legs import MIDDLE, leg_forces, with_port
from suspedu.units import from_si

DRAWER = (0.1, 0.15, 0.2, 0.25, 0.3)  # mm
CLAMP, SLOW = 0.008, 0.05  # m; m/s
SHARE, SLOW_SHARE, ROOM = 0.02, 0.15, 0.5  # of the forces; mm of height (guess of the course)


def came_with() -> list[tuple[float, float]]:
    """The shims of the open cartridge's rebound stack as it came, from the face: diameter and thickness [mm].

    >>> came_with()[0], len(came_with())
    ((21.0, 0.2), 11)
    """
    stack = stock_damper("open cartridge").rebound.ports[0].stack
    return [tuple(round(float(from_si(size, "mm")), 3) for size in (shim.diameter, shim.thickness))
            for shim in stack.shims]


def rebound_at(shims: Sequence[tuple[float, float]], clicks: float, speed: float) -> float:
    """Rebound force of one leg of the school's open cartridge with other shims [N].

    Parameters: shims from the face, each diameter and thickness [mm]; clicks of rebound [out]; speed [m/s].

    >>> round(rebound_at(came_with(), 12, 1.0), -1)
    450.0
    """
    return _rebound_at(tuple(map(tuple, shims)), int(clicks), float(speed))


@remembered(size=512)
def _rebound_at(shims: tuple, clicks: int, speed: float) -> float:
    stack = Stack(tuple(Shim(wide / 1e3, thick / 1e3) for wide, thick in shims), CLAMP)
    damper = with_port(changed(stock_damper("open cartridge"), "rebound.needle.clicks", clicks), "rebound", stack=stack)
    return -float(leg_forces(MIDDLE, -speed, damper).damping_force)


def _firmer_when_quick(design: Values, given: Values) -> tuple[Reached, ...]:
    """Forces at a quick and at a slow speed against those of the stack as it came, and the height."""
    built, old, clicks, quick = design["stack"], came_with(), given["clicks"], given["quick"]
    wanted = rebound_at(old, clicks, quick) * (1.0 + given["firmer"] / 100.0)
    height = round(sum(thick for _, thick in old), 6)
    return (near(f"the force at {quick:g} m/s", rebound_at(built, clicks, quick), wanted, SHARE, "N", 0),
            near(f"the force at {SLOW:g} m/s", rebound_at(built, clicks, SLOW), rebound_at(old, clicks, SLOW),
                 SLOW_SHARE, "N", 1),
            Reached("the height", round(sum(thick for _, thick in built), 6), height - ROOM, height + ROOM, "mm", 2))


DESIGNS = {"firmer-when-quick": Design((Shims("stack", 10.0, 21.0, DRAWER, 20),), _firmer_when_quick)}
