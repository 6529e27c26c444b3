"""The panels of the lessons, by name: `panels.bench(preload=6)` is a live one.

One line each: the declaration under the name by which lessons call it. Nothing is drawn before it is called.
"""

# ruff: noqa: F401, N811
from suspedu.show.declared import Declared
from suspedu.show.panels.bench_parts.bench import BENCH as bench
from suspedu.show.panels.damper.base_valve import BASE_VALVE as base_valve
from suspedu.show.panels.damper.cutaway import CUTAWAY as cutaway
from suspedu.show.panels.damper.damper_test import DAMPER_TEST as damper_test
from suspedu.show.panels.damper.dampers import DAMPERS as dampers
from suspedu.show.panels.damper.end_stop import END_STOP as end_stop
from suspedu.show.panels.damper.mid_valve import MID_VALVE as mid_valve
from suspedu.show.panels.damper.pulled_down import PULLED_DOWN as pulled_down
from suspedu.show.panels.damper.pushed_loop import PUSHED_LOOP as pushed_loop
from suspedu.show.panels.damper.rebound import REBOUND_PANEL as rebound
from suspedu.show.panels.damper.refill import REFILL as refill
from suspedu.show.panels.damper.shim_stack import SHIM_STACK as shim_stack
from suspedu.show.panels.damper.shim_stress import SHIM_STRESS as shim_stress
from suspedu.show.panels.damper.stroke_film import STROKE_FILM as stroke_film
from suspedu.show.panels.damper.taper import TAPER as taper
from suspedu.show.panels.damper.velocity_window import VELOCITY_WINDOW as velocity_window
from suspedu.show.panels.oil.cold_and_hot import COLD_AND_HOT as cold_and_hot
from suspedu.show.panels.oil.needle import BENCH_NEEDLE as needle
from suspedu.show.panels.oil.restriction import RESTRICTION as restriction
from suspedu.show.panels.oil.viscosity import OIL_VISCOSITY as oil_viscosity
from suspedu.show.panels.quality.force_spread import FORCE_SPREAD as force_spread
from suspedu.show.panels.quality.quality_chain import QUALITY_CHAIN as quality_chain
from suspedu.show.panels.quality.sampling_plan import SAMPLING_PLAN as sampling_plan
from suspedu.show.panels.rides.adjusters import ADJUSTERS_PANEL as adjusters
from suspedu.show.panels.rides.compromise import COMPROMISE as compromise
from suspedu.show.panels.rides.damping_compromise import DAMPING_COMPROMISE as damping_compromise
from suspedu.show.panels.rides.packing import PACKING as packing
from suspedu.show.panels.rides.quarter_vehicle import QUARTER_VEHICLE as quarter_vehicle
from suspedu.show.panels.rides.shaft_speeds import SHAFT_SPEEDS as shaft_speeds
from suspedu.show.panels.rides.terrain import TERRAIN as terrain
from suspedu.show.panels.springs.air_spring import AIR_SPRING as air_spring
from suspedu.show.panels.springs.bushings import BUSHINGS as bushings
from suspedu.show.panels.springs.oil_filled import OIL_FILLED as oil_filled
from suspedu.show.panels.springs.sag import SAG as sag
from suspedu.show.panels.springs.whole_fork import WHOLE_FORK as whole_fork
from suspedu.show.panels.upgrades.frontiers import FRONTIERS as frontiers
from suspedu.show.panels.upgrades.revalve import REVALVE as revalve

PANELS = {panel.id: panel for panel in list(globals().values()) if isinstance(panel, Declared)}
