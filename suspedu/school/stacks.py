"""Shim stacks as the school builds them on its bench: slot by slot, in a mechanic's millimetres."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.changes import changed
from suspedu.damper import Damper, leg_force, stock_damper
from suspedu.numerics import remembered
from suspedu.parts.shim_stacks import FATIGUE_LIMIT, BentStack, Port, Shim, Stack, bent_stack, lift_curve
from suspedu.school.legs import face_count, with_face, with_port
from suspedu.school.oils import oil_of_index
from suspedu.school.tables import Tabulated
from suspedu.units import from_si, to_si

PORT = Port(12e-3, 18e-3)  # the pocket in the school's piston
FACE, TAPERED = 20.0, 4  # mm, diameter of the face shims; number of shims behind them
MOST_PRESSURE = 20e5  # Pa on the bench
SPEEDS = np.concatenate([[0.0], np.geomspace(0.02, 2.0, 34)])
WARM, OIL = 313.15, (16e-6, 150.0)  # K; m2/s at 40 degC and viscosity index
TOUCHED = 1e5  # Pa: low enough for every gap to stay as it was built


def built_stack(face_shims, thickness, taper_step, clamp, gap=0.0) -> Stack:
    """A stack in workshop units: face shims, a crossover shim if there is a gap, then four tapered shims.

    Parameters: face_shims [count]; thickness, taper_step, clamp, gap [mm].

    >>> [round(shim.diameter * 1e3, 1) for shim in built_stack(2, 0.15, 2, 10, 0.1).shims]
    [20.0, 20.0, 11.0, 18.0, 16.0, 14.0, 12.0]
    """
    steel = to_si(thickness, "mm")
    face = (Shim(to_si(FACE, "mm"), steel),) * int(face_shims)
    crossover = (Shim(to_si(clamp + 1.0, "mm"), to_si(gap, "mm")),) if gap else ()
    sizes = (max(FACE - taper_step * place, clamp) for place in range(1, TAPERED + 1))
    return Stack((*face, *crossover, *(Shim(to_si(size, "mm"), steel) for size in sizes)), to_si(clamp, "mm"))


def lift_of(stack: Stack, pressure):
    """Lift at the rim [m] of a stack on the school's port, at a pressure [any shape, Pa] under it."""
    return lift_curve(stack, PORT)(pressure)


def gap_closes(stack: Stack) -> float:
    """Pressure [bar] where a stack's slope falls below the middle of its first and last: the kink; nan without one."""
    curve = lift_curve(stack, PORT)
    rates = curve.rates
    if rates[0] < 1.05 * rates[-1]:
        return float("nan")
    return float(from_si(curve.pressure[np.argmax(rates < (rates[0] + rates[-1]) / 2)], "bar"))


def gap_shims(stack: Stack) -> list[int]:
    """Places of shims that are smaller than a later one: they hold a gap open.

    >>> gap_shims(Stack((Shim(0.02, 2e-4), Shim(0.01, 1e-4), Shim(0.018, 2e-4)), 0.01))
    [1]
    """
    sizes = [shim.diameter for shim in stack.shims]
    return [place for place, size in enumerate(sizes) if any(later > size + 1e-9 for later in sizes[place + 1:])]


@dataclass(frozen=True, eq=False)
class BenchTest:
    """A stack on the school's port under a pressure [Pa]: beside it, what its parts would do alone."""

    stack: Stack
    bent: BentStack
    lift: float  # m
    opening: float  # m2 under the rim
    closes: float  # bar at which the gap closes; nan without one
    kink: float  # m of lift there
    lifts: dict[str, Tabulated]  # m over Pa: "stack", "plain" (without the crossover), "face" (its face shims alone)


def bench_test(face_shims, thickness, taper_step, clamp, gap, pressure) -> BenchTest:
    """A built stack under a pressure [Pa]; face_shims [count]; thickness, taper_step, clamp, gap [mm].

    >>> test = bench_test(3, 0.15, 2, 10, 0.05, 8e5)
    >>> round(test.closes, 1), round(test.lift * 1e3, 3)
    (4.3, 0.091)
    """
    stack = built_stack(face_shims, thickness, taper_step, clamp, gap)
    parts = {"stack": stack, "plain": built_stack(face_shims, thickness, taper_step, clamp),
             "face": replace(stack, shims=stack.shims[: int(face_shims)])}  # fmt: skip
    pressures = np.linspace(0.0, MOST_PRESSURE, 161)
    lifts = {name: Tabulated(pressures, lift_of(part, pressures)) for name, part in parts.items()}
    closes, lift = gap_closes(stack), float(lift_of(stack, pressure))
    return BenchTest(stack, bent_stack(stack, PORT, pressure), lift, np.pi * PORT.outer_diameter * lift, closes,
                     float(lift_of(stack, to_si(closes, "bar"))), lifts)


