"""Panel on what another rebound stack does to a leg: where a stiffer stack is felt, and where it is not."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from suspedu.changes import changed
from suspedu.damper import Damper, leg_force, stock_damper
from suspedu.parts.shim_stacks import Shim, Stack
from suspedu.show.panel import Panel
from suspedu.show.panels.oil.oil import oil_of_index
from suspedu.show.view import Axes, Control, Curve, Mark, View

SPEEDS = np.concatenate([[0.0], np.geomspace(0.02, 2.0, 34)])
READ_AT = (0.05, 0.25, 1.0)  # m/s
WARM, OIL = 313.15, (16.0, 150.0)  # 40 degC; mm2/s at 40 degC and viscosity index
CONTROLS_STACK_FORCE = (
    Control("count", "Face shims of 18 mm", "", 1, 5, 1, 3, "as delivered: 3"),
    Control("thickness", "Their thickness", "mm", 0.10, 0.20, 0.05, 0.15, "as delivered: 0.15 mm"),
    Control("clamp", "Clamp diameter", "mm", 9, 10.5, 0.5, 9, "as delivered: 9 mm"),
    Control("clicks", "Rebound clicker", "clicks", 2, 24, 1, 12, "out from gently closed: more = softer"),
)
AXES_STACK_FORCE = (
    Axes("rebound velocity [m/s]", "damping force of one leg [N]", (0, 2), (0, 3000), "Rebound of one leg", share=1.2),
    Axes("rebound velocity [m/s]", "against the delivered stack [%]", (0.02, 2), (-50, 200), "Change",
         xscale="log", xticks=((0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1"))),
)  # fmt: skip


def view_stack_force(count, thickness, clamp, clicks) -> View:
    """Rebound force of the school's leg with other face shims [mm] and clamp [mm], beside the delivered stack."""
    before = rebound_force(stock_damper("closed cartridge"), int(clicks))
    after = rebound_force(restacked(int(count), thickness, clamp), int(clicks))
    change = 100.0 * (after[1:] / before[1:] - 1.0)
    at = {speed: (_at(before, speed), _at(after, speed)) for speed in READ_AT}
    marks = {speed: percent(*forces) for speed, forces in at.items()}
    items = (
        Curve("delivered", SPEEDS, before, 0, "second", "delivered"),
        Curve("yours", SPEEDS, after, 0, "main", "yours"),
        Curve("change", SPEEDS[1:], change, 1, "main"),
        Curve("none", SPEEDS[1:], np.zeros(len(change)), 1, "limit"),
        *(Mark(f"at {speed}", speed, mark, f"{mark:+.0f} %", 1) for speed, mark in marks.items()),
    )
    return View(items, _numbers(at), _sentence(at))


def restacked(count: int, thickness: float, clamp: float) -> Damper:
    """The school's closed cartridge with other face shims [mm] and clamp [mm] under its rebound valve."""
    cartridge = stock_damper("closed cartridge")
    port = cartridge.rebound.ports[0]
    behind = tuple(shim for shim in port.stack.shims if shim.diameter < port.stack.shims[0].diameter)
    face = (Shim(port.stack.shims[0].diameter, thickness * 1e-3),) * count
    stack = Stack((*face, *behind), clamp * 1e-3)
    return replace(cartridge, rebound=replace(cartridge.rebound, ports=(replace(port, stack=stack),)))


@lru_cache(maxsize=256)
def rebound_force(damper: Damper, clicks: int) -> np.ndarray:
    """Damping force [N] of one leg on rebound, over SPEEDS."""
    turned = changed(damper, "rebound.needle.clicks", clicks)
    return -leg_force(0.1, -SPEEDS, turned, oil_of_index(*OIL), WARM).damping_force


def _at(force, speed) -> float:
    return float(np.interp(speed, SPEEDS, force))


def percent(before, after) -> float:
    """Change in per cent."""
    return 100.0 * (after / before - 1.0)


def _numbers(at) -> tuple:
    forces = ((f"At {speed:g} m/s", f"{after:.0f} N") for speed, (_, after) in at.items())
    changes = ((f"Change at {speed:g} m/s", f"{percent(*forces):.0f} %") for speed, forces in at.items())
    return (*forces, *((label, text.replace("-0 ", "0 ")) for label, text in changes))


def _sentence(at) -> str:
    slow, middle, fast = (percent(*at[speed]) for speed in READ_AT)
    if max(map(abs, (slow, middle, fast))) < 0.05:
        return "This is the stack as it was delivered: swap shims, move the clamp, and read where the rebound changes."
    return (
        f"Against the delivered stack the rebound changes by {slow:+.0f} % at {READ_AT[0]:g} m/s, {middle:+.0f} % at "
        f"{READ_AT[1]:g} m/s and {fast:+.0f} % at {READ_AT[2]:g} m/s: the rider feels the stack mostly where the leg "
        "moves fast. Where it moves slowly, the clicker's hole carries the oil and the shims hardly open."
    )


def stack_force(**start) -> Panel:
    """The panel of another rebound stack in the school's leg; start values by name."""
    title = "Stiffer everywhere?"
    return Panel(view_stack_force, CONTROLS_STACK_FORCE, AXES_STACK_FORCE, title=title, start=start)
