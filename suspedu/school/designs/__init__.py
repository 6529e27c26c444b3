"""Tasks whose answer is a design: what it must reach, and the law that works it out, by the name of the task."""

from suspedu.school.designs import oil_ways
from suspedu.school.designs.design import Design, Number, Reached, Shims

DESIGNS: dict[str, Design] = oil_ways.DESIGNS

__all__ = ["DESIGNS", "Design", "Number", "Reached", "Shims"]
