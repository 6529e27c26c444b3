"""A sample of every argument that a public function of the rooms of physics takes, by its name or what it is."""

import numpy as np

from suspedu.damper import Clearance, explained, fluid_at, sine_loop, stock_damper
from suspedu.machine import load
from suspedu.machine.riding import fork_law, ride, vehicle
from suspedu.parts.oil import Oil
from suspedu.parts.shim_stacks import Port, Shim, Stack
from suspedu.parts.shim_stacks.contact import contact_stack
from suspedu.parts.shim_stacks.layers import layers
from suspedu.parts.shim_stacks.plate import pressure_load, radial_mesh
from suspedu.parts.shim_stacks.stretch import ThinPlate
from suspedu.parts.wheel_end import TelescopicFork
from suspedu.ride.flights import flat_landing
from suspedu.ride.ground import ground_over_time
from suspedu.ride.linear import LinearVehicle
from suspedu.ride.linear_rider import LinearRider
from suspedu.ride.rider import RiderOnLegs
from suspedu.ride.search import Aim, Range
from suspedu.ride.simulate import start_state
from suspedu.ride.terrain import flat, square_edge

MACHINE, DAMPER, OIL = load("enduro"), stock_damper("closed cartridge"), Oil(15e-6, 3.5e-6)
LEG, FLUID = MACHINE.legs[0], fluid_at(313.15, OIL)
STACK, PORT = Stack((Shim(0.020, 2e-4), Shim(0.016, 1e-4)), 0.010), Port(0.012, 0.018)
RADII = np.array([0.005, 0.006, 0.009, 0.010])
NODES = radial_mesh((4.5e-3, 9e-3), 4)
PLATE = ThinPlate(NODES, 1.5e-4, 206e9, 0.3, (0, 1, 2 * len(NODES)))
TWO = np.array([[2.0, 1.0], [1.0, 2.0]])
VEHICLE, FORK, RIDE = vehicle(MACHINE), fork_law(MACHINE), ride(MACHINE, "square edge")


def several(low, high, count=5):
    return np.linspace(low, high, count)


