"""Marks a batch of returns, and says how and with what: what a thread of this machine or a worker of a cluster runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from threading import Event

from suspedu.coursework.exercise import marking, verdicts
from suspedu.coursework.exercise.task import Task
from suspedu.coursework.exercise.versions import versions
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.confinement import confined_launcher
from suspedu.coursework.running.limits import Limits


@dataclass(frozen=True)
class Result:
    """Rows of one task, why its kernels were stopped if they were, and where it ran."""

    name: str
    rows: tuple[verdicts.Row, ...]
    stopped: tuple[str, ...]
    mode: str
    versions: dict[str, str]


def mark_batch(tasks: Sequence[Task], choice: str, limits: Limits, over: Event | None = None) -> list[Result]:
    """Results of some tasks.

    Parameters: tasks, each with its own name; choice of mode; limits of each kernel; over, set to stop it.
    Raises: InputError where the mode asked for does not work on this machine; StoppedError once `over` is set.
    """
    mode = sandbox.chosen_mode(choice)
    found = marking.mark(tasks, confined_launcher(mode, limits), limits, over=over)
    return [Result(name, marks.rows, marks.stopped, mode.name, versions()) for name, marks in found.items()]
