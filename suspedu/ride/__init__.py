"""The ride: terrain, a quarter vehicle over it, and what came of it. Takes a fork's force laws as tables."""

from suspedu.ride.energy import energy_account
from suspedu.ride.engine import prepare
from suspedu.ride.ground import tyre_envelope
from suspedu.ride.linear import LinearVehicle
from suspedu.ride.outcomes import (
    OUTCOMES,
    SPEED_EDGES,
    RideOutcome,
    bumper_from,
    heat_shares,
    outcomes,
    speed_shares,
    stroke_shares,
)
from suspedu.ride.search import Aim, Limit, Range, best_setting, trade_off
from suspedu.ride.simulate import Ride, simulate, simulate_many
from suspedu.ride.terrain import (
    RUN_IN,
    STEP,
    TERRAINS,
    Terrain,
    braking_bumps,
    flat,
    hard_braking,
    jump,
    log,
    rock_garden,
    rough_ground,
    square_edge,
    whoops,
)
from suspedu.ride.vehicle import ForkLaw, Vehicle
from suspedu.ride.weighting import weighting_gain

__all__ = ["OUTCOMES", "RUN_IN", "SPEED_EDGES", "STEP", "TERRAINS", "Aim", "ForkLaw", "Limit", "LinearVehicle",
           "Range", "Ride", "RideOutcome", "Terrain", "Vehicle", "best_setting", "braking_bumps", "bumper_from",
           "energy_account", "flat", "hard_braking", "heat_shares", "jump", "log", "outcomes", "prepare",
           "rock_garden", "rough_ground", "simulate", "simulate_many", "speed_shares", "square_edge", "stroke_shares",
           "trade_off", "tyre_envelope", "weighting_gain", "whoops"]
