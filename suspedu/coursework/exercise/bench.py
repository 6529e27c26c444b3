"""Runs notebooks on behalf of marking: what became of their cells, and why a kernel was stopped."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from threading import Event

from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.runner import CellOutcome, Job, Launcher, run_batch

LOST = ("died", "dead")  # a kernel that ended in this cell, or had ended before


class StoppedError(RuntimeError):
    """Marking was stopped from outside; nothing is known of what was in hand."""


@dataclass(frozen=True)
class Run:
    """One notebook that was run: outcomes by cell id (not reached: absent); why its kernel was stopped, if it was.

    `without` are the questions whose answers were left out of it.
    """

    outcomes: dict[str, CellOutcome] = field(default_factory=dict)
    stopped: str = ""
    without: tuple[str, ...] = ()

    def fault(self, key: str) -> str:
        """What went wrong in a cell, or nothing; "dead" for one that was not reached."""
        return self.outcomes[key].fault if key in self.outcomes else "dead"

    def is_lost(self, keys) -> bool:
        """Whether the kernel ended in one of these cells or before."""
        return any(self.fault(key) in LOST for key in keys)


class Bench:
    """Runs jobs with one way of starting kernels and one set of limits.

    Parameters: launcher of kernels; limits of each; on_record, called with each line of the log as it arrives;
    over, set by whoever wants no further engine to start.
    """

    def __init__(self, launcher: Launcher, limits: Limits, on_record: Callable[[dict], None] | None = None,
                 over: Event | None = None):
        self.launcher, self.limits, self.on_record, self.over = launcher, limits, on_record, over

    def run(self, jobs: Sequence[Job]) -> dict[str, Run]:
        """Runs by name of the job, from one engine; what an engine that was brought down left undone, each alone."""
        runs = self._once(jobs)
        for job in jobs:
            if len(jobs) > 1 and any(step.key not in runs[job.name].outcomes for step in job.steps):
                runs |= self._once([job])
        return runs

    def _once(self, jobs: Sequence[Job]) -> dict[str, Run]:
        if self.over and self.over.is_set():
            raise StoppedError("marking was stopped")
        stopped: dict[str, str] = {}

        def note(line: dict) -> None:
            if "stopped" in line:
                stopped.setdefault(line["job"], line["stopped"])
            if self.on_record:
                self.on_record(line)
        try:
            found = run_batch(jobs, self.launcher, self.limits, on_record=note)
        except RuntimeError:  # the engine was shot down before its first word; the caller goes on without it
            found = {}
        return {job.name: Run(found.get(job.name, {}), stopped.get(job.name, "")) for job in jobs}
