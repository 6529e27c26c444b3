"""What a mechanic holds: shims, the stack they make on a clamp, and the port that the stack covers."""

from __future__ import annotations

from dataclasses import replace

from suspedu.units import InputError, check_fields, part, quantity, require, shown

SAME = 1e-5  # m: diameters closer than this are one diameter. A workshop's caliper reads hundredths of a millimetre
# (common practice, no source), and edges nearer to each other touch at what is one place to any solver.


@part
class Shim:
    """A spring-steel washer; with an inner diameter it is a ring that the clamp does not hold, only a spacer."""

    diameter: float = quantity("mm", 6, 60, "shim diameter")
    thickness: float = quantity("mm", 0.03, 2, "shim thickness", "shims are 0.05 to 0.5 mm of steel")
    inner_diameter: float = quantity("mm", 0, 59, "inner diameter of the ring shim", default=0.0)

    def __post_init__(self):
        check_fields(self)
        if self.inner_diameter >= self.diameter:
            raise InputError(f"ring shim of {shown(self.diameter, 'mm')} has an inner diameter of "
                             f"{shown(self.inner_diameter, 'mm')}; the inner one must be the smaller")


@part
class Port:
    """The annular pocket in the piston face under the first shim; its outer rim is the seat that the shim lifts off."""

    inner_diameter: float = quantity("mm", 4, 58, "inner diameter of the port")
    outer_diameter: float = quantity("mm", 5, 60, "outer diameter of the port")

    def __post_init__(self):
        check_fields(self)
        if self.inner_diameter >= self.outer_diameter:
            raise InputError(f"port runs from {shown(self.inner_diameter, 'mm')} to {shown(self.outer_diameter, 'mm')} "
                             "diameter; the inner one must be the smaller (were the two swapped?)")


@part
class Stack:
    """Shims from the piston face outwards, held between the face and a clamp of `clamp_diameter`.

    >>> Stack((Shim(0.014, 0.1e-3), Shim(0.020, 0.2e-3)), clamp_diameter=0.010)
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: face shim is 14 mm across but a later one 20 mm; shims are listed from the face \
outwards, the widest first (is the list the wrong way up?)
    """

    shims: tuple[Shim, ...]
    clamp_diameter: float = quantity("mm", 5, 40, "clamp diameter")
    young: float = quantity("GPa", 50, 400, "Young's modulus of the shims", default=206e9)
    poisson: float = quantity("", 0.0, 0.49, "Poisson's ratio of the shims", default=0.3)

    def __post_init__(self):
        object.__setattr__(self, "shims", tuple(self.shims))  # a list would not be hashable, and lifts are cached
        check_fields(self)
        require("number of shims", len(self.shims), 1, 40, "", "a stack needs at least its face shim")
        _check_face_shim(self)
        for place, shim in enumerate(self.shims, start=1):
            _check_clamped(shim, place, self.clamp_diameter)
            _check_backed(shim, place, self.shims[place:])


def _check_face_shim(stack: Stack) -> None:
    face, widest = stack.shims[0], max(shim.diameter for shim in stack.shims)
    if face.inner_diameter:
        raise InputError("the first shim is a ring; the list starts at the face with the shim that covers the port")
    if face.diameter < widest - SAME:
        raise InputError(f"face shim is {shown(face.diameter, 'mm')} across but a later one {shown(widest, 'mm')}; "
                         "shims are listed from the face outwards, the widest first (is the list the wrong way up?)")


def _check_clamped(shim: Shim, place: int, clamp: float) -> None:
    if shim.diameter < clamp - SAME:
        raise InputError(f"clamp diameter is {shown(clamp, 'mm')} but shim {place} is only "
                         f"{shown(shim.diameter, 'mm')}; a clamp is never larger than a shim (were the two swapped?)")
    if 0 < shim.inner_diameter < clamp - SAME:
        raise InputError(f"ring shim {place} is {shown(shim.inner_diameter, 'mm')} inside, less than the clamp's "
                         f"{shown(clamp, 'mm')}; leave its inner diameter out if the clamp holds it")


def _check_backed(ring: Shim, place: int, behind: tuple[Shim, ...]) -> None:
    reach = max((shim.diameter for shim in behind if not shim.inner_diameter), default=0.0)
    if ring.inner_diameter and ring.inner_diameter >= reach:
        raise InputError(f"ring shim {place} has no shim behind it that reaches its {shown(ring.inner_diameter, 'mm')} "
                         "inner diameter; it would lie loose")


def merged(stack: Stack, port: Port) -> tuple[Stack, Port]:
    """The same stack and port with edges that no caliper could tell apart (`SAME`) made one: the lowest of them.

    Parameters: stack; port.
    Returns: stack and port, those given where no two edges are that close.
    Raises: InputError where a part vanishes by it, such as a ring of nothing.

    >>> near, _ = merged(Stack((Shim(0.020, 2e-4), Shim(0.018003, 1e-4)), 0.010), Port(0.012, 0.018))
    >>> near.shims[1].diameter
    0.018
    """
    edges = [stack.clamp_diameter, port.inner_diameter, port.outer_diameter]
    edges += [edge for shim in stack.shims for edge in (shim.diameter, shim.inner_diameter)]
    kept: dict[float, float] = {}
    for edge in sorted(set(edges)):
        last = next(reversed(kept.values()), -1.0)
        kept[edge] = last if edge - last < SAME else edge
    if all(edge == stands_for for edge, stands_for in kept.items()):
        return stack, port
    shims = tuple(replace(shim, diameter=kept[shim.diameter], inner_diameter=kept[shim.inner_diameter])
                  for shim in stack.shims)
    return (replace(stack, shims=shims, clamp_diameter=kept[stack.clamp_diameter]),
            Port(kept[port.inner_diameter], kept[port.outer_diameter]))


def check_covers(stack: Stack, port: Port) -> None:
    """Refuse a stack that does not cover its port, or a clamp that closes it for good.

    Parameters: stack; port.
    Raises: InputError naming both diameters.

    >>> check_covers(Stack((Shim(0.016, 2e-4),), 0.01), Port(0.012, 0.018))
    Traceback (most recent call last):
    ...
    suspedu.units.InputError: face shim is 16 mm across but the port's rim 18 mm; the face shim must cover the port
    """
    face, rim = stack.shims[0].diameter, port.outer_diameter
    if face < rim - SAME:
        raise InputError(f"face shim is {shown(face, 'mm')} across but the port's rim {shown(rim, 'mm')}; "
                         "the face shim must cover the port")
    if stack.clamp_diameter > rim - SAME:
        raise InputError(f"clamp diameter is {shown(stack.clamp_diameter, 'mm')} but the port's rim only "
                         f"{shown(rim, 'mm')}; the clamp would hold the port shut")
