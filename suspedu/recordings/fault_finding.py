"""Which fault explains a test best: each is fitted with all else that may differ from damper to damper, and weighed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import scipy

from suspedu.recordings.fault_kinds import HEALTHY, FaultKind, fault_kinds
from suspedu.recordings.fitting import Evidence, as_recorded, evidence_of, put_all, slopes
from suspedu.recordings.reduction import Reduced
from suspedu.recordings.rig import Rig
from suspedu.recordings.unknowns import UNKNOWNS, searchable
from suspedu.units import shown

SCATTER = {  # of healthy dampers of one kind, one standard deviation of the search's coordinate (guess of the course)
    "compression bleed": 0.06, "rebound bleed": 0.06, "compression stiffness": 0.08, "rebound stiffness": 0.08,
    "friction": 0.4, "gas pressure": 0.15e5 / UNKNOWNS["gas pressure"].step, "entrained air": 0.5}  # fmt: skip
SURE = 0.95  # weight above which a hypothesis is named alone (guess of the course)
WORTH_NAMING = 0.05  # weight below which one is left out (guess of the course)
STRANGE = 3.0  # misfit above which none of them explains the test (guess of the course)
MOST_CALLS = 25


@dataclass(frozen=True)
class Hypothesis:
    """One explanation of a test: what is wrong, how badly, how well it explains, and what weight it has among all."""

    kind: FaultKind | None  # None: healthy
    size: float  # SI; 0 where healthy
    missed: float  # sum of squares of what is missed, scatter of healthy dampers included
    weight: float

    @property
    def name(self) -> str:
        """The fault's name, or "healthy"."""
        return self.kind.name if self.kind else HEALTHY

    def __str__(self):
        size = f" {self.kind.place}, {self.kind.measure}: {shown(self.size, self.kind.unit, 2)}" if self.kind else ""
        return f"{self.name}{size} (weight {self.weight:.2f})"


@dataclass(frozen=True)
class FaultsWeighed:
    """All explanations of a test, the heaviest first."""

    hypotheses: tuple[Hypothesis, ...]
    misfit: float  # of the best: mean square of what it misses

    @property
    def best(self) -> Hypothesis:
        """The heaviest explanation."""
        return self.hypotheses[0]

    def weight_of(self, name: str) -> float:
        """Weight of a fault, wherever it sits, or of "healthy" [-]; name as in `FAULT_KINDS`."""
        return sum(each.weight for each in self.hypotheses if each.name == name)

    @property
    def statement(self) -> str:
        """What the test says, in a sentence or two."""
        if self.misfit > STRANGE:
            return ("None of these explains the test: the damper is another one than was given, or it has two faults "
                    "at once.")
        left = {each.name: each for each in reversed(self.hypotheses) if each.weight >= WORTH_NAMING}
        names = sorted(left, key=lambda name: -self.weight_of(name))
        if self.weight_of(names[0]) >= SURE:
            where = f" {self.best.kind.place}; first {self.best.kind.look_first}" if self.best.kind else ""
            return f"This test speaks for: {names[0]}{where}."
        return f"This test does not decide between {' and '.join(names)}."


