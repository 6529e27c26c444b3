"""Marks a batch of returns, and says how and with what: what a thread of this machine or a worker of a cluster runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from threading import Event

from suspedu.coursework.exercise import marking, verdicts
from suspedu.coursework.exercise.bench import StoppedError
from suspedu.coursework.exercise.task import Task
from suspedu.coursework.exercise.versions import versions
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.confinement import confined_launcher
from suspedu.coursework.running.limits import Limits


@dataclass(frozen=True)
class Result:
    """Rows of one task, why its kernels were stopped, and where it ran: name of the mode, `held`, its words;
    `fault`, the kind of what broke its marking; `given`, what given cells printed."""

    name: str
    rows: tuple[verdicts.Row, ...]
    stopped: tuple[str, ...]
    mode: str
    versions: dict[str, str]
    fault: str = ""
    held: str = ""
    given: str = ""


def mark_batch(tasks: Sequence[Task], choice: str, limits: Limits, over: Event | None = None) -> list[Result]:
    """Results of some tasks.

    Parameters: tasks, each with its own name; choice of mode; limits of each kernel; over, set to stop it.
    Raises: InputError where the mode asked for does not work on this machine, or it would run as root unasked;
    StoppedError once `over` is set.
    """
    sandbox.refuse_root()
    mode = sandbox.chosen_mode(choice)
    try:
        found = marking.mark(tasks, confined_launcher(mode, limits), limits, over=over)
    except (StoppedError, OSError):  # from outside, or of this machine: nobody's return is to blame
        raise
    except Exception as fault:
        return _walled(tasks, fault, choice, limits, over)
    where = {"mode": mode.name, "versions": versions(), "held": mode.words}
    return [Result(name, marks.rows, marks.stopped, given=marks.given, **where) for name, marks in found.items()]


def _walled(tasks: Sequence[Task], fault: Exception, choice: str, limits: Limits, over: Event | None) -> list[Result]:
    """Each task of a batch that broke, by itself; the one that breaks alone too cannot be marked, and says so."""
    if len(tasks) > 1:
        return [result for task in tasks for result in mark_batch([task], choice, limits, over)]
    return [Result(tasks[0].name, (), (), "", versions(), type(fault).__name__)]
