"""The check of an exercise by whoever writes it: is it as derived, and are its numbers sound?

A solution is run once, with all its rows and some draws, slips and other ways of working in one kernel; what the
practice numbers print there goes into the derived exercise, so that nothing runs twice.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.authoring import derive, sampled
from suspedu.coursework.authoring.following import unfollowed
from suspedu.coursework.authoring.omissions import omissions
from suspedu.coursework.exercise import loading, soundness
from suspedu.units import InputError


@dataclass(frozen=True)
class Check:
    """What was found about one exercise: what is unsound, a sentence each, and whether it is as derived.

    `as_derived` is None where its solution does not make an exercise; `told` is what there is to know beside,
    `data` the derived exercise.
    """

    name: str
    as_derived: bool | None
    faults: tuple[str, ...]
    told: tuple[str, ...] = ()
    data: bytes = b""


def check(path: Path, first: int = 0) -> Check:
    """Check the exercise of one solution; that a solution does not make an exercise is a fault like any other.

    Parameters: path; first, the number of the first draw that is tried.

    >>> from suspedu.coursework.exercise.places import PACKAGE
    >>> check(PACKAGE / "absent.ipynb").faults
    ("'absent.ipynb' cannot be read: there is no such file",)
    """
    try:
        return _checked(path, first)
    except InputError as fault:
        return Check(path.stem, None, (str(fault),))


def _checked(path: Path, first: int) -> Check:
    solution = loading.solution(path)
    missed = omissions(solution)
    sample = sampled.sample(solution, first)
    faults, prints, drawn = soundness.examined_with(solution, sample)
    if 0 not in prints:
        return Check(path.stem, None, (*missed, *faults))
    bounds = sampled.of_bounds(solution, prints[0])
    found = [bounds, sampled.of_choices(solution, prints[0])]
    if drawn and not bounds.faults:
        found.append(sampled.of_draws(solution, prints[0], drawn, sample))
    data = derive.derived(path, prints[0])
    told = (f"{len(prints)} sets of numbers in its table" if len(prints) > 1 else "no table of numbers beside practice",
            *(words for each in found for words in each.told), *unfollowed(solution, prints[0]))
    return Check(path.stem, derive.is_derived(path, data),
                 (*missed, *faults, *(f for each in found for f in each.faults)),
                 told, data)


def check_all(paths: Sequence[Path], first: int = 0) -> Iterator[Check]:
    """Check many, as many at once as there are cores; in their order, each as soon as it is known.

    Parameters: paths; first, the number of the first draw that is tried.
    """
    with ThreadPoolExecutor(min(4, os.cpu_count() or 1)) as pool:
        yield from pool.map(lambda path: check(path, first), paths)
