"""Dataclasses as the compiled loop takes them: plain numbers, and tables on even grids."""

from __future__ import annotations

from itertools import groupby

import numpy as np

from suspedu.parts.friction import SealFriction, friction_shape
from suspedu.parts.stops import METAL_RATE
from suspedu.parts.tyre import GRIPPED, Tyre
from suspedu.ride.ground import Ground
from suspedu.ride.kernel_numbers import (
    Bike,
    Carcass,
    Fork,
    Limbs,
    Pace,
    Rub,
    Speeds,
    Stop,
    StrokeTable,
    Surface,
    Table,
)
from suspedu.ride.rider import RiderOnLegs
from suspedu.ride.vehicle import LEGS, ForkLaw, Vehicle
from suspedu.units import STANDARD_ATMOSPHERE, STANDARD_GRAVITY

STABLE = 2.5  # slope of friction and damper times step over mass; Runge-Kutta of fourth order is stable to 2.78
SLOW = 0.05  # m/s within which a damper in cold oil may be steep
FLAT = 20.0  # slow speeds of the seals from which their friction is flat: the breakaway part is down to exp(-16)
RESOLVED = 10  # columns of the friction table in each slow speed
FINDER = 2048  # shares of v/(|v| + bend) in which the columns of velocities are looked up
NEVER = np.array([1e9, 2e9])  # strokes of a hydraulic stop that is not there
NO_STOP = Stop(0.0, 0.0, 0.0, 0.0)


def of_ride(ground: Ground, vehicle: Vehicle, fork: ForkLaw) -> tuple:
    """All that the loop is given besides its start and its record: ground, pace, vehicle, fork."""
    bike, law = bike_numbers(vehicle, fork.travel), fork_numbers(fork, vehicle)
    road = tuple(map(_read_only, (ground.height, ground.climb, ground.slowing)))
    return road, pace_numbers(ground, bike, law, fork), bike, law


def bike_numbers(vehicle: Vehicle, travel: float) -> Bike:
    """The vehicle as the loop takes it, for a fork of a travel [m]."""
    return Bike(1 / vehicle.sprung_mass, 1 / vehicle.unsprung_mass, way_numbers(vehicle, travel), STANDARD_GRAVITY,
                carcass_numbers(vehicle.tyre), limb_numbers(vehicle.rider), float(vehicle.load_transfer),
                float(vehicle.brake_jacking), float(vehicle.front_braking))


def carcass_numbers(tyre: Tyre) -> Carcass:
    """The tyre as the loop takes it."""
    return Carcass(float(tyre.rate), float(tyre.damping), 1 / GRIPPED, float(tyre.rim_squash), float(tyre.rim_rate))


def limb_numbers(rider: RiderOnLegs | None) -> Limbs:
    """Arms and legs as the loop takes them; none where the rider is one with the chassis."""
    if rider is None:
        return Limbs(0.0, 0.0, 0.0, 1.0, 0.0)
    return Limbs(1 / rider.mass, rider.rate, rider.damping, rider.range, rider.end_factor * rider.rate)


def way_numbers(vehicle: Vehicle, travel: float, cells: int = 1000) -> StrokeTable:
    """Stroke over wheel travel, dx/dz, for a fork of a travel [m]: one cell where the slope is the same all along."""
    end, ratio = float(vehicle.wheel_end.wheel_travel(travel)), vehicle.wheel_end.motion_ratio(0.0)
    strokes = np.linspace(0.0, travel, 9)
    nodes, slopes = np.array([0.0, end]), np.full(2, 1.0 / ratio)
    if np.any(vehicle.wheel_end.motion_ratio(strokes) != ratio):
        strokes, nodes = np.linspace(0.0, travel, 4 * cells + 1), np.linspace(0.0, end, cells + 1)
        slopes = np.interp(nodes, vehicle.wheel_end.wheel_travel(strokes), 1 / vehicle.wheel_end.motion_ratio(strokes))
    size = end / (len(nodes) - 1)
    run_up = np.concatenate([[0.0], np.cumsum((slopes[1:] + slopes[:-1]) * (size / 2))])
    return StrokeTable(_read_only(run_up), _read_only(slopes), size, 1 / size)


def fork_numbers(fork: ForkLaw, vehicle: Vehicle) -> Fork:
    """The fork as the loop takes it, in the front of a vehicle."""
    zero = np.zeros((2, len(fork.velocities)))
    stop = zero if fork.stop_force is None else fork.stop_force
    tops = [Stop(top.length, top.rate, 0.0, 0.0) for top in fork.top_outs]
    bumps = [Stop(fork.travel - bump.length, bump.rate, (bump.end_rate - bump.rate) / (3 * bump.length**2), bump.loss)
             for bump in fork.bumpers]
    return Fork(
        _table(fork.strokes, fork.spring_force), speed_numbers(fork.velocities),
        _surface(fork.damping_strokes, fork.damping_force),
        _surface(NEVER if fork.stop_strokes is None else fork.stop_strokes, stop), rub_numbers(fork, vehicle),
        _side_by_side(tops), _side_by_side(bumps), Stop(fork.travel, LEGS * METAL_RATE, 0.0, 0.0))


