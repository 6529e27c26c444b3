"""The machine: the one room where parts, damper and ride meet."""

from suspedu.machine.adjusters import ADJUSTERS, Adjuster
from suspedu.machine.changing import adjusted, change, has, range_of, refitted, setting, turned
from suspedu.machine.fitted import FittedDamper
from suspedu.machine.model import Chassis, Leg, Machine, Rider, Tyre, load, names
from suspedu.machine.riding import ride, ride_all, sensitivity

__all__ = ["ADJUSTERS", "Adjuster", "Chassis", "FittedDamper", "Leg", "Machine", "Rider", "Tyre", "adjusted", "change",
           "has", "load", "names", "range_of", "refitted", "ride", "ride_all", "sensitivity", "setting", "turned"]
