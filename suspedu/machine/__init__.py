"""The machine: the one room where parts, damper and ride meet."""

from suspedu.machine.model import Chassis, Leg, Machine, Rider, Tyre, adjusted, load, names, refitted

__all__ = ["Chassis", "Leg", "Machine", "Rider", "Tyre", "adjusted", "load", "names", "refitted"]
