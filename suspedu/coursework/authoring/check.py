"""The check of an exercise by whoever writes it: is it as derived, and is its table of numbers sound?

A solution is run once, with all its rows, slips and other ways of working in one kernel; what the practice row prints
there goes into the derived exercise, so that nothing runs twice.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from suspedu.coursework.authoring import derive, soundness
from suspedu.coursework.exercise import loading
from suspedu.units import InputError


@dataclass(frozen=True)
class Check:
    """What was found about one exercise: what is unsound, a sentence each, and whether it is as derived.

    `as_derived` is None where its solution does not make an exercise.
    """

    name: str
    as_derived: bool | None
    faults: tuple[str, ...]


def check(path: Path) -> Check:
    """Check the exercise of one solution; that a solution does not make an exercise is a fault like any other.

    >>> from suspedu.coursework.exercise.places import PACKAGE
    >>> check(PACKAGE / "absent.ipynb").faults
    ("'absent.ipynb' cannot be read: there is no such file",)
    """
    try:
        faults, prints = soundness.examined(loading.solution(path))
    except InputError as fault:
        return Check(path.stem, None, (str(fault),))
    same = derive.is_derived(path, derive.derived(path, prints[0])) if 0 in prints else None
    return Check(path.stem, same, tuple(faults))


def check_all(paths: Sequence[Path]) -> Iterator[Check]:
    """Check many, as many at once as there are cores; in their order, each as soon as it is known."""
    with ThreadPoolExecutor(min(4, os.cpu_count() or 1)) as pool:
        yield from pool.map(check, paths)
