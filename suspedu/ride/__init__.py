"""The ride: terrain, a quarter vehicle over it, and what came of it. Takes a fork's force laws as tables."""

from suspedu.ride.energy import energy_account
from suspedu.ride.engine import prepare
from suspedu.ride.flights import crash, flat_landing, slope_landing, touchdown
from suspedu.ride.ground import tyre_envelope
from suspedu.ride.linear import LinearVehicle
from suspedu.ride.outcomes import OUTCOMES, RideOutcome, bumper_from, outcomes
from suspedu.ride.profile import RUN_IN, STEP, Terrain
from suspedu.ride.rider import RiderOnLegs, rider_on_legs
from suspedu.ride.search import Aim, Limit, Range, best_setting, trade_off
from suspedu.ride.shares import SPEED_EDGES, heat_shares, speed_shares, stroke_shares
from suspedu.ride.simulate import Ride, simulate, simulate_many
from suspedu.ride.terrain import (
    TERRAINS,
    brake_dab,
    braking_bumps,
    dip,
    flat,
    hard_braking,
    log,
    rock_garden,
    rough_ground,
    square_edge,
    whoops,
)
from suspedu.ride.vehicle import ForkLaw, Vehicle, close_speeds
from suspedu.ride.weighting import weighting_gain

__all__ = [
    "OUTCOMES", "RUN_IN", "SPEED_EDGES", "STEP", "TERRAINS", "Aim", "ForkLaw", "Limit", "LinearVehicle", "Range",
    "Ride", "RideOutcome", "RiderOnLegs", "Terrain", "Vehicle", "best_setting", "brake_dab", "braking_bumps",
    "bumper_from", "close_speeds", "crash", "dip", "energy_account", "flat", "flat_landing", "hard_braking",
    "heat_shares", "log", "outcomes", "prepare", "rider_on_legs", "rock_garden", "rough_ground", "simulate",
    "simulate_many", "slope_landing", "speed_shares", "square_edge", "stroke_shares", "touchdown", "trade_off",
    "tyre_envelope", "weighting_gain", "whoops",
]  # fmt: skip
