"""A shim stack that lifts as wanted at two pressures, and lasts."""

from __future__ import annotations

from suspedu.parts.shim_stacks import Port, Shim, Stack, bent_stack, lift_curve
from suspedu.school.designs.design import Design, Reached, Shims, Values, near

PORT, CLAMP = Port(0.012, 0.018), 0.010  # m
DRAWER = (0.1, 0.15, 0.2, 0.25, 0.3)  # mm
SHARE = 0.06  # of the lift, either way (guess of the course)


def _two_lifts(design: Values, given: Values) -> tuple[Reached, ...]:
    """Lift at the rim at a low and at a high pressure, and the share of the fatigue limit at the high one."""
    stack = Stack(tuple(Shim(wide / 1e3, thick / 1e3) for wide, thick in design["stack"]), CLAMP)
    lift, high = lift_curve(stack, PORT), given["high_pressure"]
    lifts = {way: 1e3 * float(lift(given[f"{way}_pressure"] * 1e5)) for way in ("low", "high")}
    borne = 100 * bent_stack(stack, PORT, high * 1e5).fatigue_share
    return (*(near(f"the lift at {given[f'{way}_pressure']:g} bar", lifts[way], given[f"{way}_lift"], SHARE, "mm", 4)
              for way in lifts), Reached("the share of the fatigue limit", borne, high=100.0, unit="percent", digits=0))


DESIGNS = {"two-lifts": Design((Shims("stack", 10.0, 20.0, DRAWER, 20),), _two_lifts)}
