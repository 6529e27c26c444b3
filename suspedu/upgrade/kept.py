"""Settings on the frontiers, kept in a file of the library, as a search has found them; their rides are never kept.

`python tests/benchmarks/upgrade_frontiers.py --keep` searches anew and writes the file.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np

from suspedu.numerics import remembered
from suspedu.ride.simulate import on_all_cores
from suspedu.upgrade.choosing import most_gained
from suspedu.upgrade.frontier import AGAINST, Searched, Steps, day_of
from suspedu.upgrade.oil_states import Day
from suspedu.upgrade.technologies import TECHNOLOGIES, Setting, better_leg, technology

FILE = Path(__file__).parents[1] / "data" / "upgrade_settings.toml"
MOST = 12  # settings of a frontier that are kept
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
    """As built, what gains most against that, and settings spread over each frontier with both of its ends."""
    built = found.of.steps(found.of.as_built)
    chosen = {"built": [built], "best": [most_gained(found, found.days[built])]}
    for against in AGAINST:
        front = found.front(against)
        hands = np.array([found.days[steps].of("hands") for steps in front])
        evenly = np.linspace(hands[0], hands[-1], MOST)
        chosen[against] = [front[place] for place in sorted({int(np.argmin(np.abs(hands - at))) for at in evenly})]
    return chosen


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
    return Searched(of, dict(zip(every, days, strict=True)), known={name: rows[name] for name in AGAINST})


def best_kept(name: str) -> Steps:
    """The kept setting of a technology that gains most against the damper as it was built.

    Parameters: name of the technology.
    """
    return technology(name).steps(kept_settings(name)["best"][0])


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
