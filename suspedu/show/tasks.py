"""Tasks of a lesson that are checked on the spot: a number, or how a panel stands. A hint, never a mark."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from suspedu.show.asking import Question, number_in
from suspedu.spelling import readable


class NumberTask(Question):
    """A question for a number that is compared at once.

    Parameters: key; question; unit; value, the right one; within, how far beside it is still right; hint for any other;
    slips, pairs of a wrong value and the hint that it earns.
    Raises: ValueError for a slip that would pass, or two slips that are one.
    """

    def __init__(self, key, question, unit, value, within, hint, slips=()):
        self.value, self.within, self.hint, self.slips = float(value), float(within), hint, tuple(slips)
        known = sorted([self.value, *(float(wrong) for wrong, _ in self.slips)])
        if any(after - before <= 2 * self.within for before, after in itertools.pairwise(known)):
            raise ValueError(f"{key}: the right value and its slips lie too close to one another: {known}")
        super().__init__(key, question, unit=unit)
        self.words = ["Now you", "Check", "Check again"]
        self.answer, self.said = "", ""

    def record(self, answer: str) -> None:
        """Say whether an answer is right, or give the hint that belongs to it."""
        found = number_in(answer, self.unit)
        if found is None:
            self.said = self._refusal(answer)
            return
        self.answer = readable(f"{found:g}", self.unit)
        self.said = f"Right: {self.answer}." if self.right(found) else f"Not {self.answer}. {self._hint(found)}"

    def right(self, found: float) -> bool:
        """Whether a number is near enough to the right one."""
        return abs(found - self.value) <= self.within

    def _hint(self, found: float) -> str:
        return next((hint for wrong, hint in self.slips if abs(found - wrong) <= self.within), self.hint)


class SettingTask(Question):
    """A task for the panel above: its button asks whether the panel stands as the task wants it.

    Parameters: key; question; panel; goal, a function of the panel's values that says whether they will do;
    hint where they will not.
    """

    def __init__(self, key, question, panel, goal: Callable[[dict], bool], hint: str):
        super().__init__(key, question)
        self.panel, self.goal, self.hint = panel, goal, hint
        self.words = ["Now you", "Check the panel"]
        self.answer, self.said = "", ""

    @property
    def text(self) -> str:
        """The task as plain text."""
        return f"Now you: {self.question}\n(a setting of the panel above)"

    def record(self, answer: str) -> None:
        """Look at the panel, and say whether its setting will do."""
        self.said = "Right." if self.goal(dict(self.panel.values)) else f"Not yet. {self.hint}"


def now_you(key: str, question: str, unit: str, *, value: float, within: float, hint: str,
          slips: Sequence[tuple[float, str]] = ()) -> NumberTask:
    """A task with a number for an answer, compared on the spot; arguments as of `NumberTask`."""
    return NumberTask(key, question, unit, value, within, hint, slips)


def now_you_panel(key: str, question: str, panel, goal: Callable[[dict], bool], hint: str) -> SettingTask:
    """A task whose answer is how a panel stands, looked at on the spot; arguments as of `SettingTask`."""
    return SettingTask(key, question, panel, goal, hint)
