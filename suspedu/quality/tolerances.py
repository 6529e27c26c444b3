"""What strays from part to part in a leg: shims, holes, clearance, seal, a scratched bore; and a batch of such legs.

A tolerance of plus or minus T is taken as three standard deviations of a normal distribution (common practice, no
source): of a thousand parts about three are outside. All widths here are guesses of the course, within what shops hold.
"""

from __future__ import annotations

import itertools

import numpy as np

from suspedu.changes import changed, leads_somewhere, value_at
from suspedu.damper.paths import Hole, counted
from suspedu.machine.model import Leg
from suspedu.units import InputError, check_fields, part, quantity, require, shown, to_si

SIGMAS = 3.0  # standard deviations within a tolerance
STACK = "damper.unit.rebound.ports.rebound.stack.shims"
HOLES = ("damper.unit.rebound.ports.rebound.holes.diameter", "damper.unit.rebound.needle.seat_diameter",
         "damper.unit.compression_holes.diameter", "damper.unit.rebound_holes.diameter")
CLEARANCES = ("damper.unit.rebound.leak.gap", "damper.unit.mid.leak.gap", "damper.unit.ring_leak.gap")
LABELS = dict(zip(HOLES, ("port holes", "needle seat", "compression holes", "rebound holes"), strict=True))


@part(kw_only=True)
class Tolerance:
    """One dimension that strays, at one place of a leg or at several that stray together.

    >>> Tolerance(label="seal", unit="N", places=("friction.sliding",), half_width=3.0).sigma
    1.0
    """

    label: str
    unit: str  # for people
    places: tuple[str, ...]  # see `suspedu.changes`, in a `Leg`
    half_width: float  # T [SI]: plus or minus

    def __post_init__(self):
        most = 100.0 if self.unit == "N" else to_si(1.0, self.unit)
        slip = "" if self.unit == "N" else "in metres: 10 µm are 10e-6"
        require(f"tolerance of the {self.label}", self.half_width, 0.0, most, self.unit, slip)

    @property
    def sigma(self):
        """Standard deviation [SI]: a third of the tolerance."""
        return self.half_width / SIGMAS

    def strayed(self, leg: Leg, by) -> Leg:
        """The leg with this dimension off by so much [SI] at all its places.

        Raises: InputError where that leaves what the part can be.
        """
        inside = value_at(leg, self._parent)
        for place in self.places:
            rest = place.removeprefix(self._parent + ".")
            inside = changed(inside, rest, value_at(inside, rest) + by)
        return changed(leg, self._parent, inside)

    @property
    def _parent(self) -> str:
        """The way that all places share: what hangs there is made anew, the leg itself only once."""
        ways = [place.split(".")[:-1] for place in self.places]
        shared = itertools.takewhile(lambda steps: len(set(steps)) == 1, zip(*ways, strict=False))
        return ".".join(steps[0] for steps in shared)


@part(kw_only=True)
class Scratch:
    """A scratch along the bore in a share of the legs: a shallow slot past the piston, open both ways."""

    share: float = quantity("percent", 0, 100, "share of scratched bores")
    depth: float = quantity("mm", 0.15, 1, "depth of the scratch", default=0.2e-3)
    width: float = quantity("mm", 0.1, 5, "width of the scratch", default=1.5e-3)

    def __post_init__(self):
        check_fields(self)
        if self.width < self.depth:
            raise InputError(f"scratch is {shown(self.depth, 'mm')} deep and {shown(self.width, 'mm')} wide; a "
                             "scratch is wider than deep (were the two exchanged?)")


def scratch_bores(scratch: Scratch, length: float) -> Hole:
    """Round bores that pass what a scratch passes: the same area in all, and the same drag of the walls.

    d^2/32 = h^2/12, so d = 1.63 h; n = b h/(pi d^2/4), a whole number, and d set anew for the area

    Parameters: scratch with depth h and width b; length of the piston that it runs past [m].
    Returns: a `Hole`.
    Assumes: a slot wider than deep; at most 40 bores.

    >>> bores = scratch_bores(Scratch(share=0.1), 8e-3)
    >>> bores.count, round(bores.diameter * 1e3, 3)
    (4, 0.309)
    """
    area, alike = scratch.depth * scratch.width, scratch.depth * np.sqrt(32.0 / 12.0)
    count = int(np.clip(np.rint(area / (np.pi / 4.0 * alike**2)), 1, 40))
    return Hole(float(np.sqrt(area / count * 4.0 / np.pi)), length, count)


