"""What was found against a complaint, in words: a first step, what to feel for, what next, and what nothing reaches."""

from __future__ import annotations

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.session import CAUTION
from suspedu.school.turns import TIERS, Turn
from suspedu.school.ways_out import Way, WaysOut
from suspedu.show.forms.form import listed, paragraph, tabled
from suspedu.show.panels.rides.grounds import WORDS

SMALL_TURN = 4  # clicks from which a turn is taken in two halves (common practice, no source)
LITTLE = 0.1  # steps below which a turn brings nothing by itself (guess of the course)
LIKELY = 0.5  # steps of a price from which it is worth watching for (guess of the course)
NOTHING = ("What is left is no adjuster: look for a fault (lesson 13), at the tyre, at the valves (lessons 04 to 08), "
           "at line and pace.")
TYRE = "The tyre's maker sets its least pressure: a rim that meets a rock is no cure."


def steps(size: float) -> str:
    """A number of steps as text.

    >>> steps(1.04), steps(-2.0), steps(0.97)  # what is not noticed does not look as if it were
    ('1.0', '−2.0', '0.97')
    """
    digits = 1 if round(size, 1) != 1.0 or size >= 1.0 else 2
    return f"{min(round(size, digits), 0.99) if digits == 2 else round(size, 1) + 0.0:.{digits}f}".replace("-", "−")


def ways_told(found: WaysOut) -> list[dict]:
    """All of it as blocks of a form: verdict and first step, then the table."""
    first = first_way(found)
    return [paragraph(verdict(found), "lead"), *_opposite(found),
            *([listed("What to do", _to_do(found, first))] if first else []), *_table(found),
            paragraph(f"{found.ridden} changes were ridden, single ones and pairs. Brings and costs are in steps one "
                      f"notices; below 1 nobody would. {CAUTION}")]


def first_way(found: WaysOut) -> Way | None:
    """The way to try first: the easiest hand's best that is noticed and worth its price.

    One that brings all that was asked for goes before one that brings a part.
    """
    noticed = [way for ways in found.best.values() for way in ways[:1] if way.worth >= 1.0]
    return next((way for way in noticed if way.worth >= found.goal), noticed[0] if noticed else None)


def verdict(found: WaysOut) -> str:
    """The sentence over it all."""
    first, wrong = first_way(found), " and ".join(f"'{COMPLAINTS[name].words}'" for name in found.asked)
    wrong = wrong[:1] + wrong[1:2].upper() + wrong[2:]
    clickers = "" if found.clickers >= found.goal else (
        f" No clicker reaches this: clickers alone bring at most {steps(found.clickers)} of {steps(found.goal)}.")
    if first is None:
        most = (f"The most that any change or pair brings is {steps(found.most)} steps, which nobody would notice."
                if found.most < 1.0 else
                f"Changes bring up to {steps(found.most)} steps, but what brings 1 or more is noticed elsewhere too.")
        return f"{wrong}: nothing here cures it. {most}{clickers} {NOTHING}"
    short = "" if first.reaches else f" of the {steps(found.goal)} asked for"
    return (f"{wrong}: {TIERS[first.option.hand]}, {first.option.words} brings {steps(first.least)} steps{short}"
            f"{_dear(first)}.{clickers}")


def _dear(way: Way) -> str:
    name, size = way.price
    if size < 1.0:
        return " and costs nothing elsewhere that is noticed"
    return f", and '{COMPLAINTS[name].words}' gets worse by {steps(size)}"


def _opposite(found: WaysOut) -> list[dict]:
    """Where two complaints pull an adjuster opposite ways."""
    if not found.opposite:
        return []
    one, other = found.asked
    called = {name: ADJUSTERS[name].label.partition(",")[0].lower() for name in found.opposite}
    ways = "; ".join(f"{words}: {_side(found, one, name)} for the first, {_side(found, other, name)} for the second"
                     for name, words in called.items())
    return [paragraph(f"The two ask for opposite turns. {ways[:1].upper()}{ways[1:]}. Cure the worse one there, and "
                      "the other with something else.", "caution")]


def _side(found: WaysOut, name: str, adjuster: str) -> str:
    row, up = ADJUSTERS[adjuster], found.side(name, adjuster) > 0
    return ("out" if up else "in") if row.kind == "clicks" else "more" if up else "less"


def _to_do(found: WaysOut, way: Way) -> list[str]:
    first, *rest = _stronger_first(found, way)
    lines = [f"First {_in_halves(first)}. Nothing else. One slow lap in a safe place, then the same ground at pace."]
    lines += [f"Feel for: {_felt(name)}." for name in found.asked]
    name, size = way.price
    if size >= LIKELY:
        lines.append(f"Watch for: '{COMPLAINTS[name].words}', {steps(size)} steps.")
    lines += [f"{_led_in(found, turn)} {_in_halves(turn)}." for turn in rest]
    lines.append(_further(found, way))
    if any(turn.name == "tyre_pressure" and turn.end < turn.start for turn in way.option.turns):
        lines.append(TYRE)
    return lines


def _stronger_first(found: WaysOut, way: Way) -> list[Turn]:
    """The turns of a way, the one that brings more by itself first."""
    return sorted(way.option.turns, key=lambda turn: -round(_alone(found, turn), 6))


def _alone(found: WaysOut, turn: Turn) -> float:
    """What a turn brings by itself [steps] to the complaint that it helps least."""
    return next((min(brings.values()) for option, brings in found.singles if option.turns == (turn,)), 0.0)


def _in_halves(turn: Turn) -> str:
    row, by = ADJUSTERS[turn.name], abs(turn.end - turn.start)
    halves = row.kind == "clicks" and by >= SMALL_TURN
    return f"{turn.words}{', half of it at a time' if halves else ''}"


def _felt(name: str) -> str:
    wrong = COMPLAINTS[name]
    return f"{wrong.better} {wrong.measure} ({WORDS[wrong.ground]})"


def _further(found: WaysOut, way: Way) -> str:
    """What to do where that is done and not enough: the next hand's best that brings more."""
    more = [each for ways in found.best.values() for each in ways[:1]
            if each is not way and round(each.worth, 1) > round(way.worth, 1)]
    if more:
        return f"Still not enough: {TIERS[more[0].option.hand]}, {more[0].option.words} brings {steps(more[0].least)}."
    return "Still not enough: nothing that was ridden brings more at that price. Go back, and look for a fault."


def _table(found: WaysOut) -> list[dict]:
    heads = ("", "turn", *(f"brings: {COMPLAINTS[name].words}" for name in found.asked), "costs elsewhere, at most")
    rows = [(TIERS[hand] if not place else "", way.option.words, *(steps(way.brings[name]) for name in found.asked),
             _price(way)) for hand, ways in found.best.items() for place, way in enumerate(ways)
            if round(way.least, 1) > 0.0]
    return [] if not rows else [tabled("The best of each hand, in steps one notices", heads, rows)]


def _price(way: Way) -> str:
    name, size = way.price
    if round(size, 1) <= 0.0:
        return "nothing"
    return f"{steps(size)}, '{COMPLAINTS[name].words}'{'' if size >= 1.0 else ' (not noticed)'}"


def _led_in(found: WaysOut, turn: Turn) -> str:
    return "Not enough? Then" if _alone(found, turn) >= LITTLE else "With it:"
