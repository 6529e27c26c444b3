"""From a rider's complaint to other shims: stacks for ever larger changes, ridden, until the rider would notice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from suspedu.machine import Machine
from suspedu.school.complaints import COMPLAINTS, Complaint, complaint, loop_outcomes
from suspedu.school.noticed import noticed
from suspedu.units import InputError
from suspedu.upgrade.revalving import Proposal, Target, proposal_of, with_stack

# Which stack the trade would change for a complaint, and whether it asks for more or less of it (common practice).
STACK_FOR = {"kicks": ("rebound_stack", 1), "packs": ("rebound_stack", -1), "settles-late": ("rebound_stack", 1),
             "blows-through": ("mid_stack", 1), "hits-edges": ("mid_stack", -1),
             "bottoms": ("compression_high_stack", 1), "unused-travel": ("compression_high_stack", -1),
             "deflects": ("mid_stack", -1), "dives": ("compression_low_stack", 1)}  # fmt: skip
CHANGES = (0.15, 0.3, 0.5)  # of the force at quick movements


@dataclass(frozen=True)
class Cure:
    """A stack against a complaint, ridden on the school's loop: what it brings there and what it costs elsewhere."""

    wrong: str
    proposal: Proposal
    steps: dict[str, float]  # that a rider notices, of every complaint: above zero better

    @property
    def enough(self) -> bool:
        """Whether the rider would notice."""
        return self.steps[self.wrong] >= 1.0

    @property
    def price(self) -> tuple[str, float] | None:
        """The complaint that grows most by what one notices, and by how many steps; None where nobody would notice."""
        own = COMPLAINTS[self.wrong].outcome
        others = [name for name, row in COMPLAINTS.items() if row.outcome != own]
        worst = min(others, key=lambda name: self.steps[name])
        return (worst, -self.steps[worst]) if self.steps[worst] <= -1.0 else None


def cure(machine: Machine, wrong: str, progress: Callable[[int, int], None] | None = None) -> Cure:
    """The smallest change of one stack that a rider with a complaint would notice, or the one that brings most.

    Parameters: machine; wrong, a complaint by its id; progress(done, total), called after each change that was ridden.
    Raises: InputError for a complaint that no stack of this course is changed for.
    """
    row = complaint(wrong)
    if wrong not in STACK_FOR:
        raise InputError(f"'{row.words}' is not cured by shims here; ask for one of: {', '.join(STACK_FOR)}")
    (stack, way), usual, best = STACK_FOR[wrong], loop_outcomes(machine), None
    for count, change in enumerate(CHANGES, start=1):
        found = proposal_of(machine, Target(stack, 1.0, 1.0 + way * change))
        tried = Cure(wrong, found, _steps(usual, loop_outcomes(with_stack(machine, stack, found.stack))))
        if progress:
            progress(count, len(CHANGES))
        if best is None or tried.steps[wrong] > best.steps[wrong]:
            best = tried
        if tried.enough:
            break
    return best


def _steps(usual: dict[str, float], now: dict[str, float]) -> dict[str, float]:
    return {name: _felt(row, now[name] - usual[name], usual[name]) for name, row in COMPLAINTS.items()}


def _felt(row: Complaint, change: float, usual: float) -> float:
    return float(row.gain(change)) / noticed(row.outcome, usual)
