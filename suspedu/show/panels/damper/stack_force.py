"""Panel on what another rebound stack does to a leg: where a stiffer stack is felt, and where it is not."""

from __future__ import annotations

import numpy as np

from suspedu.school.stacks import delivered, rebound_tables
from suspedu.show.declared import Declared
from suspedu.show.panels.words import newtons, percent
from suspedu.show.view import Axes, Control, Curve, Mark, View, roofed

READ_AT = (0.05, 0.25, 1.0)  # m/s
BUILT = delivered()


def view_stack_force(count, thickness, clamp, clicks) -> View:
    """Rebound force of the school's leg with other face shims [mm] and clamp [mm], beside the delivered stack."""
    before, after = rebound_tables(int(count), thickness, clamp, int(clicks))
    forces = {speed: after.at(speed) for speed in READ_AT}
    changes = {speed: force / before.at(speed) - 1.0 for speed, force in forces.items()}
    change = after.against(before)
    items = (
        Curve("delivered", before.x, before.y, 0, "second", "delivered"),
        Curve("yours", after.x, after.y, 0, "main", "yours"),
        Curve("change", change.x, 100.0 * change.y, 1, "main"),
        Curve("none", change.x, np.zeros(len(change.x)), 1, "limit"),
        *(Mark(f"at {speed}", speed, 100.0 * share, f"{percent(share, sign='+')} %", 1)
          for speed, share in changes.items()),
    )  # fmt: skip
    numbers = (
        *((f"At {speed:g} m/s", newtons(force)) for speed, force in forces.items()),
        *((f"Change at {speed:g} m/s", f"{percent(share)} %".replace("-0 ", "0 ")) for speed, share in changes.items()),
    )
    left, right = STACK_FORCE.axes
    return View(items, numbers, _sentence(changes),
                (roofed(left, max(before.y.max(), after.y.max()), 1000, 2000, 3000), right))


def _sentence(changes) -> str:
    if max(map(abs, changes.values())) < 0.0005:
        return "This is the stack as it was delivered: swap shims, move the clamp, and read where the rebound changes."
    slow, middle, fast = (f"{percent(share, sign='+')} % at {speed:g} m/s" for speed, share in changes.items())
    return (
        f"Against the delivered stack the rebound changes by {slow}, {middle} and {fast}: the rider feels the stack "
        "mostly where the leg moves fast. Where it moves slowly, the clicker's hole carries the oil and the shims "
        "hardly open."
    )


STACK_FORCE = Declared(
    id="stack-force", title="Stiffer everywhere?", view=view_stack_force,
    controls=(Control("count", f"Face shims of {BUILT.diameter:g} mm", "", 1, BUILT.count + 2, 1, BUILT.count,
                      f"as delivered: {BUILT.count}"),
              Control("thickness", "Their thickness", "mm", round(BUILT.thickness - 0.05, 2),
                      round(BUILT.thickness + 0.1, 2), 0.05, BUILT.thickness,
                      f"as delivered: {BUILT.thickness:.2f} mm"),
              Control("clamp", "Clamp diameter", "mm", BUILT.clamp, BUILT.widest_clamp, 0.5, BUILT.clamp,
                      f"as delivered: {BUILT.clamp:g} mm"),
              Control("clicks", "Rebound clicker", "clicks", 2, 24, 1, 12, "out from gently closed: more = softer")),
    axes=(Axes("rebound velocity [m/s]", "damping force of one leg [N]", (0, 2), (0, 3000), "Rebound of one leg",
               share=1.2),
          Axes("rebound velocity [m/s]", "against the delivered stack [%]", (0.02, 2), (-50, 200), "Change",
               xscale="log", xticks=((0.03, "0.03"), (0.1, "0.1"), (0.3, "0.3"), (1, "1")))))  # fmt: skip
