"""The rider's chart: a complaint in riders' words, and which adjuster moves it, which way, at what cost elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from suspedu.machine.adjusters import ADJUSTERS, charted
from suspedu.machine.riding import Sensitivity, sensitivity
from suspedu.show.panel import Panel
from suspedu.show.panels.rides.complaints import COMPLAINTS, LOOP, Complaint, loop_ground
from suspedu.show.panels.rides.riding import ridden_machine
from suspedu.show.panels.setting import MACHINE_NAMES
from suspedu.show.view import Axes, Choice, Curve, View, box

MORE = {"preload": "1 mm more preload", "coil_rate": "a spring 0.1 N/mm stiffer", "oil_height": "5 mm less air",
        "compression_low": "low-speed compression 1 click in", "compression_high": "high-speed compression 1 click in",
        "rebound": "rebound 1 click in (slower)"}  # fmt: skip
LESS = {"preload": "1 mm less preload", "coil_rate": "a spring 0.1 N/mm softer", "oil_height": "5 mm more air",
        "compression_low": "low-speed compression 1 click out",
        "compression_high": "high-speed compression 1 click out",
        "rebound": "rebound 1 click out (faster)"}  # fmt: skip
SHORT = {"preload": "preload", "coil_rate": "spring rate", "oil_height": "oil height",
         "compression_low": "compression, low", "compression_high": "compression, high", "rebound": "rebound"}
EVERYWHERE = "where it shows best"
CONTROLS_ADJUSTERS = (
    Choice("machine", "Machine", tuple(MACHINE_NAMES), "School enduro 300"),
    Choice("complaint", "What is wrong?", tuple(COMPLAINTS), "bottoms on landings"),
    Choice("ground", "Where?", (EVERYWHERE, *LOOP), EVERYWHERE),
)  # fmt: skip
AXES_ADJUSTERS = (
    Axes("worse  |  better, against the strongest [%]", "one step in, or more, of", (-105, 105), (-0.6, 5.6),
         "What one step does", yticks=tuple((5 - n, SHORT[name]) for n, name in enumerate(charted()))),
    Axes("worse  |  better, against the strongest [%]", "the first choice and", (-105, 105), (-0.6, 11.6),
         "What it costs elsewhere", yticks=tuple((11 - n, text) for n, text in enumerate(COMPLAINTS))),
)  # fmt: skip
LITTLE = 3.0  # % of the strongest adjuster: less is not worth a word


@lru_cache(maxsize=4)
def chart(machine: str) -> Sensitivity:
    """The table behind the chart, ridden once for each machine of the school: 9 grounds, two rides per adjuster."""
    names = tuple(dict.fromkeys(complaint.outcome for complaint in COMPLAINTS.values()))
    return sensitivity(ridden_machine(MACHINE_NAMES[machine]), [loop_ground(name) for name in LOOP], names=names)


def ready(say: Callable[[str], None]) -> None:
    """Ride the charts of the school's machines, saying so; some seconds, once."""
    for machine in MACHINE_NAMES:
        say(f"Riding the chart of {machine}: {len(LOOP)} grounds, every adjuster both ways.")
        chart(machine)


def gains(table: Sensitivity, complaint: Complaint, ground: str) -> dict[str, float]:
    """What one step of each adjuster does for a complaint [SI of the outcome], > 0 = better."""
    place = LOOP.index(ground)
    outcome = table.outcomes.index(complaint.outcome)
    return {name: float(complaint.gain(table.change[place, number, outcome]))
            for number, name in enumerate(table.adjusters)}


def shares(found: dict[str, float]) -> dict[str, float]:
    """Each gain against the strongest adjuster's [%], missing adjusters as 0; nothing where no question is asked."""
    strongest = max((abs(value) for value in found.values()), default=0.0)
    known = {name: 100 * value / strongest if strongest > 0 else 0.0 for name, value in found.items()}
    return {name: float(np.nan_to_num(known.get(name, 0.0))) for name in charted()}


def view_adjusters(machine, complaint, ground) -> View:
    """Which adjuster helps a complaint on a ground, and what the first choice does to the other complaints."""
    table, wrong = chart(machine), COMPLAINTS[complaint]
    place = wrong.ground if ground == EVERYWHERE else ground
    found = gains(table, wrong, place)
    share = shares(found)
    first = max(share, key=lambda name: abs(share[name]))
    way = 1.0 if share[first] > 0 else -1.0
    elsewhere = {text: way * shares(gains(table, other, other.ground))[first] for text, other in COMPLAINTS.items()}
    items = (*_bars("step", [share[name] for name in charted()], 0), *_bars("cost", list(elsewhere.values()), 1),
             *(Curve(f"nought {axes}", np.zeros(2), np.array([-0.6, top]), axes, "limit")
               for axes, top in ((0, 5.6), (1, 11.6))))
    asked = np.isfinite(list(found.values())).all()
    words = _advice(complaint, wrong, place, found, first, way, elsewhere) if asked else _no_answer(complaint, place)
    return View(items, _numbers(wrong, found) if asked else (), words)


def _bars(name: str, values, axes: int) -> tuple:
    """Lying bars from nought: better in blue to the right, worse in brick to the left."""
    return tuple(box(f"{name} {side} {row}", 0.0, len(values) - 1 - row - 0.32, edge(value, 0.0), 0.64, axes=axes,
                     role=role, tint=0.7)
                 for row, value in enumerate(values)
                 for side, role, edge in (("better", "main", max), ("worse", "second", min)))


def _numbers(wrong: Complaint, found) -> tuple:
    """What one step does to the outcome itself, in its own unit."""
    return tuple((f"{SHORT[name].capitalize()}, {ADJUSTERS[name].step_text}", wrong.shown(float(wrong.gain(value))))
                 for name, value in found.items())


def _no_answer(complaint, place) -> str:
    return f"'{complaint.capitalize()}' cannot be judged on {place}: choose another ground, or '{EVERYWHERE}'."


def _advice(complaint, wrong: Complaint, place, found, first, way, elsewhere) -> str:
    step = MORE[first] if way > 0 else LESS[first]
    effect = wrong.shown(float(wrong.gain(way * found[first])))
    others = {text: size for text, size in elsewhere.items() if COMPLAINTS[text].outcome != wrong.outcome}
    cost, size = min(others.items(), key=lambda item: item[1])
    price = (f"The price: '{cost}' gets worse, {-size:.0f} % as much as the strongest adjuster could make it."
             if size < -LITTLE else "It costs next to nothing elsewhere.")
    return (f"'{complaint.capitalize()}' ({place}): the one step that moves most is {step}; it changes the "
            f"{wrong.measure} by {effect}. {price}")


def adjusters(**start) -> Panel:
    """The rider's chart of adjusters; start values by name."""
    return Panel(view_adjusters, CONTROLS_ADJUSTERS, AXES_ADJUSTERS, title="Which adjuster does what?", height=420,
                 start=start)
