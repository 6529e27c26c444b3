"""The panels of the lessons, one call each."""

from suspedu.show.panels.damper.cutaway import cutaway
from suspedu.show.panels.damper.dampers import dampers
from suspedu.show.panels.damper.end_stop import end_stop, refill
from suspedu.show.panels.damper.rebound import pulled_down, rebound
from suspedu.show.panels.damper.shims import shim_stack, shim_stress
from suspedu.show.panels.damper.stack_force import stack_force
from suspedu.show.panels.damper.stroke_film import stroke_film
from suspedu.show.panels.damper.taper import taper
from suspedu.show.panels.damper.valves import base_valve, mid_valve
from suspedu.show.panels.oil.needle import needle
from suspedu.show.panels.oil.oil import cold_and_hot, oil_viscosity
from suspedu.show.panels.oil.restrictions import restriction
from suspedu.show.panels.rides.adjusters import adjusters
from suspedu.show.panels.rides.compromise import compromise
from suspedu.show.panels.rides.packing import packing
from suspedu.show.panels.rides.quarter_vehicle import damping_compromise, quarter_vehicle
from suspedu.show.panels.rides.ride import ride, shaft_speeds
from suspedu.show.panels.rides.terrain import terrain
from suspedu.show.panels.springs.air import air_spring
from suspedu.show.panels.springs.sag import sag
from suspedu.show.panels.springs.springs import coil_spring
from suspedu.show.panels.springs.whole_fork import whole_fork

__all__ = ["adjusters", "air_spring", "base_valve", "coil_spring", "cold_and_hot", "compromise", "cutaway", "dampers",
           "damping_compromise", "end_stop", "mid_valve", "needle", "oil_viscosity", "packing", "pulled_down",
           "quarter_vehicle", "rebound", "refill", "restriction", "ride", "sag", "shaft_speeds", "shim_stack",
           "shim_stress", "stack_force", "stroke_film", "taper", "terrain", "whole_fork"]