def scratched(leg: Leg, scratch: Scratch) -> Leg:
    """The same leg with a scratch past its piston: bores in the rebound valve, and as much more in the mid-valve's.

    Raises: InputError for a damper without a piston in a bore of its own.

    >>> from suspedu.machine import load
    >>> scratched(load("enduro").legs[0], Scratch(share=0.1)).damper.unit.rebound.holes.count
    4
    """
    if not leads_somewhere(leg, "damper.unit.rebound.leak"):
        raise InputError("this damper has no piston in a bore of its own: nothing of it can be scratched so")
    for valve in ("rebound", "mid"):
        place = f"damper.unit.{valve}"
        bores = scratch_bores(scratch, value_at(leg, f"{place}.leak.length"))
        leg = changed(leg, f"{place}.holes", _with_bores(value_at(leg, f"{place}.holes"), bores))
    return leg


def _with_bores(holes: Hole | None, bores: Hole) -> Hole:
    """Plain holes that are there already, widened by the area of the bores; the bores themselves where none are."""
    if holes is None:
        return bores
    wider = holes.diameter**2 + bores.diameter**2 * bores.count / holes.count
    return Hole(float(np.sqrt(wider)), holes.length, holes.count, holes.discharge)


def usual_tolerances(leg: Leg, *, shims: float = 5e-6, holes: float = 20e-6, clearance: float = 4e-6,
                     seal: float = 2.0, one_strip: bool = True) -> tuple[Tolerance, ...]:
    """What strays in a leg: thickness of the rebound shims, diameters of holes, clearance of the piston, its seal.

    Parameters: leg; shims, holes, clearance [m] and seal [N], half-widths; one_strip, whether shims of one thickness
    come from one strip of steel and stray together, or each by itself from mixed boxes.
    Returns: tolerances of what the leg has.
    Assumes: the clearance is the same for both ways past the piston.

    >>> from suspedu.machine import load
    >>> [row.label for row in usual_tolerances(load("enduro").legs[0])]
    ['shims of 0.2 mm', 'shims of 0.15 mm', 'port holes', 'needle seat', 'clearance', 'seal']
    """
    there = tuple(place for place in CLEARANCES if leads_somewhere(leg, place))
    return (*_shim_tolerances(leg, shims, one_strip),
            *(Tolerance(label=LABELS[place], unit="mm", places=(place,), half_width=holes)
              for place in HOLES if leads_somewhere(leg, place)),
            Tolerance(label="clearance", unit="mm", places=there, half_width=clearance),
            Tolerance(label="seal", unit="N", places=("friction.sliding",), half_width=seal))


def _shim_tolerances(leg: Leg, half_width: float, one_strip: bool) -> tuple[Tolerance, ...]:
    if not leads_somewhere(leg, STACK):
        return ()
    strips: dict[str, tuple[str, ...]] = {}
    for count, shim in enumerate(value_at(leg, STACK), start=1):
        strip = f"shims of {shown(shim.thickness, 'mm')}" if one_strip else f"shim {count}"
        strips[strip] = (*strips.get(strip, ()), f"{STACK}.{count}.thickness")
    return tuple(Tolerance(label=label, unit="mm", places=places, half_width=half_width)
                 for label, places in strips.items())


def drawn_legs(leg: Leg, tolerances: tuple[Tolerance, ...], count: int, seed: int,
               scratch: Scratch | None = None) -> tuple[Leg, ...]:
    """A batch: so many legs, each dimension drawn for each of them.

    Parameters: leg as it is drawn on paper; tolerances; count of legs [-]; seed of the draw, the same batch for the
    same seed, and its first legs whatever the count; scratch, in a share of them.

    >>> from suspedu.machine import load
    >>> batch = drawn_legs(load("enduro").legs[0], usual_tolerances(load("enduro").legs[0]), 3, seed=1)
    >>> [round(each.friction.sliding, 2) for each in batch]
    [8.3, 8.36, 7.81]
    """
    counted("legs of a batch", count, 1, 100_000)
    off = np.random.default_rng([seed, 0]).standard_normal((count, len(tolerances)))
    hit = np.random.default_rng([seed, 1]).random(count) < (scratch.share if scratch else 0.0)
    return tuple(_one(leg, tolerances, row, scratch if bad else None) for row, bad in zip(off, hit, strict=True))


def _one(leg: Leg, tolerances: tuple[Tolerance, ...], off, scratch: Scratch | None) -> Leg:
    for tolerance, by in zip(tolerances, off, strict=True):
        leg = tolerance.strayed(leg, float(by) * tolerance.sigma) if tolerance.half_width else leg
    return scratched(leg, scratch) if scratch else leg
