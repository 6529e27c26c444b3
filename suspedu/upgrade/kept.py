"""Settings on the frontiers, kept in a file of the library, as a search has found them; their rides are never kept.

`python tests/benchmarks/upgrade_frontiers.py --keep` searches anew and writes the file.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

from suspedu.numerics import remembered
from suspedu.ride.simulate import on_all_cores
from suspedu.upgrade.choosing import most_gained
from suspedu.upgrade.frontier import AGAINST, Searched, Steps, day_of
from suspedu.upgrade.mix import WISHES
from suspedu.upgrade.oil_states import Day
from suspedu.upgrade.technologies import TECHNOLOGIES, Setting, better_leg, technology

FILE = Path(__file__).parents[1] / "data" / "upgrade_settings.toml"
LEFT_OUT = 0.5  # of a step that a rider notices: less than that is left out between two that are kept
MOST_HANDS = 30.0  # m/s2: beyond it the last setting alone is kept
HEAD = "# Settings on the frontiers of hands against bottoming, grip and dive. Written by a search, never by hand.\n"


def kept_settings(name: str) -> dict[str, list[Setting]]:
    """The settings of a technology that are kept, by what they are kept for: "built", "best", or a wish's frontier.

    Parameters: name of the technology.

    >>> kept_settings("rod")["built"] == [technology("rod").as_built]
    True
    """
    of, table = technology(name), tomllib.loads(FILE.read_text(encoding="utf-8"))[name]
    names = table.pop("freedoms")
    return {what: [of.setting(of.steps(dict(zip(names, row, strict=True)))) for row in rows]
            for what, rows in table.items()}


def settings_text(found: list[Searched]) -> str:
    """The file that keeps the settings of some searches."""
    return HEAD + "".join(_table(each) for each in found)


def _table(found: Searched) -> str:
    names = ", ".join(f'"{each.name}"' for each in found.of.freedoms)
    parts = "".join(f"{what} = [\n{''.join(map(_row, map(found.of.setting, rows)))}]\n"
                    for what, rows in worth_keeping(found).items())
    return f"\n[{found.of.name}]\nfreedoms = [{names}]\n{parts}"


def _row(setting: Setting) -> str:
    return f"    [{', '.join(f'{value!r}' for value in setting.values())}],\n"


def worth_keeping(found: Searched) -> dict[str, list[Steps]]:
    """As built, what gains most against that, and of each frontier its ends and what stands half a step apart."""
    built = found.of.steps(found.of.as_built)
    chosen = {"built": [built], "best": [most_gained(found, found.days[built])]}
    for against in AGAINST:
        front = found.front(against)
        chosen[against] = _stairs(found, front, against)
    return chosen


def _stairs(found: Searched, front: list[Steps], against: str) -> list[Steps]:
    """Settings of a frontier of which none is left out that brings half a step more than the one kept before it."""
    wish, kept = WISHES[against], [front[0]]
    for steps in front[1:]:
        before, now = (found.days[each].of(against) for each in (kept[-1], steps))
        if found.days[steps].of("hands") <= MOST_HANDS and wish.steps(now - before, before) >= LEFT_OUT:
            kept.append(steps)
    return kept if kept[-1] == front[-1] else [*kept, front[-1]]


@remembered
def kept_rides(name: str, leg: str = "plain") -> Searched:
    """The kept settings of a technology, ridden: with the plain leg, or with the parts of a "better" one.

    >>> len(kept_rides("rod").front("dive")) > 5
    True
    """
    of = technology(name)
    fit = better_leg if leg == "better" else (lambda machine: machine)
    rows = {what: [of.steps(each) for each in settings] for what, settings in kept_settings(name).items()}
    every = list(dict.fromkeys(steps for each in rows.values() for steps in each))
    days = on_all_cores(lambda steps: day_of(of, of.setting(steps), fit), every)
    known = {} if leg == "better" else {name: rows[name] for name in AGAINST}  # they were found in the plain leg
    return Searched(of, dict(zip(every, days, strict=True)), known=known)


def best_kept(name: str) -> Steps:
    """The kept setting of a technology that gains most against the damper as it was built.

    Parameters: name of the technology.
    """
    return technology(name).steps(kept_settings(name)["best"][0])


def best_day(name: str) -> Day:
    """A day of that setting.

    Parameters: name of the technology.
    """
    return kept_rides(name).days[best_kept(name)]


def reached_in(name: str, against: str, hands: float) -> float:
    """The best that a kept frontier has in a wish [SI] with no more than so much in the hands.

    Parameters: name of the technology; against, a wish; hands [m/s2].
    Raises: ValueError where no setting of it is that easy.
    """
    found = kept_rides(name)
    easy = (day for day in map(found.days.get, found.front(against)) if day is not None and day.of("hands") <= hands)
    return min((day.of(against) for day in easy), key=lambda value: float(WISHES[against].cost(value)))


def as_came(name: str) -> Day:
    """A day of a damper as it was built: what its owner is used to."""
    of = technology(name)
    return kept_rides(name).days[of.steps(of.as_built)]


def ride_kept(say: Callable[[str], None]) -> None:
    """Ride all kept settings, saying so; some seconds, once."""
    count = sum(len(rows) for name in TECHNOLOGIES for rows in kept_settings(name).values())
    say(f"Riding up to {count} settings of {len(TECHNOLOGIES)} dampers over the mix, cold and hot: some seconds.")
    fronts = sum(len(kept_rides(name).front(against)) for name in TECHNOLOGIES for against in AGAINST)
    say(f"Ridden. {fronts} points stand on the frontiers.")