def faults_weighed(test: Reduced, rig: Rig) -> FaultsWeighed:
    """How much a test speaks for each fault, and for a healthy damper.

    For each: least sum of squares S of what is missed, with the scatter of healthy dampers as further witnesses;
    BIC = S + k ln n, k one for a fault and none for a healthy damper, n rows; weight = exp(-BIC/2) over the sum of all.

    Parameters: test; rig, the damper as it should be.
    Returns: `FaultsWeighed`.
    Assumes: one fault at most; scatter as in `SCATTER`; the prior chance of all is the same, which in a workshop it is
    not.

    >>> from suspedu.damper import stock_damper
    >>> from suspedu.recordings.reduction import reduced
    >>> from suspedu.recordings.samples import sine_recording
    >>> weighed = faults_weighed(reduced(sine_recording(0.025, 4.0)), Rig(stock_damper("closed cartridge")))
    >>> len(weighed.hypotheses), weighed.best.name
    (7, 'healthy')

    Source: schwarz-1978; burnham-anderson, section 6.4, weights (printed, from memory)
    """
    rig = as_recorded(rig, test)
    search = _Search(rig, evidence_of(test, rig))
    healthy, at = search.fitted(None, search.start)
    rows = int(np.sum(search.evidence.compared))
    found = [(None, healthy, 0.0)]
    for kind in fault_kinds(rig):
        missed, place = search.fitted(kind, np.append(at, search.first_size(kind, at)))
        found.append((kind, missed, float(kind.value(place[-1]))))
    score = np.array([missed + (kind is not None) * np.log(rows) for kind, missed, _ in found])
    weights = np.exp(-(score - score.min()) / 2.0)
    heavy = [Hypothesis(kind, size, missed, float(weight)) for (kind, missed, size), weight in
             zip(found, weights / weights.sum(), strict=True)]
    heavy.sort(key=lambda each: -each.weight)
    return FaultsWeighed((search.settled(heavy[0], at), *heavy[1:]), heavy[0].missed / rows)


class _Search:
    """What all fits of one test share."""

    def __init__(self, rig: Rig, evidence: Evidence):
        self.rig, self.evidence = rig, evidence
        self.searched = [UNKNOWNS[name] for name in searchable(rig, SCATTER)]
        self.spread = np.array([SCATTER[each.name] for each in self.searched])
        self.edges = np.array([(float(each.coordinate(each.low)), float(each.coordinate(each.high)))
                               for each in self.searched]).T
        self.listed = np.array([float(each.coordinate(max(each.read(rig), each.low))) for each in self.searched])
        self.start = np.clip(self.listed, self.edges[0] + 1e-3, self.edges[1] - 1e-3)

    def missed(self, kind: FaultKind | None, at) -> np.ndarray:
        """What a damper with this fault misses, rows first, then how far it is from the listed one."""
        count = len(self.searched)
        off = (np.asarray(at)[:count] - self.listed) / self.spread
        taken = [place for place, each in enumerate(self.searched) if kind is None or not self._replaced(each, kind)]
        rig = put_all(self.rig, [self.searched[place] for place in taken], [at[place] for place in taken])
        rig = rig if kind is None else kind.spoil(rig, float(kind.value(at[-1])))
        off[[place for place in range(count) if place not in taken]] = 0.0
        return np.concatenate([self.evidence.missed(rig), off])

    @staticmethod
    def _replaced(unknown, kind: FaultKind) -> bool:
        """Whether the fault sets what would else scatter."""
        return (unknown.name, kind.name) in {("gas pressure", "lost gas"), ("entrained air", "entrained air")}

    def first_size(self, kind: FaultKind, at) -> float:
        """Coordinate of the best of a few sizes."""
        low, high = kind.coordinate(kind.least), kind.coordinate(kind.most)
        sizes = low + (high - low) * np.array([0.05, 0.3, 0.6])
        return float(min(sizes, key=lambda size: np.sum(self.missed(kind, np.append(at, size)) ** 2)))

    def settled(self, best: Hypothesis, at) -> Hypothesis:
        """The best explanation with its size found to the last digits, which its weight does not need."""
        if best.kind is None:
            return best
        _, place = self.fitted(best.kind, np.append(at, best.kind.coordinate(best.size)), near=1e-9)
        return replace(best, size=float(best.kind.value(place[-1])))

    def fitted(self, kind: FaultKind | None, start, near=1e-3) -> tuple[float, np.ndarray]:
        """Least sum of squares, and where."""
        edges = self.edges
        if kind is not None:
            edges = np.column_stack([edges, [kind.coordinate(kind.least), kind.coordinate(kind.most)]])

        def missed(at):
            return self.missed(kind, at)

        found = scipy.optimize.least_squares(missed, np.clip(start, edges[0] + 1e-3, edges[1] - 1e-3),
                                             jac=lambda at: slopes(missed, at, missed(at), edges), bounds=edges,
                                             x_scale=0.1, ftol=near, xtol=near / 10, max_nfev=MOST_CALLS)
        return float(found.fun @ found.fun), found.x