@dataclass(frozen=True, eq=False)
class StackStress:
    """Highest bending stress [Pa] of each shim from the face, and at each radius [m] of any shim."""

    bent: BentStack
    each: np.ndarray
    along: Tabulated
    limit: float = FATIGUE_LIMIT

    @property
    def worst(self) -> int:
        """Place of the shim that bears most, counted from 1 at the face."""
        return int(self.each.argmax()) + 1

    @property
    def peak_radius(self) -> float:
        """Where on it the stress is highest [m]."""
        return float(self.along.x[self.along.y.argmax()])


def stack_stress(stack: Stack, pressure) -> StackStress:
    """The larger of radial and tangential stress of a stack on the school's port under a pressure [Pa].

    >>> found = stack_stress(built_stack(3, 0.15, 2, 10), 8e5)
    >>> found.worst, round(found.each.max() / 1e6)
    (7, 399)
    """
    bent = bent_stack(stack, PORT, pressure)
    stress = np.nan_to_num(np.maximum(np.abs(bent.radial_stress), np.abs(bent.tangential_stress)))
    return StackStress(bent, stress.max(axis=1), Tabulated(bent.stress_radii, stress.max(axis=0)))


@remembered
def lift_falls(stack: Stack, extra: float) -> tuple[float, ...]:
    """Share by which the lift falls for each shim that alone is made thicker, by extra [mm]."""
    before = lift_of(stack, TOUCHED)
    return tuple(1.0 - float(lift_of(thickened(stack, place, extra), TOUCHED) / before)
                 for place in range(len(stack.shims)))


def thickened(stack: Stack, place: int, extra: float) -> Stack:
    """The stack with one shim, known by its place, thicker by extra [mm]; of equal ones the first."""
    shims = list(stack.shims)
    place = [shim.diameter for shim in shims].index(shims[place].diameter)
    shims[place] = replace(shims[place], thickness=shims[place].thickness + to_si(extra, "mm"))
    return replace(stack, shims=tuple(shims))


@dataclass(frozen=True)
class FaceShims:
    """The face of a stack as a mechanic counts it: number, diameter, thickness, clamp, and the widest clamp [mm]."""

    count: int
    diameter: float
    thickness: float
    clamp: float
    widest_clamp: float


def delivered() -> FaceShims:
    """The face of the school's rebound stack, as it was delivered.

    >>> delivered().diameter, delivered().clamp
    (21.0, 8.0)
    """
    stack = stock_damper("closed cartridge").rebound.ports[0].stack
    sizes = (stack.shims[0].diameter, stack.shims[0].thickness, stack.clamp_diameter,
             min(shim.diameter for shim in stack.shims))
    return FaceShims(face_count(stack), *(round(float(from_si(size, "mm")), 6) for size in sizes))


def stock_with_rebound_stack(count: int, thickness: float, clamp: float) -> Damper:
    """The school's closed cartridge with other face shims: count, thickness [mm], and clamp [mm]."""
    cartridge = stock_damper("closed cartridge")
    stack = with_face(cartridge.rebound.ports[0].stack, count, to_si(thickness, "mm"))
    return with_port(cartridge, "rebound", stack=replace(stack, clamp_diameter=to_si(clamp, "mm")))


@remembered
def rebound_force(damper: Damper, clicks: int) -> np.ndarray:
    """Damping force [N] of one leg on rebound, over SPEEDS, at clicks out."""
    turned = changed(damper, "rebound.needle.clicks", clicks)
    return -leg_force(0.1, -SPEEDS, turned, oil_of_index(*OIL), WARM).damping_force


def rebound_tables(count: int, thickness: float, clamp: float, clicks: int) -> tuple[Tabulated, Tabulated]:
    """Rebound force [N] over speed [m/s] of the delivered stack, and of one of another thickness and clamp [mm].

    >>> built = delivered()
    >>> before, stiffer = rebound_tables(built.count, built.thickness + 0.05, built.clamp, 12)
    >>> abs(round(stiffer.at(0.05) / before.at(0.05) - 1.0, 1))  # moving slowly, the shims are shut
    0.0
    """
    dampers = (stock_damper("closed cartridge"), stock_with_rebound_stack(count, thickness, clamp))
    return tuple(Tabulated(SPEEDS, rebound_force(damper, clicks)) for damper in dampers)
