"""Tasks whose answer is a design: what it must reach, and the law that works it out, by the name of the task."""

from suspedu.school.designs import clickers, fronts, oil_ways, plans, revalved, rides, stacks, stand, windows
from suspedu.school.designs.design import Design, Must, Number, Reached, Shims
from suspedu.school.designs.revalved import came_with, rebound_at
from suspedu.school.designs.stand import measures, stand_says

DESIGNS: dict[str, Design] = (oil_ways.DESIGNS | stacks.DESIGNS | clickers.DESIGNS | rides.DESIGNS | fronts.DESIGNS
                              | stand.DESIGNS | revalved.DESIGNS | plans.DESIGNS
                              | windows.DESIGNS)

__all__ = ["DESIGNS", "Design", "Must", "Number", "Reached", "Shims", "came_with", "measures", "rebound_at",
           "stand_says"]
