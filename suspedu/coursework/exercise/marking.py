"""Marks merged exercises: nbval runs them, a second run saves the questions after an answer that killed its kernel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from suspedu.coursework.exercise import verdicts
from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.sheet import Sheet
from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.runner import Job, Launcher, Outcome, Step, run_batch


@dataclass(frozen=True)
class Task:
    """One exercise to mark: the pristine sheet, the same with a learner's answers, and the expected prints."""

    name: str
    pristine: Sheet
    merged: Sheet
    expected: dict[str, Expected]


def mark(tasks: Sequence[Task], launcher: Launcher | None = None, limits: Limits | None = None,
         on_record: Callable[[dict], None] | None = None) -> dict[str, tuple[verdicts.Row, ...]]:
    """Rows of verdicts by task name.

    An answer that kills its kernel costs its own question: the rest is run once more without it.
    """
    outcomes = run_batch([job(task) for task in tasks], launcher, limits, on_record=on_record)
    guilty = {task.name: verdicts.culprit(task.merged, outcomes[task.name]) for task in tasks}
    again = [_without(task, guilty[task.name]) for task in tasks if guilty[task.name]]
    second = run_batch([job(task) for task in again], launcher, limits, on_record=on_record) if again else {}
    return {task.name: verdicts.rows(task.pristine, task.merged, _kept(task, outcomes, second), task.expected)
            for task in tasks}


def job(task: Task) -> Job:
    """The notebook that nbval runs for a task: only verdicts are compared."""
    steps = []
    for cell in task.merged.cells:
        if cell.kind == "code":
            judged = cell.role == "verdict"
            steps.append(Step(cell.id, cell.source, task.expected[cell.question].print if judged else None))
    return Job(task.name, tuple(steps))


def _without(task: Task, guilty: str) -> Task:
    """The task with one answer cell blanked."""
    blank = next(cell.source for cell in task.pristine.cells if cell.id == guilty)
    return replace(task, merged=task.merged.with_sources({guilty: blank}))


def _kept(task: Task, first: dict, second: dict) -> dict[str, Outcome]:
    """Outcomes of a task: from the first run up to the culprit's question, from the second for what was lost."""
    lost = {key: outcome for key, outcome in second.get(task.name, {}).items()
            if key not in first[task.name] or first[task.name][key].fault == "dead"}
    return first[task.name] | lost