BY_NAME = {  # an array wherever a law takes one, so that it could be written into
    "acceleration": several(-3, 3, 200), "active_coils": several(20, 30), "aim": Aim("a"),
    "aims": (Aim("a"), Aim("b", "more")), "air_fraction": 0.01, "air_pressure": 1e5, "amplitude": 0.02,
    "area": several(1e-7, 1e-6), "base_pressure": 3e5, "body": True, "breaks": (0.005, 0.009, 0.010),
    "budget": 8, "changes": {}, "clicks": np.arange(5), "compliance": TWO, "compression_speed": 2.0,
    "cone_angle": 0.5, "couple": several(-300, 300), "cross_force": several(-300, 500), "bushing_load": 800.0,
    "braking_force": several(0, 800), "contact_length": 0.09, "costs": np.array([[1.0, 2.0], [2.0, 1.0], [3.0, 3.0]]),
    "density": 850.0, "depth": 0.2, "diameter": several(1e-3, 3e-3), "drop_height": 0.0, "elements": 3,
    "fork": FORK, "forks": [FORK], "found": layers(STACK), "frequency": several(0.5, 20), "gap": several(1e-5, 1e-4),
    "height": several(0.0, 0.05, 200), "index": several(4, 12),
    "inner": 0.006, "intensity": 1e-5, "keep": float, "kinematic_viscosity": 1e-5, "last_click": 24,
    "length": 10.0, "lift": several(0, 5e-4), "load": several(1e3, 2e3), "low": 0.1,
    "high": 10.0, "mean_diameter": 0.036, "mean_roughness": 1e-3, "measure": None, "name": "preload",
    "name_or_path": "trail", "names": ("harshness",), "outer": 0.009, "oil": OIL, "path": Clearance(0.024, 2e-5, 8e-3),
    "pitch": 5e-5, "places": [0.0, 1.0, 2.0], "points": 21, "poisson": 0.3, "peak_speed": several(0.5, 2),
    "pressure": 5e5, "pressure_abs": several(1e5, 1e6), "pressure_drop": several(0, 1e6), "problem": None,
    "pulled": several(0, 1e3), "radii": RADII, "radius": 0.009, "ranges": [Range("x", 0, 4), Range("y", 0, 4)],
    "rate": 1000.0, "rebound": DAMPER.rebound, "rebound_speed": 1.0, "ride": RIDE, "rider_mass": several(60, 90),
    "rigidity": 0.15, "ring_area": DAMPER.ring_area, "roughness_class": "D", "seat_diameter": 3e-3, "seed": 1,
    "shear_modulus": 79.5e9, "slack": np.array([-1.0, 1.0]), "slack_rate": np.array([-1.0, 1.0]),
    "speed": 5.0, "speeds": several(0.5, 4), "squash": several(0, 0.02), "squash_rate": several(-1, 1),
    "step": 0.005, "steps": 1.0,
    "squeeze": several(0, 0.5), "stock": "damping rod", "strokes": several(0, 0.28), "stroke": several(0.01, 0.28),
    "target_sag": 0.09, "target_rider_sag": 0.09, "target_free_sag": 0.03, "temperature": 313.15,
    "temperatures": (313.15, 373.15), "terrain": square_edge(), "terrains": ["square edge"],
    "thickness": several(1e-4, 3e-4), "through": several(0, 1e-4), "time": several(0, 0.1),
    "touching": np.array([True, False]), "travel": 0.3, "unknowns": np.arange(8.0),
    "value": 0.008, "vehicle": VEHICLE, "vehicles": [VEHICLE], "velocities": several(-2, 2), "velocity": several(-2, 2),
    "viscosities": (15e-6, 3.5e-6), "viscosity_100": several(3e-6, 9e-6), "viscosity_40": several(15e-6, 60e-6),
    "volume": 1e-3, "volume_ratio": several(1, 3), "wetted_perimeter": 6e-3, "wire": several(4e-3, 5e-3),
    "young": 206e9, "exponent": 1.2, "ground_load": several(800, 1500), "axial_load": several(700, 1300),
    "machine": MACHINE, "machines": [MACHINE, load("trail")], "edges": several(0, 4), "ground": None, "adjusters": None,
    "flow": several(0, 1e-4), "force": several(100, 1300), "instant": 0, "setting": {}, "options": {},
    "on_shims": several(0, 1e6), "reservoir": 3e5, "width": 0.05, "job": float, "items": [1.0, 2.0],
}  # fmt: skip
BY_KIND = {
    "AirSpring": LEG.air, "Bumper": LEG.bumper, "Bushings": LEG.bushings, "CoilSpring": LEG.spring,
    "ContactStack": contact_stack(STACK, PORT, 3),
    "Damper": DAMPER, "EndStop": DAMPER.end_stop, "Fluid": FLUID, "Leg": LEG, "Machine": MACHINE,
    "Explanation": explained(0.1, 0.5, DAMPER, OIL),
    "LinearVehicle": LinearVehicle(250.0, 35.0, 60e3, 2e3, 150e3), "Loop": sine_loop(0.02, 1.0, DAMPER, OIL, points=41),
    "RiderOnLegs": RiderOnLegs(36.0), "ThinPlate": PLATE, "ShimPort": DAMPER.base.ports[0],
    "LinearRider": LinearRider(LinearVehicle(39.0, 15.0, 12e3, 1.5e3, 125e3), 36.0, 10.7e3, 500.0),
    "Port": PORT, "SealFriction": LEG.friction, "Stack": STACK,
    "TopOutSpring": LEG.top_out, "Tyre": MACHINE.tyre, "WheelEnd": TelescopicFork(0.45), "Valve": DAMPER.base,
}  # fmt: skip


def _toy(settings):
    return [{"a": values["x"], "b": values["y"] - values["x"] ** 2} for values in settings]


