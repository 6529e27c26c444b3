"""What rides: the front of a machine as a quarter vehicle, its tyre, and its fork as tables of force."""

from __future__ import annotations

from functools import cached_property

import numpy as np
import scipy

from suspedu.numerics import remembered
from suspedu.parts.friction import Bushings, SealFriction
from suspedu.parts.stops import Bumper, TopOutSpring, bumper_force, metal_force, top_out_force
from suspedu.parts.tyre import Tyre
from suspedu.parts.wheel_end import TelescopicFork, WheelEnd
from suspedu.ride.rider import RiderOnLegs
from suspedu.units import STANDARD_GRAVITY, InputError, check_fields, part, quantity, shown

LEGS = 2
TOP_OUT, BUMPER = TopOutSpring(80e3, 0.01), Bumper(0.015, 30e3, 600e3)  # of both legs, where none are given


@part
class Vehicle:
    """The part of machine and rider that the front wheel carries, and the wheel itself.

    Assumes: straight riding; pitch enters as load transfer only. A rider who is left out rides as one with the chassis:
    the sprung mass is then both.
    """

    sprung_mass: float = quantity("kg", 20, 500, "sprung mass on the front")
    unsprung_mass: float = quantity("kg", 3, 80, "unsprung mass")
    rake: float = quantity("deg", 0, 45, "rake")
    tyre: Tyre
    total_mass: float = quantity("kg", 30, 2000, "mass of machine and rider", default=190.0)
    centre_height: float = quantity("mm", 200, 1500, "height of the mass centre", default=0.9)
    wheelbase: float = quantity("mm", 800, 4000, "wheelbase", default=1.48)
    front_brake_share: float = quantity("", 0, 1, "front share of the braking force", default=0.75)
    linkage: WheelEnd | None = None  # between wheel and leg, where it is no telescopic fork at the rake
    rider: RiderOnLegs | None = None
    caliper_leg: int = 0  # which of the legs carries the brake's caliper

    def __post_init__(self):
        check_fields(self)
        if not isinstance(self.tyre, Tyre):
            raise InputError("the machine has no tyre: a ride needs one between wheel and ground (a Tyre)")

    @cached_property
    def wheel_end(self) -> WheelEnd:
        """What stands between wheel and leg."""
        return TelescopicFork(self.rake) if self.linkage is None else self.linkage

    @property
    def carried_mass(self) -> float:
        """What the fork carries: chassis with bars, and the rider's front share [kg]."""
        return self.sprung_mass + (0.0 if self.rider is None else self.rider.mass)

    @property
    def front_braking(self) -> float:
        """Force of the front brake on the ground per deceleration [N/(m/s2)]."""
        return self.front_brake_share * self.total_mass

    @property
    def weight(self) -> float:
        """Load of the tyre at rest [N]."""
        return (self.carried_mass + self.unsprung_mass) * STANDARD_GRAVITY

    @property
    def load_transfer(self) -> float:
        """Load that braking moves to the front, per deceleration: m h/wheelbase [N/(m/s2)]."""
        return self.total_mass * self.centre_height / self.wheelbase

    @property
    def brake_jacking(self) -> float:
        """Pull of the front brake along the wheel's path, as a vertical force per deceleration [N/(m/s2)].

        The wheel moves up and *back*, by x sin r along a rake, so by virtual work the braking force B squeezes a
        telescopic fork with B sin r along it, B tan r vertically (computed by virtual work).
        """
        return self.front_braking * self.wheel_end.path_slope


@part(eq=False)
class ForkLaw:
    """Force laws of a fork, both legs together, as tables: even strokes, and rising velocities at any spacing.

    strokes [n_s, m] and spring_force [n_s, N]: coil, air and gas springs.
    velocities [n_v, m/s] (see `close_speeds`), damping_strokes [n_x, m] and damping_force [n_x, n_v, N]: positive in
    compression, nothing at rest; damping_strokes may be left out where damping_force is one curve [n_v].
    stop_force: an end-of-stroke hydraulic stop, over stop_strokes and the same velocities.
    top_outs, bumpers, seals: those of each leg, one or two; where there is only one, it stands for both legs together.
    bushings, air_pressures [n_s, Pa, absolute, over the strokes]: of the same legs as the seals, or none.
    """

    travel: float = quantity("mm", 20, 1000, "travel")
    strokes: np.ndarray
    spring_force: np.ndarray
    velocities: np.ndarray
    damping_force: np.ndarray
    damping_strokes: np.ndarray | None = None
    stop_strokes: np.ndarray | None = None
    stop_force: np.ndarray | None = None
    top_outs: tuple[TopOutSpring, ...] = (TOP_OUT,)
    bumpers: tuple[Bumper, ...] = (BUMPER,)
    seals: tuple[SealFriction, ...] = ()
    bushings: tuple[Bushings | None, ...] = ()
    air_pressures: tuple[np.ndarray, ...] = ()

    def __post_init__(self):
        check_fields(self)
        _uniform("strokes of the spring table", self.strokes)
        _rising("velocities of the damping table", self.velocities)
        _shape("spring table", self.spring_force, (len(self.strokes),))
        for name in ("top_outs", "bumpers", "seals"):
            if len(getattr(self, name)) > LEGS:
                raise InputError(f"{name} has {len(getattr(self, name))} entries; a fork has two legs")
        for name in ("bushings", "air_pressures"):
            if len(getattr(self, name)) not in (0, len(self.seals)):
                raise InputError(f"{name} has {len(getattr(self, name))} entries and seals {len(self.seals)}; both are "
                                 "of the same legs")
        for name in ("damping", "stop"):
            self._check_damping(name, getattr(self, f"{name}_strokes"), getattr(self, f"{name}_force"))

    def _check_damping(self, name, strokes, force):
        if strokes is None and (name == "damping" or force is not None):
            _shape(f"{name} table", force, (len(self.velocities),))
        elif strokes is not None:
            _uniform(f"strokes of the {name} table", strokes)
            _shape(f"{name} table", force, (len(strokes), len(self.velocities)))
        if name == "stop" and force is not None and (strokes is None or np.any(force[0])):
            raise InputError("the stop table must begin at the stroke where the stop is entered, with a row of zeros")
        still = 0.0 if force is None else np.abs(at_rest(self.velocities, force)).max()
        if still > 1.0:  # N
            raise InputError(f"{name} table pushes {still:.3g} N at rest; a damper gives nothing at zero velocity "
                             "(was the gas force left in? it belongs to the spring table)")


