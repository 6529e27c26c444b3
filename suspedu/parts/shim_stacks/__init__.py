"""Shim stacks, at two levels of truth: all shims bent to one curve, and plates of spring steel free to part.

Read `conforming` first: one law, one page. `lift` is the law that the dampers use; behind it stand the plate (`plate`),
the stack as layers with gaps (`layers`), contact without glue (`complementarity`, `contact`), and the picture of a
stack as it bends (`bending`).
"""

from suspedu.parts.shim_stacks.bending import FATIGUE_LIMIT, BentStack, bent_stack
from suspedu.parts.shim_stacks.conforming import conforming_deflection, conforming_lift
from suspedu.parts.shim_stacks.lift import LiftCurve, lift_curve
from suspedu.parts.shim_stacks.shims import Port, Shim, Stack

__all__ = ["FATIGUE_LIMIT", "BentStack", "LiftCurve", "Port", "Shim", "Stack", "bent_stack", "conforming_deflection",
           "conforming_lift", "lift_curve"]
