"""Shim stacks: plates of spring steel on a clamp, bent by pressure, free to part, at two levels of truth."""

from suspedu.parts.shim_stacks.bending import FATIGUE_LIMIT, BentStack, bent_stack
from suspedu.parts.shim_stacks.lift import LiftCurve, conforming_deflection, lift_curve
from suspedu.parts.shim_stacks.shims import Port, Shim, Stack

__all__ = ["FATIGUE_LIMIT", "BentStack", "LiftCurve", "Port", "Shim", "Stack", "bent_stack", "conforming_deflection",
           "lift_curve"]
