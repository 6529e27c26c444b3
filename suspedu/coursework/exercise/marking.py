"""Marks merged exercises: the one way to a mark, for a learner's self-check and for the instructor's desk."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from threading import Event

from suspedu.coursework.exercise import verdicts
from suspedu.coursework.exercise.bench import Bench, Run
from suspedu.coursework.exercise.follow import followed
from suspedu.coursework.exercise.options import letter_alone
from suspedu.coursework.exercise.replay import replayed
from suspedu.coursework.exercise.sheet import Sheet, SheetQuestion
from suspedu.coursework.exercise.task import Task, own_cells
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.confinement import confined_launcher
from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.runner import CellOutcome, Launcher


@dataclass(frozen=True)
class Marks:
    """Rows of verdicts of one task, why kernels of it were stopped, and what its given cells printed."""

    rows: tuple[verdicts.Row, ...]
    stopped: tuple[str, ...] = ()
    given: str = ""


def mark(tasks: Sequence[Task], launcher: Launcher | None = None, limits: Limits | None = None,
         on_record: Callable[[dict], None] | None = None, over: Event | None = None) -> dict[str, Marks]:
    """Marks by task name, from as few runs as the manners of the answers allow.

    Parameters: tasks, each with its own name; launcher of kernels (where none: under plain limits); limits of each;
    on_record, called with each line of the log as it arrives; over, set by whoever wants no further engine to start.
    Raises: StoppedError once `over` is set.
    An answer that ends its kernel costs its own question and those that cannot do without it.
    """
    limits = limits or Limits()
    bench = Bench(launcher or confined_launcher(sandbox.chosen_mode("limited"), limits), limits, on_record, over)
    first = bench.run([task.job() for task in tasks])
    later = replayed(tasks, first, bench)
    marks = {}
    for task in tasks:
        own = {question: run for (name, question), run in later.items() if name == task.name}
        marks[task.name] = _marks(task, first[task.name], own)
    rows = followed(tasks, {name: each.rows for name, each in marks.items()}, bench)
    return {name: replace(each, rows=rows[name]) for name, each in marks.items()}


def _marks(task: Task, first: Run, later: dict[str, Run]) -> Marks:
    """Marks of one task: each question by its own run where it has one, else by the first."""
    outcomes, runs = {}, {}
    for question in task.merged.questions():
        runs[question.id] = run = later.get(question.id, first)
        outcomes |= _own_outcomes(question, run, task.copy or task.pristine)
    rows = verdicts.rows(task.pristine, task.merged, outcomes, task.wanted)
    stopped = dict.fromkeys(run.stopped for run in (first, *later.values()) if run.stopped)
    return Marks(tuple(_with_reason(row, runs[row.question]) for row in rows), tuple(stopped), _given(task, first))


def _given(task: Task, run: Run) -> str:
    """What the cells that an exercise gives printed with a learner's numbers: figures that their words may speak of."""
    keys = [cell.id for cell in task.code if cell.role not in ("answer", "verdict")]
    return "\n".join(run.outcomes[key].printed.strip() for key in keys if key in run.outcomes
                     and run.outcomes[key].printed.strip())


def _own_outcomes(question: SheetQuestion, run: Run, listed: Sheet) -> dict[str, CellOutcome]:
    """Outcomes of a question's cells; a kernel that ended between answer and verdict was ended by the answer.

    Parameters: question; run; listed, the sheet that lists the options of choices as the learner has them.
    """
    keys = own_cells(question)
    found = {key: run.outcomes[key] for key in keys if key in run.outcomes}
    if question.verdict and question.verdict.facts.get("choice") and keys[-1] in found:
        printed = letter_alone(listed, question.id, found[keys[-1]].printed)
        found[keys[-1]] = replace(found[keys[-1]], printed=printed)
    if run.fault(keys[-1]) == "dead" and keys[-1] in found and all(found[key].passed for key in keys[:-1]):
        found[keys[-1]] = replace(found[keys[-1]], fault="died")
    return found


def _with_reason(row: verdicts.Row, run: Run) -> verdicts.Row:
    """A row with what only its run tells: why the kernel was stopped, and which answer was left out."""
    if run.stopped and "ended the Python process" in row.hint:
        return replace(row, hint=f"it was stopped because {run.stopped}")
    if run.without and row.hint.startswith(verdicts.ON_BLANK):
        return replace(row, hint=f"it needs your answer to {' and '.join(run.without)}, which was left out: the Python "
                                 "process did not outlive it")
    return row
