"""The damper, computed from oil and steel: valves, three architectures, the end stop, loops, and explanations."""

from suspedu.damper.architectures import (
    ClosedCartridge,
    Damper,
    DampingRod,
    OpenCartridge,
    stock_damper,
)
from suspedu.damper.explain import breakdown_table, explained, opening_speeds
from suspedu.damper.forces import force_table, leg_force

__all__ = ["ClosedCartridge", "Damper", "DampingRod", "OpenCartridge", "breakdown_table", "explained", "force_table",
           "leg_force", "opening_speeds", "stock_damper"]
