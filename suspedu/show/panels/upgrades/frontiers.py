"""Panel of the frontiers: what each damper reaches beside its own limits, hands against bottoming, grip or dive."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from suspedu.machine.changing import setting
from suspedu.school.machines import school_machine
from suspedu.school.noticed import noticed
from suspedu.show.declared import Declared
from suspedu.show.panels.words import in_a_row, with_unit
from suspedu.show.view import Axes, Choice, Control, Curve, Mark, View
from suspedu.units import from_si
from suspedu.upgrade.kept import kept_rides
from suspedu.upgrade.mix import WISHES
from suspedu.upgrade.oil_states import Day
from suspedu.upgrade.technologies import TECHNOLOGIES

BETTER = "better leg"
WORDS = {name: each.words for name, each in TECHNOLOGIES.items()} | {BETTER: "closed cartridge, better leg"}
LOOK = {"rod": ("second", 1.0), "turned": ("ghost", 1.0), "open": ("third", 1.0), "closed": ("main", 1.0),
        BETTER: ("fourth", 0.7)}  # fmt: skip
SPAN = (19.0, 30.0)  # m/s2 of the hands that the picture shows
SEEN = {"spare": (-5.0, 90.0), "grip": (0.84, 0.92), "dive": (90.0, 165.0)}
STATES = {"both": "cold and hot", "cold": "cold", "hot": "after ten minutes"}
AGAINST = {"spare": "travel left by the landing", "grip": "swing of the tyre's load", "dive": "dive on the brakes"}
DOES = {"spare": "leaves {} of travel", "grip": "swings its tyre's load by {}", "dive": "dives by {}"}


@dataclass(frozen=True)
class AtBest:
    """What one damper reaches in a wish [SI] where the hands may have so much, and at which setting."""

    name: str
    hands: float
    value: float
    day: Day


def at_best(name: str, against: str, state: str, most: float) -> AtBest | None:
    """The best that a frontier has in a wish with the hands under a limit [m/s2]; None where it does not get there."""
    found, wish = _kept(name), WISHES[against]
    days = [found.days[steps] for steps in found.front(against, state)]
    easy = [day for day in days if day.of("hands", state) <= most]
    if not easy:
        return None
    best = min(easy, key=lambda day: float(wish.cost(day.of(against, state))))
    return AtBest(name, best.of("hands", state), best.of(against, state), best)


def _kept(name: str):
    return kept_rides("closed", "better") if name == BETTER else kept_rides(name)


def view_frontiers(against, state, hands) -> View:
    """The frontiers in one wish and one state of the oil, and what each reaches with so much in the hands [m/s2]."""
    low, high = SEEN[against]
    here = {name: at_best(name, against, state, hands) for name in WORDS}
    items = (*(_curve(name, against, state) for name in WORDS),
             Curve("limit", np.full(2, hands), np.array([low, high]), 0, "limit"),
             *(Mark(f"{name} here", *_place(at, against), "", 0, "ink") for name, at in here.items()))
    axes = Axes("shake and blows of the bars [m/s²]", f"{AGAINST[against]}{_unit(against)}", SPAN, (low, high),
                conditions())
    return View(items, _numbers(here, against), _sentence(here, against, state, hands), (axes,))


def _place(at: AtBest | None, against: str) -> tuple[float, float]:
    """Where a mark stands: nowhere for what is not reached."""
    return (np.nan, np.nan) if at is None else (at.hands, _shown(at.value, against))


def _curve(name: str, against: str, state: str) -> Curve:
    found, (role, width) = _kept(name), LOOK[name]
    days = [found.days[steps] for steps in found.front(against, state)]
    x = np.array([day.of("hands", state) for day in days])
    y = np.array([_shown(day.of(against, state), against) for day in days])
    seen = (x <= SPAN[1]) & (y >= SEEN[against][0]) & (y <= SEEN[against][1])
    return Curve(name, x[seen], y[seen], 0, role, WORDS[name], width, margin=False)


def conditions() -> str:
    """What is alike for all dampers, in a line: the conditions of a fair comparison."""
    machine = school_machine()
    alike = (with_unit(machine.rider.mass, "kg"), f"springs {with_unit(setting(machine, 'coil_rate'), 'N/mm', 1)}",
             f"preload {with_unit(setting(machine, 'preload'), 'mm')}",
             f"tyre {with_unit(machine.tyre.pressure, 'bar', 1)}")
    return f"Alike for all: {', '.join(alike)}, ground and speed"


def _shown(value: float, against: str) -> float:
    return float(from_si(value, WISHES[against].unit)) if WISHES[against].unit else float(value)


def _unit(against: str) -> str:
    return f" [{WISHES[against].unit}]" if WISHES[against].unit else " [-]"


def _told(value: float, against: str) -> str:
    return with_unit(value, WISHES[against].unit) if WISHES[against].unit else f"{value:.3f}"


def _numbers(here: dict[str, AtBest | None], against: str) -> tuple:
    return tuple((_capital(WORDS[name]), "not reached" if at is None else _told(at.value, against))
                 for name, at in here.items())


def _softest(against: str, state: str) -> str:
    """What the hands have at the easiest setting of all."""
    fronts = ((_kept(name), _kept(name).front(against, state)) for name in TECHNOLOGIES)
    return f"{min(found.days[front[0]].of('hands', state) for found, front in fronts):.2f} m/s²"


def _sentence(here: dict[str, AtBest | None], against: str, state: str, hands: float) -> str:
    wish, there = WISHES[against], {name: at for name, at in here.items() if at is not None and name != BETTER}
    limit = f"With {hands:.1f} m/s² in the hands"
    if not there:
        return f"{limit} none of these dampers can be had: {_softest(against, state)} is what the easiest gives."
    order = sorted(there, key=lambda name: float(wish.cost(there[name].value)))
    told = in_a_row([f"the {_named(name)} {DOES[against].format(_told(there[name].value, against))}" for name in order])
    missing = [WORDS[name] for name in here if here[name] is None and name != BETTER]
    left = f" Not that easy on the hands: the {in_a_row(missing)}." if missing else ""
    return f"{limit} {told}. {_apart(there, order, against)}{left}"


def _apart(there: dict[str, AtBest], order: list[str], against: str) -> str:
    """How far the first and the last are from each other, in steps that one notices."""
    if len(order) == 1:
        return "It is alone there."
    first, last = there[order[0]], there[order[-1]]
    steps = abs(first.value - last.value) / noticed(WISHES[against].felt_as, last.value)
    if steps < 1.0:
        return f"From first to last that is {steps:.1f} of a step that a rider notices: nobody would."
    return f"From first to last that is {steps:.1f} steps that a rider notices."


def _named(name: str) -> str:
    """Words that a verb can follow."""
    return f"{WORDS[name]}," if "," in WORDS[name] else WORDS[name]


def _capital(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


FRONTIERS = Declared(
    id="frontiers", title="Three dampers, each at its best", view=view_frontiers, height=420,
    gaps=(*WORDS, *(f"{name} here" for name in WORDS)),
    controls=(Choice("against", "The hands against", AGAINST, "dive"),
              Choice("state", "Ridden", STATES, "both"),
              Control("hands", "What the hands may have", "m/s^2", SPAN[0], SPAN[1], 0.1, 21.0,
                      "shake and blows of the bars: more = harder on them")),
    axes=(Axes("shake and blows of the bars [m/s²]", f"{AGAINST['dive']} [mm]", SPAN, SEEN["dive"]),))  # fmt: skip
