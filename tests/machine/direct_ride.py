"""A ride integrated straight from the laws of the parts: no table, no loop of our own.

By hand: python tests/machine/direct_ride.py     (some two minutes)
Rides five grounds in the coldest oil with every clicker one click out, and prints how far the ride is off the law; it
ends with code 1 where that is more than 1.5 mm at worst or 0.3 mm r.m.s. The tests take two grounds, where it matters.
"""

from __future__ import annotations

import sys

import numpy as np
from scipy.integrate import solve_ivp

from suspedu.machine import adjusted, load
from suspedu.machine.damping import damped_leg
from suspedu.machine.friction import friction_levels
from suspedu.machine.riding import ride, vehicle
from suspedu.machine.statics import riding_split
from suspedu.parts.friction import friction_shape
from suspedu.parts.stops import bumper_force, top_out_force
from suspedu.parts.tyre import contact_length, tyre_force
from suspedu.ride.flights import flat_landing
from suspedu.ride.ground import ground_path
from suspedu.ride.terrain import hard_braking, log, square_edge, whoops
from suspedu.units import STANDARD_GRAVITY

WORST, USUAL = 1.5e-3, 0.3e-3  # m


def law_of(machine, done):
    """Right-hand side of a ride, straight from the laws of the parts: no table, no loop; its own ground and brake."""
    bike, leg, end, ground = vehicle(machine), machine.legs[0], machine.wheel_end, done.ground
    slope, body = 1 / float(end.motion_ratio(0.0)), bike.rider
    path = ground_path(done.terrain, bike.tyre.radius, float(contact_length(bike.weight, bike.tyre)))
    climb, halves = path.derivative(), np.arange(len(ground.height)) * ground.step / 2
    pace = np.gradient(ground.distance, ground.step / 2)

    def motion(time, state):
        chassis, upward, wheel, wheel_upward, rider, rider_upward = state
        s, speed, slowing = (np.interp(time, halves, each) for each in (ground.distance, pace, ground.slowing))
        x, v = (wheel - chassis) * slope, (wheel_upward - upward) * slope
        load = float(tyre_force(path(s) - wheel, climb(s) * speed - wheel_upward, bike.tyre))
        inside = np.clip(x, 0.0, machine.travel)
        split = riding_split(machine, inside)
        elastic = float(split.coil + split.air + split.gas) + 2 * float(
            bumper_force(x, machine.travel, leg.bumper, v) + top_out_force(x, leg.top_out))
        oil = damped_leg(leg, inside, v)
        level = sum(friction_levels(machine, inside, load, bike.front_braking * slowing, None))
        force = elastic + 2 * float(oil.damping_force + oil.stop_force) + level * float(friction_shape(v, leg.friction))
        limbs = body.rate * (chassis - rider) + body.damping * (upward - rider_upward)
        between = force * slope - bike.brake_jacking * slowing
        return (upward, (between - limbs - bike.load_transfer * slowing) / bike.sprung_mass - STANDARD_GRAVITY,
                wheel_upward, (load - between) / bike.unsprung_mass - STANDARD_GRAVITY, rider_upward,
                limbs / body.mass - STANDARD_GRAVITY)

    return motion


GROUNDS = {"square edge": square_edge(length=10.0), "log": log(length=8.0), "whoops": whoops(count=2, length=16.0),
           "hard braking": hard_braking(7.0, 9.0, 4.0), "flat landing": flat_landing(0.9)}


def off_the_law(name: str, start: float = 0.0, end: float = 1.1) -> tuple[float, float]:
    """How far a ride's stroke is off the law, at worst and r.m.s. [m], from a moment of it to another [s].

    Coldest oil, every clicker one click out; LSODA of scipy, from the state that the ride had at the start.
    """
    cold = adjusted(load("enduro"), compression_low=1, compression_high=1, rebound=1, oil_temperature=253.15)
    done = ride(cold, GROUNDS[name])
    inside = np.flatnonzero((done.time >= start) & (done.time < end))
    time, first = done.time[inside], done.record[inside[0], :6]
    direct = solve_ivp(law_of(cold, done), (time[0], time[-1]), first, method="LSODA", rtol=1e-5, atol=1e-6,
                       t_eval=time, max_step=5e-3)
    off = (direct.y[2] - direct.y[0]) / float(cold.wheel_end.motion_ratio(0.0)) - done.stroke[inside]
    worst, usual = float(np.abs(off).max()), float(np.sqrt(np.mean(off**2)))
    print(f"{name}: {1e3 * worst:.3f} mm at worst, {1e3 * usual:.3f} mm r.m.s.", flush=True)
    return worst, usual


def main() -> int:
    """All grounds, from the start on."""
    found = [off_the_law(name) for name in GROUNDS]
    return 0 if all(worst < WORST and usual < USUAL for worst, usual in found) else 1


if __name__ == "__main__":
    sys.exit(main())
