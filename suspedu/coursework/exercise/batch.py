"""Marks a batch of returns in one engine, and sees to it that a bad one costs only itself.

This is what runs on each thread of this machine or each worker of a cluster.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from suspedu.coursework.exercise import marking, verdicts
from suspedu.coursework.exercise.marking import Task
from suspedu.coursework.exercise.versions import versions
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.confinement import confined_launcher
from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.runner import Launcher, Outcome, run_batch


@dataclass(frozen=True)
class Result:
    """Rows of one task, why its kernel was stopped if it was, and where it ran."""

    name: str
    rows: tuple[verdicts.Row, ...]
    stopped: tuple[str, ...]
    mode: str
    versions: dict[str, str]


def mark_batch(tasks: Sequence[Task], choice: str, limits: Limits) -> list[Result]:
    """Results of some tasks, from as few runs as their manners allow.

    Parameters: tasks, each with its own name; choice of mode; limits of each kernel.
    Raises: InputError where the mode asked for does not work on this machine.
    """
    mode = sandbox.chosen_mode(choice)
    bench = Bench(confined_launcher(mode, limits), limits)
    outcomes = bench.run(tasks)
    for task in tasks:  # one that stopped the whole engine took the others' outcomes with it: each again, alone
        if len(tasks) > 1 and not _complete(task, outcomes[task.name]):
            outcomes |= bench.run([task])
    outcomes |= bench.without_culprits(tasks, outcomes)
    return [Result(task.name, _rows(task, outcomes[task.name], bench.stopped.get(task.name)),
                   tuple(bench.stopped.get(task.name, ())), mode.name, versions()) for task in tasks]


class Bench:
    """Runs tasks and remembers why kernels were stopped."""

    def __init__(self, launcher: Launcher, limits: Limits):
        self.launcher, self.limits, self.stopped = launcher, limits, {}

    def run(self, tasks: Sequence[Task]) -> dict[str, dict[str, Outcome]]:
        """Outcomes by task and cell; of an engine that broke down, what it had reported."""
        found: dict[str, dict[str, Outcome]] = {task.name: {} for task in tasks}
        try:
            return found | run_batch([marking.job(t) for t in tasks], self.launcher, self.limits, on_record=self._note)
        except RuntimeError:
            return found  # the engine itself was shot down before its first word; the caller goes on without it

    def _note(self, line: dict) -> None:
        if "stopped" in line:
            self.stopped.setdefault(line["job"], []).append(line["stopped"])

    def without_culprits(self, tasks: Sequence[Task], outcomes: dict) -> dict[str, dict[str, Outcome]]:
        """Outcomes of the tasks that lost their kernel, from further runs with the guilty answers blanked.

        Each round blanks one more answer of each such task, so there are no more rounds than answers.
        """
        kept, last, open_tasks, blanked = dict(outcomes), dict(outcomes), list(tasks), {}
        while open_tasks := [t for t in (_next(t, last, blanked) for t in open_tasks) if t]:
            last = self.run(open_tasks)
            for task in open_tasks:
                kept[task.name] = _filled(kept[task.name], last[task.name])
        return kept


def _next(task: Task, last: dict, blanked: dict[str, set[str]]) -> Task | None:
    """The task with one more answer blanked, or None where nothing was lost or nothing is left to blank."""
    done, outcomes = blanked.setdefault(task.name, set()), last[task.name]
    code = [cell for cell in task.merged.cells if cell.kind == "code"]
    lost = next((k for k, cell in enumerate(code) if _is_lost(outcomes.get(cell.id))), None)
    if lost is None:
        return None
    suspects = [verdicts.culprit(task.merged, outcomes), *(c.id for c in code[lost:lost + 1] if c.role == "answer"),
                *(c.id for c in reversed(code[:lost]) if c.role == "answer")]
    chosen = next((key for key in suspects if key and key not in done), "")
    if not chosen:
        return None
    done.add(chosen)
    blank = next(cell.source for cell in task.pristine.cells if cell.id == chosen)
    return replace(task, merged=task.merged.with_sources({chosen: blank}))


def _is_lost(outcome: Outcome | None) -> bool:
    return outcome is None or outcome.fault == "dead"


def _filled(kept: dict[str, Outcome], later: dict[str, Outcome]) -> dict[str, Outcome]:
    """What an earlier run had found, and from a later one what the earlier had lost."""
    return kept | {key: found for key, found in later.items() if _is_lost(kept.get(key))}


def _complete(task: Task, outcomes: dict[str, Outcome]) -> bool:
    return all(cell.id in outcomes for cell in task.merged.cells if cell.kind == "code")


def _rows(task: Task, outcomes: dict[str, Outcome], stopped: list[str] | None) -> tuple[verdicts.Row, ...]:
    rows = verdicts.rows(task.pristine, task.merged, outcomes, task.expected)
    ended = "ended the Python process"
    reason = f"it was stopped because {stopped[0]}" if stopped else ""
    return tuple(replace(row, hint=reason) if reason and ended in row.hint else row for row in rows)