def speed_numbers(velocities) -> Speeds:
    """Columns of velocity and their finder, bent so that columns close to zero have shares of their own.

    Parameters: velocities [n, m/s], rising.

    >>> found = speed_numbers([-1.0, 0.0, 0.5, 2.0])
    >>> int(found.first[-1]), found.inverse.round(3).tolist()
    (2, [1.0, 2.0, 0.667])
    """
    nodes = np.asarray(velocities, dtype=float)
    bend = max(float(np.diff(nodes).min()) * FINDER / 8, 1e-3)
    share = np.arange(FINDER + 1) / (FINDER / 2) - 1.0
    edge = bend * share / np.maximum(1.0 - np.abs(share), 1e-12)
    first = np.clip(np.searchsorted(nodes, edge, side="right") - 1, 0, len(nodes) - 2)
    return Speeds(_read_only(nodes), _read_only(1 / np.diff(nodes)), _read_only(first, np.int64), FINDER / 2, bend)


def rub_numbers(fork: ForkLaw, vehicle: Vehicle) -> tuple[Rub, Rub]:
    """Friction of each leg: what its level is made of, and its shape over velocity."""
    flat = _table(np.array([-1.0, 1.0]), np.zeros(2))  # two values: the loop takes it for no leg at all
    none = Rub(flat, flat, 0.0, 1.0, *[0.0] * 5)
    first, second, *_ = [*(_rub(fork, leg, vehicle) for leg in range(len(fork.seals))), none, none]
    return first, second


def _rub(fork: ForkLaw, leg: int, vehicle: Vehicle) -> Rub:
    """Friction of one leg: the cross force is shared by all, the caliper's couple bends the leg that carries it."""
    seals, pressed = fork.seals[leg], np.zeros(len(fork.strokes))
    if fork.air_pressures:
        pressed = np.maximum(fork.air_pressures[leg] - STANDARD_ATMOSPHERE, 0.0)
    slid = _table(fork.strokes, seals.sliding + seals.pressure_rise * pressed)
    bushings = fork.bushings[leg] if fork.bushings else None
    if bushings is None or vehicle.linkage is not None:
        return Rub(_shape(seals), slid, 0.0, 1.0, *[0.0] * 5)
    share = 1 / len(fork.seals)
    couple = -vehicle.tyre.radius if leg == vehicle.caliper_leg else 0.0
    return Rub(_shape(seals), slid, bushings.friction, bushings.overlap, bushings.reach, share * np.sin(vehicle.rake),
               vehicle.unsprung_mass * STANDARD_GRAVITY, share * np.cos(vehicle.rake), couple)


def _shape(leg: SealFriction) -> Table:
    """Friction over velocity for a level of one newton: fine columns around standstill, held outside."""
    half = int(RESOLVED * FLAT)
    velocities = np.linspace(-1.0, 1.0, 2 * half + 1) * FLAT * leg.slow
    return _table(velocities, friction_shape(velocities, leg))


def pace_numbers(ground: Ground, bike: Bike, law: Fork, fork: ForkLaw) -> Pace:
    """Step, and into how many parts it falls near standstill: as many as keep the steepest forces stable."""
    steepest = max(float(np.abs(np.diff(rub.shape.values)).max() * rub.shape.scale) for rub in law.rubs)
    share = bike.way.slopes.max() ** 2 * (bike.sprung_inverse + bike.unsprung_inverse) * ground.step / STABLE
    sticky = max(-rub.shape.low for rub in law.rubs)
    thick, stop = (_steepest(surface, law.speeds, max(sticky, SLOW)) for surface in (law.damping, law.end_stop))
    return Pace(float(ground.step), float(steepest * share), float(thick * share), float(stop * share),
                law.end_stop.row_low, float(max(sticky, SLOW) / bike.way.slopes.min()),
                ground.highest + 10 * fork.travel + 10.0)


def _steepest(surface: Surface, speeds: Speeds, slow: float) -> float:
    """Steepest slope of a force over velocity [N s/m] at speeds up to `slow` [m/s]."""
    rows = surface.values.reshape(surface.rows, surface.columns)
    near = np.flatnonzero((speeds.nodes[1:] > -slow) & (speeds.nodes[:-1] < slow))
    steps = np.diff(rows[:, near[0]:near[-1] + 2], axis=1) * speeds.inverse[near]
    return float(np.abs(steps).max())


def _side_by_side(stops: list[Stop]) -> tuple[Stop, Stop]:
    """Two stops of a fork; those that begin at one place and lose alike share the load, so their rates add."""
    alike = [list(each) for _, each in groupby(sorted(stops), key=lambda stop: (stop.place, stop.loss))]
    merged = [Stop(float(each[0].place), float(sum(stop.rate for stop in each)),
                   float(sum(stop.stiffening for stop in each)), float(each[0].loss)) for each in alike]
    first, second, *_ = [*merged, NO_STOP, NO_STOP]
    return first, second


def _table(places, values) -> Table:
    """Values over even places."""
    return Table(_read_only(values), float(places[0]), float(1 / (places[1] - places[0])))


def _surface(strokes, values) -> Surface:
    """A force of the loop over stroke and velocity; one curve without strokes of its own is the same at every one."""
    strokes, values = np.array([0.0, 1.0]) if strokes is None else strokes, np.atleast_2d(values)
    rows = values if len(values) == len(strokes) else np.repeat(values[:1], 2, axis=0)
    return Surface(_read_only(rows).ravel(), len(strokes), rows.shape[1], float(strokes[0]),
                   float(1 / (strokes[1] - strokes[0])))


def _read_only(array, kind=float) -> np.ndarray:
    """The same numbers, contiguous and closed to writing: so the compiler meets one kind of array only."""
    view = np.ascontiguousarray(array, dtype=kind).view()
    view.flags.writeable = False
    return view
