"""Which of many settings: by what a rider would notice against the machine as it stands, or by a limit that is kept."""

from __future__ import annotations

from collections.abc import Mapping

from suspedu.upgrade.frontier import Searched, Steps
from suspedu.upgrade.mix import WISHES
from suspedu.upgrade.oil_states import Day

EVENLY = dict.fromkeys(WISHES, 1.0)
ENOUGH = 0.030  # m left by the landing: nobody feels more than that (guess of the course)


def steps_gained(day: Day, usual: Day, state: str = "both") -> dict[str, float]:
    """By how many steps that a rider notices each wish is better than usual [-], below zero worse.

    Travel left by the landing counts up to `ENOUGH`.

    Parameters: day; usual, that of the machine one is used to; state of the oil, "both", "cold" or "hot".

    >>> from suspedu.upgrade.frontier import day_of
    >>> from suspedu.upgrade.technologies import technology
    >>> rod = technology("rod")
    >>> found = steps_gained(day_of(rod, rod.as_built | {"compression_holes": 4.2}), day_of(rod, rod.as_built))
    >>> {name: round(steps, 1) for name, steps in found.items()}  # easier on the hands, less travel left, more dive
    {'hands': 4.0, 'spare': -3.8, 'grip': 0.3, 'dive': -3.1}
    """
    now, then = ({name: _counted(name, each.of(name, state)) for name in WISHES} for each in (day, usual))
    return {name: float(wish.steps(now[name] - then[name], then[name])) for name, wish in WISHES.items()}


def _counted(name: str, value: float) -> float:
    return min(value, ENOUGH) if name == "spare" else value


def gained(day: Day, usual: Day, weights: Mapping[str, float] = EVENLY) -> float:
    """Steps gained over all wishes [-], each as often as it is worth.

    Parameters: day; usual; weights by wish [-].
    """
    return sum(weights[name] * steps for name, steps in steps_gained(day, usual).items())


def most_gained(found: Searched, usual: Day, weights: Mapping[str, float] = EVENLY) -> Steps:
    """The setting of those ridden that gains most against a usual day, of those that keep the limit of the throw."""
    kept, _ = found.costs()
    return max(kept, key=lambda steps: gained(found.days[steps], usual, weights))


def easiest(found: Searched, against: str, limit: float, state: str = "both") -> Steps | None:
    """The setting of a frontier that is easiest on the hands and keeps a limit [SI] in what is set against them.

    None where no setting that was ridden keeps it: with this damper it cannot be reached.

    Parameters: found; against, a wish; limit [SI]; state of the oil.
    """
    wish, front = WISHES[against], found.front(against, state)
    keeping = (steps for steps in front if wish.cost(found.days[steps].of(against, state)) <= wish.cost(limit))
    return next(keeping, None)


