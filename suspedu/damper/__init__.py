"""The damper, computed from oil and steel: valves, architectures, the end stop, loops, and explanations.

What a lesson or a neighbour needs of this room stands here. A new architecture gets its line here too: that is how the
reader of files learns its kind.
"""

from suspedu.changes import changed
from suspedu.damper.cartridges import ClosedCartridge, OpenCartridge
from suspedu.damper.circuit import VALVES, WAYS, Channel, Circuit, Damper, Reservoir, reservoir_pressure
from suspedu.damper.damping_rod import DampingRod
from suspedu.damper.end_stop import EndStop, engagement, refill_limit, refill_share, stop_drops, stop_force, stop_work
from suspedu.damper.explain import (
    VALVE_WORDS,
    Explanation,
    ValveState,
    breakdown_rows,
    breakdown_table,
    explained,
    margin_of,
    opening_speeds,
)
from suspedu.damper.fluid import Fluid, fluid_at
from suspedu.damper.forces import WARM, LegForce, force_table, leg_force, valve_drops
from suspedu.damper.gas import ForksAir, Pressuriser, gas_element, gas_energy, gas_force, gas_rate
from suspedu.damper.holding import Float, PreloadAdjuster
from suspedu.damper.loops import Loop, lag, loop_along, loop_work, sine_loop
from suspedu.damper.paths import Clearance, Hole, Needle
from suspedu.damper.ports import ShimPort
from suspedu.damper.quick_tables import quick_force_table
from suspedu.damper.stock import stock_damper
from suspedu.damper.stroke_walk import Walk, stroke_history, stroke_walk
from suspedu.damper.valves import (
    PathState,
    Valve,
    flow,
    openings,
    path_flow,
    path_states,
    pressure_drop,
)

__all__ = ["VALVES", "VALVE_WORDS", "WARM", "WAYS", "Channel", "Circuit", "Clearance", "ClosedCartridge", "Damper",
           "DampingRod", "EndStop", "Explanation", "Float", "Fluid", "ForksAir", "Hole", "LegForce", "Loop", "Needle",
           "OpenCartridge", "PathState", "PreloadAdjuster", "Pressuriser", "Reservoir", "ShimPort", "Valve",
           "ValveState", "Walk", "breakdown_rows", "breakdown_table", "changed", "engagement", "explained", "flow",
           "fluid_at", "force_table", "gas_element", "gas_energy", "gas_force", "gas_rate", "lag", "leg_force",
           "loop_along", "loop_work", "margin_of", "opening_speeds", "openings", "path_flow", "path_states",
           "pressure_drop", "quick_force_table", "refill_limit", "refill_share", "reservoir_pressure", "sine_loop",
           "stock_damper", "stop_drops", "stop_force", "stop_work", "stroke_history", "stroke_walk", "valve_drops"]
