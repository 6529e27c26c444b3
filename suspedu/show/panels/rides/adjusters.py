"""The rider's chart: a complaint in riders' words, and which adjuster moves it, which way, at what cost elsewhere."""

from __future__ import annotations

import numpy as np

from suspedu.machine.adjusters import ADJUSTERS, charted
from suspedu.school.chart import Advice, first_choice
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.loop import LOOP
from suspedu.show.declared import Declared
from suspedu.show.panels.rides.grounds import WORDS, options
from suspedu.show.panels.setting import MACHINE
from suspedu.show.view import Axes, Choice, Curve, View, box

EVERYWHERE = "best"
PLACES = {EVERYWHERE: "where it shows best"} | options(*LOOP)
ROWS = tuple(ADJUSTERS[name].short for name in charted()), tuple(each.words for each in COMPLAINTS.values())


def view_adjusters(machine, complaint, ground) -> View:
    """Which adjuster helps a complaint on a ground, and what the first choice does to the other complaints."""
    found = first_choice(machine, complaint, None if ground == EVERYWHERE else ground)
    items = (*_bars("step", found.shares.values(), 0), *_bars("cost", found.elsewhere.values(), 1),
             *(Curve(f"nought {axes}", np.zeros(2), np.array([-0.6, len(rows) - 0.4]), axes, "limit")
               for axes, rows in enumerate(ROWS)))  # fmt: skip
    return View(items, _numbers(found) if found.asked else (), _advised(found) if found.asked else _no_answer(found))


def _bars(name: str, values, axes: int) -> tuple:
    """Lying bars from nought: better in blue to the right, worse in brick to the left."""
    return tuple(box(f"{name} {side} {row}", 0.0, len(values) - 1 - row - 0.32, edge(value, 0.0), 0.64, axes=axes,
                     role=role, tint=0.7)
                 for row, value in enumerate(values)
                 for side, role, edge in (("better", "main", max), ("worse", "second", min)))


def _numbers(found: Advice) -> tuple:
    """What one step does to the outcome itself, in its own unit."""
    return tuple((f"{ADJUSTERS[name].short.capitalize()}, {ADJUSTERS[name].step_text}",
                  found.wrong.shown(float(found.wrong.gain(value)))) for name, value in found.gains.items())


def _headed(found: Advice) -> str:
    return f"'{found.wrong.words.capitalize()}'"


def _no_answer(found: Advice) -> str:
    return (f"{_headed(found)} cannot be judged on {WORDS[found.ground]}: choose another ground, or "
            f"'{PLACES[EVERYWHERE]}'.")


def _advised(found: Advice) -> str:
    row, price = ADJUSTERS[found.first], "It costs next to nothing elsewhere."
    if found.price:
        worst, much = found.price
        price = (f"The price: '{COMPLAINTS[worst].words}' gets worse, {much:.0f} % as much as the strongest adjuster "
                 "could make it.")
    return (f"{_headed(found)} ({WORDS[found.ground]}): the one step that moves most is "
            f"{row.one_more if found.way > 0 else row.one_less}; it changes the {found.wrong.measure} by "
            f"{found.effect}. {price}")


def _rows(ylabel: str, title: str, rows: tuple[str, ...]) -> Axes:
    ticks = tuple((len(rows) - 1 - place, words) for place, words in enumerate(rows))
    return Axes("worse  |  better, against the strongest [%]", ylabel, (-105, 105), (-0.6, len(rows) - 0.4), title,
                yticks=ticks)


ADJUSTERS_PANEL = Declared(
    id="adjusters", title="Which adjuster does what?", height=420, view=view_adjusters,
    controls=(MACHINE,
              Choice("complaint", "What is wrong?", {name: wrong.words for name, wrong in COMPLAINTS.items()},
                     "bottoms"),
              Choice("ground", "Where?", PLACES, EVERYWHERE)),
    axes=(_rows("one step in, or more, of", "What one step does", ROWS[0]),
          _rows("the first choice and", "What it costs elsewhere", ROWS[1])))  # fmt: skip
