"""The rider's chart: a complaint in riders' words, and which adjuster moves it, which way, at what cost elsewhere."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.school.chart import Advice, first_choice, half_in_words, minutes
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.jobs import HALVES
from suspedu.school.loop import LOOP
from suspedu.school.machines import machine_choices
from suspedu.school.noticed import steps
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import WORDS, options
from suspedu.show.panels.setting import MACHINE
from suspedu.show.view import Axes, Choice, Curve, View, box

EVERYWHERE = "best"
PLACES = {EVERYWHERE: "where it shows best"} | options(*LOOP)
ROWS = tuple(ADJUSTERS[name].short for name in HALVES), tuple(each.words for each in COMPLAINTS.values())
MOST = 4.0  # times what is noticed that a picture shows
NEXT_TO_NOTHING = 0.005  # times what is noticed: a trace of rounding is no effect
NOTICED = {"noticed, worse": -1.0, "nought": 0.0, "noticed, better": 1.0}


def view_adjusters(machine, complaint, ground) -> View:
    """Which adjuster helps a complaint on a ground, and what the first choice does to the other complaints."""
    found = first_choice(machine, complaint, None if ground == EVERYWHERE else ground)
    items = (*_bars("half", found.felt.values(), 0), *_bars("cost", found.elsewhere.values(), 1),
             *(Curve(f"{name} {axes}", np.full(2, place), np.array([-0.6, len(rows) - 0.4]), axes, "limit")
               for axes, rows in enumerate(ROWS) for name, place in NOTICED.items()))  # fmt: skip
    return View(items, _numbers(found) if found.asked else (), _advised(found) if found.asked else _no_answer(found))


def _bars(name: str, values, axes: int) -> tuple:
    """Lying bars from nought: better in blue to the right, worse in brick to the left."""
    return tuple(box(f"{name} {side} {row}", 0.0, len(values) - 1 - row - 0.32, edge(value, 0.0), 0.64, axes=axes,
                     role=role, tint=0.7)
                 for row, value in enumerate(np.clip(list(values), -MOST, MOST))
                 for side, role, edge in (("better", "main", max), ("worse", "second", min)))


def _numbers(found: Advice) -> tuple:
    """What half of each usable range does to the outcome itself, in its own unit."""
    return tuple((_capital(half_in_words(name)), found.wrong.shown(float(found.wrong.gain(value)) if
                                                                   abs(found.felt[name]) > NEXT_TO_NOTHING else 0.0))
                 for name, value in found.gains.items())


def _capital(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _headed(found: Advice) -> str:
    return f"'{_capital(found.wrong.words)}'"


def _no_answer(found: Advice) -> str:
    return (f"{_headed(found)} cannot be judged on {WORDS[found.ground]}: choose another ground, or "
            f"'{PLACES[EVERYWHERE]}'.")


def _advised(found: Advice) -> str:
    times, work = abs(found.felt[found.first]), _work(found.first)
    start = (f"{_headed(found)} ({WORDS[found.ground]}): taken through half of its usable range, "
             f"{half_in_words(found.first, found.way)}, moves the {found.wrong.measure} most: by "
             f"{found.effect(found.first)}, {steps(times)} times what is noticed")
    if round(times, 6) < 1.0:  # as `steps` writes it: a figure of 1.0 is noticed
        return f"{start}, so no adjuster here is felt in it."
    return f"{start}, for {work} of work. {_quicker(found)}{_price(found)}"


def _work(name: str) -> str:
    return "1 minute" if minutes(name) == 1.0 else f"{minutes(name):.0f} minutes"


def _quicker(found: Advice) -> str:
    if found.quickest == found.first:
        return "Nothing moves more for a minute of work. "
    name = half_in_words(found.quickest).partition(",")[0]
    return f"For a minute of work {name} moves more: {found.effect(found.quickest)} in {_work(found.quickest)}. "


def _price(found: Advice) -> str:
    if not found.price:
        return f"{_mirrored(found)} nothing elsewhere that is noticed."
    worst, much = found.price
    return f"The price: '{COMPLAINTS[worst].words}' gets worse by {steps(much)} times what is noticed."


def _mirrored(found: Advice) -> str:
    """How the price begins: a complaint of the same outcome, turned round, gets worse by what cures this one."""
    reverse = [COMPLAINTS[name].words for name, times in found.elsewhere.items()
               if COMPLAINTS[name].outcome == found.wrong.outcome and times <= -1.0]
    return f"Apart from its own reverse, '{reverse[0]}', it costs" if reverse else "It costs"


def _rows(ylabel: str, title: str, rows: tuple[str, ...]) -> Axes:
    ticks = tuple((len(rows) - 1 - place, words) for place, words in enumerate(rows))
    return Axes("worse  |  better [times what is noticed]", ylabel, (-MOST, MOST), (-0.6, len(rows) - 0.4), title,
                yticks=ticks)


@dataclass(frozen=True, eq=False, kw_only=True)
class ChartPanel(Declared):
    """The chart; live, it also takes the machines that are one's own at that moment, by their names."""

    def __call__(self, **start):
        """The live chart: `adjusters(machine="hack", complaint="bottoms")`.

        Raises: InputError as any panel.
        """
        machine = replace(self.controls[0], options=machine_choices())
        return super(ChartPanel, replace(self, controls=(machine, *self.controls[1:]))).__call__(**start)


ADJUSTERS_PANEL = ChartPanel(
    id="adjusters", title="Which adjuster does what?", height=420, view=view_adjusters,
    controls=(MACHINE,
              Choice("complaint", "What is wrong?", {name: wrong.words for name, wrong in COMPLAINTS.items()},
                     "bottoms"),
              Choice("ground", "Where?", PLACES, EVERYWHERE)),
    axes=(_rows("in, or more, of", "What half of each usable range does", ROWS[0]),
          _rows("the first choice and", "What it costs elsewhere", ROWS[1])))  # fmt: skip
