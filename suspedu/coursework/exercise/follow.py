"""Follow-through: an answer that is wrong only because one before it is wrong counts.

It is run once more, with the right numbers in place of those that the wrong answer set. What is right then is right by
its method; a number that was typed in, an exercise's or a neighbour's, stays what it is and stays wrong.
Only numbers are put in place: a function would bring the solution into the kernel of an answer. An author hears of it
(`authoring/following.py`); in the course's own exercises nothing builds on a function.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from suspedu.coursework.exercise.bench import Bench
from suspedu.coursework.exercise.builds_on import built_on
from suspedu.coursework.exercise.sheet import Cell, SheetQuestion
from suspedu.coursework.exercise.task import Task
from suspedu.coursework.exercise.verdicts import ERROR, RIGHT, WRONG, Row, judged
from suspedu.coursework.running.runner import Job

UNDONE = (WRONG, ERROR)


def followed(tasks: Sequence[Task], rows: dict[str, tuple[Row, ...]], bench: Bench) -> dict[str, tuple[Row, ...]]:
    """Rows by task, those of questions that are right on a wrong answer with their points.

    Parameters: tasks; rows of each; bench to run on.
    """
    asked = {f"{task.name} {q.id}": (task, q, wrong) for task in tasks for q in task.merged.questions()
             if (wrong := _wrong_before(task, q, rows[task.name]))}
    if not asked:
        return rows
    runs = bench.run([_job(name, *what) for name, what in asked.items()])
    found = dict(rows)
    for name, (task, question, wrong) in asked.items():
        outcome = runs[name].outcomes.get(question.verdict.id)
        if outcome and judged(outcome, task.wanted[question.id]):
            found[task.name] = tuple(_credited(row, wrong) if row.question == question.id else row
                                     for row in found[task.name])
    return found


def _wrong_before(task: Task, question: SheetQuestion, rows: tuple[Row, ...]) -> tuple[str, ...]:
    """The wrong questions that a wrong one builds on and that set numbers; none where it is not to be run again."""
    verdicts = {row.question: row.verdict for row in rows}
    if question.verdict is None or verdicts[question.id] not in UNDONE:
        return ()
    before = dict.fromkeys(cell.question for cell in built_on(task, question))
    wrong = tuple(name for name in before if verdicts[name] == WRONG)
    return wrong if all(_numbers(task, name) for name in wrong) else ()


def _numbers(task: Task, question: str) -> tuple[tuple[str, str], ...]:
    return getattr(task.expected.get(question), "values", ())


def _job(name: str, task: Task, question: SheetQuestion, wrong: tuple[str, ...]) -> Job:
    """The notebook of one question and all that it builds on, the numbers of wrong answers put right after them."""
    kept = {cell.id for cell in (*built_on(task, question), *question.answers, question.verdict)}
    cells = [cell for cell in task.code if cell.id in kept or cell.role not in ("answer", "verdict")]
    put = {cell.id: _put_right(task, cell) for cell in cells if cell.role == "answer" and cell.question in wrong}
    job = task.job(cells[:cells.index(question.verdict) + 1], name)
    return replace(job, steps=tuple(replace(step, source=step.source + put.get(step.key, "")) for step in job.steps))


def _put_right(task: Task, cell: Cell) -> str:
    return "\n" + "\n".join(f"{name} = float('{value}')" for name, value in _numbers(task, cell.question))


def _credited(row: Row, wrong: tuple[str, ...]) -> Row:
    return replace(row, earned=row.possible, verdict=RIGHT, hint=f"right on your own {' and '.join(wrong)}")
