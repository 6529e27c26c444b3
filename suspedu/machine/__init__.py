"""The machine: the one room where parts, damper and ride meet."""

from suspedu.machine.model import Chassis, Leg, Machine, Rider, Tyre, adjusted, load, names, refitted
from suspedu.machine.riding import ride, ride_all, sensitivity

__all__ = ["Chassis", "Leg", "Machine", "Rider", "Tyre", "adjusted", "load", "names", "refitted", "ride",
           "ride_all", "sensitivity"]
