"""After a death each question is replayed in a kernel of its own, so that its mark does not hang on chance.

A kernel may die later than in the answer that is to blame: of memory that was left behind, of a process or a clock that
was started. Where the death shows is chance. So the questions from the first trouble on are run again, each alone:
set-up and numbers, the earlier answers that it builds on, its own, its verdict. Where that dies too, earlier
answers are blanked: first those that brought down their own kernel or ran out of time, then the nearest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from suspedu.coursework.exercise.bench import Bench, Run
from suspedu.coursework.exercise.builds_on import built_on
from suspedu.coursework.exercise.sheet import SheetQuestion
from suspedu.coursework.exercise.task import Task, own_cells
from suspedu.coursework.exercise.verdicts import KILLERS
from suspedu.coursework.running.runner import Job

TROUBLE = ("dead", *KILLERS)


class Replay:
    """One question of one task in a kernel of its own; `run` is what its mark comes from."""

    def __init__(self, task: Task, question: SheetQuestion, guilty: set[str]):
        self.task, self.question, self.guilty = task, question, guilty
        self.own, self.run = own_cells(question), None
        self.suspects = [cell.id for cell in built_on(task, question)]
        self.blanked, self.is_sure = guilty & set(self.suspects), True

    def job(self) -> Job:
        """The notebook of this question, with earlier answers as they are or blanked."""
        place = self.task.code.index(self.question.verdict)
        sheet = self.task.merged.with_sources({key: self.task.blank(key) for key in self.blanked})
        cells = [cell for cell in sheet.cells if cell.kind == "code"][:place + 1]
        wanted = {*self.own, *self.suspects}
        return self.task.job([cell for cell in cells if cell.id in wanted or cell.role not in ("answer", "verdict")],
                             f"{self.task.name} {self.question.id}")

    def take(self, run: Run) -> bool:
        """Keep what a run found where it counts, and note who is guilty; whether it has to run again."""
        if self.is_sure or run.fault(self.own[-1]) in ("", "differs"):
            self.run = replace(run, without=self._left_out())
        if not run.is_lost(self.own):
            return False
        left = [key for key in self.suspects if key not in self.blanked]
        if not left:
            self.guilty.update(self.own[:-1])
        self._blank(run, left)
        return bool(left)

    def _left_out(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(cell.question for cell in self.task.code if cell.id in self.blanked))

    def _blank(self, run: Run, left: list[str]) -> None:
        """Blank the suspects that are known to be bad, or the nearest: that counts only if the verdict then prints."""
        known = {key for key in left if key in self.guilty or run.fault(key) in TROUBLE}
        self.is_sure = bool(known)
        self.blanked |= known or set(left[-1:])


def replayed(tasks: Sequence[Task], first: dict[str, Run], bench: Bench) -> dict[tuple[str, str], Run]:
    """Runs by task and question of all questions that must not be marked by the first run of their task."""
    every = [again for task in tasks for again in _replays(task, first[task.name])]
    waiting = every
    while waiting:
        found = bench.run([again.job() for again in waiting])
        waiting = [again for again in waiting if again.take(found[f"{again.task.name} {again.question.id}"])]
    return {(again.task.name, again.question.id): again.run for again in every}


def _replays(task: Task, first: Run) -> list[Replay]:
    """The answered questions from the first trouble on; none where no kernel died."""
    keys = [cell.id for cell in task.code]
    if not first.is_lost(keys):
        return []
    late = set(keys[next(k for k, key in enumerate(keys) if first.fault(key) in TROUBLE):])
    answered = task.answered()
    guilty: set[str] = set()
    found = []
    for question in task.merged.questions():
        if question.verdict is None or question.verdict.id not in late or question.id not in answered:
            continue
        if question.id == answered[0] and _met_trouble(question, first):  # no other answer can be to blame
            guilty |= set(own_cells(question)[:-1]) if first.is_lost(own_cells(question)) else set()
        else:
            found.append(Replay(task, question, guilty))
    return found


def _met_trouble(question: SheetQuestion, first: Run) -> bool:
    """Whether a question itself failed while its kernel lived."""
    return any(first.fault(key) in ("error", *KILLERS) for key in own_cells(question))
