"""The machine: the one room where parts, damper and ride meet."""

from suspedu.machine.adjusters import ADJUSTERS, Adjuster, adjuster, charted, clickers
from suspedu.machine.cautions import pressure_caution, tube_pressures
from suspedu.machine.changing import adjusted, change, has, range_of, refitted, setting, turned
from suspedu.machine.coming_back import let_go, mean_stroke, pull, rebound_damping_ratio, rest_stroke, time_constant
from suspedu.machine.damping import damped_leg, damping_table, explained_leg
from suspedu.machine.fitted import FittedDamper
from suspedu.machine.forces import (
    bottom_out_force,
    energy_split,
    force_curve,
    force_split,
    fork_force,
    fork_rate,
    leg_split,
    rate_split,
    stored_work,
)
from suspedu.machine.friction import breakaway_friction, fork_friction
from suspedu.machine.model import Chassis, Leg, Machine, Rider, Tyre, load, names
from suspedu.machine.riding import Sensitivity, fork_law, ride, ride_all, sensitivity, vehicle
from suspedu.machine.spring_bands import SpringChoice, energy_per_kilogram, spring_for_rider
from suspedu.machine.spring_choice import rate_for_rider, spring_for_sags
from suspedu.machine.statics import (
    fork_load,
    free_sag,
    front_load,
    hanging_stroke,
    resting_stroke,
    rider_sag,
    riding_split,
    sag_band,
    sag_per_preload,
    share_of_travel,
    static_stroke,
)
from suspedu.machine.steering import steering_trail

__all__ = [
    "ADJUSTERS", "Adjuster", "Chassis", "FittedDamper", "Leg", "Machine", "Rider", "Sensitivity", "SpringChoice",
    "Tyre", "adjusted", "adjuster", "bottom_out_force", "breakaway_friction", "change", "charted", "clickers",
    "damped_leg", "damping_table", "energy_per_kilogram", "energy_split", "explained_leg", "force_curve", "force_split",
    "fork_force", "fork_friction", "fork_law", "fork_load", "fork_rate", "free_sag", "front_load",
    "hanging_stroke", "has", "leg_split", "let_go", "load", "mean_stroke", "names", "pressure_caution", "pull",
    "range_of", "rate_for_rider", "rate_split", "rebound_damping_ratio", "refitted", "rest_stroke",
    "resting_stroke", "ride", "ride_all", "rider_sag", "riding_split", "sag_band", "sag_per_preload",
    "sensitivity", "setting", "share_of_travel", "spring_for_rider", "spring_for_sags", "static_stroke",
    "steering_trail", "stored_work", "time_constant", "tube_pressures", "turned", "vehicle",
]  # fmt: skip