def at_rest(velocities, force) -> np.ndarray:
    """Damping force at zero velocity [N], one per stroke, of velocities [n_v, m/s] and a table of force [n_s, n_v, N].

    >>> at_rest([-1.0, 1.0], [[-30.0, 40.0]])
    array([5.])
    """
    return np.array([np.interp(0.0, velocities, row) for row in np.atleast_2d(force)])


def close_speeds(fastest: float = 12.0, half: int = 240, bend: float = 0.6) -> np.ndarray:
    """Velocities of a damping table, close together around zero.

    v = bend u/(1 - |u|), u even from -fastest/(fastest + bend) on: found again by one division: `kernel_lookup.column`

    Parameters: fastest [m/s]; half, how many on either side; bend [m/s], where they begin to spread.
    Returns: velocities [2 half + 1, m/s].

    >>> np.diff(close_speeds())[[240, 300, 479]].round(4).tolist()  # m/s apart at 0, at 0.19 and at 12 m/s
    [0.0024, 0.0041, 0.9692]
    """
    most = fastest / (fastest + bend)
    share = np.linspace(-most, most, 2 * half + 1)
    share[half] = 0.0
    return bend * share / (1.0 - np.abs(share))


def _rising(name, grid):
    grid = np.asarray(grid, dtype=float)
    if grid.ndim != 1 or len(grid) < 2 or not np.all(np.diff(grid) > 0):
        raise InputError(f"{name} do not rise, or are fewer than two")


def _uniform(name, grid):
    grid = np.asarray(grid, dtype=float)
    steps = np.diff(grid)
    if grid.ndim != 1 or len(grid) < 2 or steps[0] <= 0 or np.ptp(steps) > 1e-6 * steps[0]:
        raise InputError(f"{name} are not an even, rising grid of two or more values (use numpy.linspace)")


def _shape(name, table, shape):
    if np.shape(table) != shape:
        raise InputError(f"{name} has the shape {np.shape(table)}; its grids ask for {shape}")
    if not np.isfinite(table).all():
        raise InputError(f"{name} holds values that are not numbers")


def elastic_force(stroke, fork: ForkLaw):
    """Force of springs, top-out, bumper and metal at rest [N] at a stroke [m, any shape]."""
    x = np.asarray(stroke, dtype=float)
    j = np.clip((x - fork.strokes[0]) // (fork.strokes[1] - fork.strokes[0]), 0, len(fork.strokes) - 2).astype(int)
    slope = (fork.spring_force[j + 1] - fork.spring_force[j]) / (fork.strokes[j + 1] - fork.strokes[j])
    spring = fork.spring_force[j] + slope * (x - fork.strokes[j])
    stops = [top_out_force(x, each) for each in fork.top_outs]
    ends = sum(bumper_force(x, fork.travel, each) for each in fork.bumpers) + LEGS * metal_force(x, fork.travel)
    return spring + sum(stops) + ends


@remembered(size=16)  # of one ride: its start and its outcomes ask for it
def settled_stroke(vehicle: Vehicle, fork: ForkLaw) -> float:
    """Stroke at which the fork carries chassis and rider [m]: F(x) = m g dz/dx, without friction.

    Raises: InputError where the springs cannot carry it within the travel.
    """
    return _resting(fork, lambda x: vehicle.carried_mass * STANDARD_GRAVITY * vehicle.wheel_end.motion_ratio(x))


def airborne_stroke(fork: ForkLaw) -> float:
    """Stroke at which the fork rests with the wheel in the air [m]: spring against top-out, F(x) = 0."""
    return _resting(fork, lambda x: 0.0 * x)


def _resting(fork: ForkLaw, load) -> float:
    high = fork.travel
    inside = (fork.strokes > 0.0) & (fork.strokes < high)
    places = np.concatenate([[-0.1 * high, 0.0], fork.strokes[inside], [high]])  # straight between them but for stops
    excess = elastic_force(places, fork) - load(places)
    if not (excess[0] <= 0.0 <= excess[-1]):
        raise InputError(f"the fork cannot carry {load(high):.4g} N at rest within its {shown(fork.travel, 'mm')} of "
                         "travel (is the spring force given for both legs together?)")
    right = max(int(np.argmax(excess >= 0.0)), 1)
    return scipy.optimize.brentq(lambda x: float(elastic_force(x, fork) - load(x)), places[right - 1], places[right],
                                 xtol=1e-13)