BY_PLACE = {  # where one name means something of its own
    ("stock_damper", "name"): "open cartridge", ("adjuster", "name"): "rebound", ("terrain", "name"): "log",
    ("iso_grade", "viscosity_40"): 15e-6, ("bore_resistance", "length"): several(1e-3, 5e-3),
    ("clearance_resistance", "length"): 5e-3, ("clearance_resistance", "diameter"): 0.02,
    ("polytropic_pressure", "pressure"): several(1e5, 2e5), ("polytropic_work", "pressure"): several(1e5, 2e5),
    ("broken_line", "value_and_rate"): lambda p: (min(p, 1.5), float(p < 1.5)),
    ("balance", "problem"): BY_KIND["ContactStack"], ("deflections", "problem"): BY_KIND["ContactStack"],
    ("deflections", "force"): np.ones(len(BY_KIND["ContactStack"].places)),
    ("clamped_deflection", "load"): np.eye(8)[6], ("stiffness", "rigidity"): several(0.1, 0.2, 3),
    ("stroke_walk", "time"): several(0, 1), ("loop_along", "stroke"): lambda t: 0.1 + 0.01 * np.sin(20 * t),
    ("loop_along", "velocity"): lambda t: 0.2 * np.cos(20 * t), ("sine_loop", "frequency"): 2.0,
    ("breakdown_rows", "explanation"): BY_KIND["Explanation"], ("loop_work", "loop"): BY_KIND["Loop"],
    ("force_table", "part"): "force", ("damping_table", "part"): "damping_force",
    ("tyre_envelope", "radius"): 0.345, ("tyre_envelope", "step"): 0.01, ("ground_path", "radius"): 0.345,
    ("ground_over_time", "radius"): 0.345, ("ground_over_time", "step"): 5e-4,
    ("random_profile", "step"): 0.05, ("laid", "shape"): lambda s: 0.01 * np.sin(s),
    ("run", "ground"): ground_over_time(square_edge(), 5.0, 0.345, 0.09, 5e-4),
    ("run", "state"): start_state(VEHICLE, FORK), ("simulate", "step"): 5e-4, ("simulate_many", "step"): 5e-4,
    ("simulate_many", "keep"): lambda ride: ride.stroke, ("best_setting", "measure"): _toy,
    ("trade_off", "measure"): _toy, ("at_rest", "force"): np.array([[-30.0, -15, 0, 15, 30]]),
    ("mean_stroke", "amplitude"): 0.03, ("let_go", "depth"): 0.2, ("sensitivity", "adjusters"): ["preload"],
    ("shear_stress", "wire"): several(4e-3, 5e-3), ("fastest_return", "stroke"): several(0.1, 0.28),
    ("responses", "v"): BY_KIND["LinearVehicle"], ("layers", "stack"): STACK, ("bore_area", "diameter"): 2e-3,
    ("whoops", "height"): 0.25, ("braking_bumps", "height"): 0.1, ("square_edge", "height"): 0.08,
    ("crash", "height"): 1.2, ("crash", "gap"): 7.5, ("crash", "speed"): 10.0, ("crash", "slope"): 0.25,
    ("flat", "length"): 60.0, ("square_edge", "length"): 60.0,
    ("simulate", "terrain"): flat(), ("simulate", "drop_height"): 0.3,
    ("tyre_envelope", "height"): several(0, 0.05, 200),
    ("warmed_temperature", "power"): 200.0, ("warmed_temperature", "capacity"): 3e3,
    ("warmed_temperature", "time"): several(0, 600), ("warmed_temperature", "loss"): 5.0,
    ("warmed_temperature", "surrounding"): 293.15, ("steering_trail", "rake"): several(0.4, 0.5),
    ("steering_trail", "radius"): 0.345, ("steering_trail", "offset"): 0.055,
    ("stretch_coefficient", "bore"): 4.5e-3, ("stretch_coefficient", "edge"): 9e-3,
    ("stretch_coefficient", "port"): (5.5e-3, 8e-3),
    ("large_deflection", "load"): 3e5 * pressure_load(NODES, 4.5e-3, 9e-3),
    ("touchdown", "terrain"): flat_landing(1.2), ("told", "terrain"): flat_landing(1.2),
    ("fits", "what"): "whoops", ("fits", "needed"): 40.0, ("fits", "run"): 64.0, ("rider_on_legs", "mass"): 36.0,
    ("counted", "value"): 3, ("counted", "low"): 1, ("counted", "high"): 40,
    ("spring_for_rider", "rider_mass"): 82.0, ("bands_met", "rider_mass"): 82.0,
}  # fmt: skip


def sample(function: str, parameter):
    """What to call a function's parameter with; KeyError where no sample is known."""
    if (function, parameter.name) in BY_PLACE:
        return BY_PLACE[function, parameter.name]
    kind = str(parameter.annotation).rpartition(".")[2]
    return BY_KIND[kind] if kind in BY_KIND else BY_NAME[parameter.name]
