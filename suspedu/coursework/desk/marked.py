"""What became of a return: its questions, its points, what being late takes off."""

from __future__ import annotations

from dataclasses import dataclass, field

NOT_MARKED = "not marked"  # verdict on a question of a file that nobody could mark, or that nobody handed in
NOTHING_IN = "nothing was handed in"  # in the place of a file, where points were set for an oral or on paper


@dataclass(frozen=True)
class Scored:
    """What became of one question; `earned` is None until an explanation has been marked by hand."""

    question: str
    title: str
    earned: float | None
    possible: int
    verdict: str
    hint: str = ""
    printed: str = ""
    expected: str = ""
    answer: str = ""


@dataclass(frozen=True)
class Marked:
    """One student's marked exercise; `fault` where the file could not be marked at all."""

    student: str
    exercise: str
    job: str  # hash of everything that the marks depend on
    digest: str
    origin: str
    saved: float
    at: str
    fault: str = ""
    notes: tuple[str, ...] = ()
    evidence: dict = field(default_factory=dict)
    questions: tuple[Scored, ...] = ()
    off: float = 0.0  # share of the points that being late takes

    @property
    def earned(self) -> float:
        """Points so far, less what being late takes."""
        return (1.0 - self.off) * sum(q.earned or 0.0 for q in self.questions)

    @property
    def possible(self) -> int:
        """The most points there are."""
        return sum(q.possible for q in self.questions)
