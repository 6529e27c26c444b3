"""What was found against a complaint, in words: a first step, what to feel for, what next, and what nothing reaches."""

from __future__ import annotations

import numpy as np

from suspedu.machine.adjusters import ADJUSTERS
from suspedu.school.complaints import COMPLAINTS
from suspedu.school.noticed import steps
from suspedu.school.session import CAUTION
from suspedu.school.setups import TYRE
from suspedu.school.turns import MEANS, TIERS, Turn
from suspedu.school.ways import DIGITS, HALF, Way, is_reverse, reverses
from suspedu.school.ways_out import GOALS, WaysOut
from suspedu.show.forms.form import listed, paragraph, tabled
from suspedu.show.panels.rides.grounds import WORDS

SMALL_TURN = 4  # clicks from which a turn is taken in two halves (common practice, no source)
LITTLE = 0.1  # steps below which a turn brings nothing by itself (guess of the course)
LIKELY = 0.5  # steps of a price from which it is worth watching for (guess of the course)
NOTHING = ("What is left is no adjuster: look for a fault (lesson 13), at the tyre, at the valves (lessons 04 to 08), "
           "at line and pace.")
TRADE = " That is a trade: ride both, and keep the one you like."
TOO_DEAR = " That costs more than it brings: only where nothing else matters to you."
CHOOSE = "Cure the worse one there, and the other with something else."


def ways_told(found: WaysOut) -> list[dict]:
    """All of it as blocks of a form: verdict and first step, then the table."""
    first = first_way(found)
    return [paragraph(verdict(found), "lead"), *_opposite(found),
            *([listed("What to do", _to_do(found, first))] if first else []), *_table(found),
            paragraph(f"{found.ridden} changes were ridden, single ones and pairs; a pair stands here only where it "
                      "brings half a step more than the better of its two turns alone, or where nothing simpler is "
                      "noticed. Brings and costs are in steps one notices; below 1 nobody would. The reverse of a "
                      "complaint is told and not weighed: what cures the one brings on the other. "
                      f"{CAUTION}")]


def first_way(found: WaysOut) -> Way | None:
    """The way to try first, of each hand's best if that is noticed.

    The easiest hand's that brings all that was asked for at no price; else the easiest that brings a step more than its
    price; else the best trade.
    """
    noticed = [way for ways in found.best.values() for way in ways[:1] if way.noticed]
    for least in (found.goal, 1.0):
        for way in noticed:
            if way.worth >= least:
                return way
    return min(noticed, key=lambda way: way.rank[:2], default=None)


def verdict(found: WaysOut) -> str:
    """The sentence over it all."""
    first, wrong = first_way(found), " and ".join(f"'{COMPLAINTS[name].words}'" for name in found.asked)
    wrong = wrong[:1] + wrong[1:2].upper() + wrong[2:]
    if first is None:
        return f"{wrong}{_unreached(found)}"
    clickers = "" if found.clickers >= found.goal else (
        f" No clicker reaches this: clickers alone bring at most {steps(found.clickers)} of {steps(found.goal)}.")
    short = "" if first.reaches else f" of the {steps(found.goal)} asked for"
    return (f"{wrong}: {TIERS[first.option.hand]}, {first.option.words} brings {steps(first.least)} steps{short}"
            f"{_dear(first)}{clickers}")


def _unreached(found: WaysOut) -> str:
    """Why nothing is noticed, and what is left then."""
    both = len(found.asked) > 1
    most = (f"The most that any change or pair brings is {steps(found.most)} steps{' to both' if both else ''}, which "
            "nobody would notice.")
    if both and is_reverse(*found.asked):
        return (f" are each other's reverse: what cures the one brings on the other, and nothing reaches both. {most} "
                f"{CHOOSE}")
    if found.opposite:
        return f" ask for opposite turns, and nothing reaches both. {most} {CHOOSE}"
    return f": nothing reaches {'both' if both else 'this'}. {most}{_right_way(found)} {NOTHING}"


def _right_way(found: WaysOut) -> str:
    """The single turn that helps most where none is noticed: the way a mechanic would turn, as far as it goes."""
    option, brings = max(found.singles, key=lambda each: min(each[1].values()), default=(None, {}))
    size = min(brings.values(), default=0.0)
    if option is None or round(size, DIGITS) < LITTLE:
        return ""
    return f" Of single turns {option.words} helps most, {steps(size)} steps: the right way, and too little to feel."


def _dear(way: Way) -> str:
    """What a way costs, at the end of its sentence."""
    if not way.felt_costs:
        return " and costs nothing elsewhere that is noticed."
    trade = TOO_DEAR if way.is_dear else TRADE if way.is_trade else ""
    return f". It costs: {_costs(way, way.felt_costs)}.{trade}"


def _costs(way: Way, costs) -> str:
    return "; ".join(f"{COMPLAINTS[name].words}, {steps(size)} steps{_noted(way, name)}" for name, size in costs)


def _noted(way: Way, name: str, *notes: str) -> str:
    """What else is to be said of a cost, in brackets."""
    said = [*(["the reverse"] if name in reverses(way.brings) else []), *notes]
    return f" ({', '.join(said)})" if said else ""


def _opposite(found: WaysOut) -> list[dict]:
    """Where two complaints pull an adjuster opposite ways."""
    if not found.opposite:
        return []
    one, other = found.asked
    called = {name: ADJUSTERS[name].label.partition(",")[0].lower() for name in found.opposite}
    ways = "; ".join(f"{words}: {_side(found, one, name)} for the first, {_side(found, other, name)} for the second"
                     for name, words in called.items())
    choose = f" {CHOOSE}" if first_way(found) else ""  # else the verdict says it
    return [paragraph(f"The two ask for opposite turns. {ways[:1].upper()}{ways[1:]}.{choose}", "caution")]


def _side(found: WaysOut, name: str, adjuster: str) -> str:
    row, up = ADJUSTERS[adjuster], found.side(name, adjuster) > 0
    meant = f" ({MEANS[adjuster][up]})" if adjuster in MEANS else ""
    return ("out" if up else "in") if row.kind == "clicks" else f"{'more' if up else 'less'}{meant}"


def _to_do(found: WaysOut, way: Way) -> list[str]:
    first, *rest = _in_turn(found, way)
    lines = [f"First {_in_halves(first)}. Nothing else. One slow lap in a safe place, then the same ground at pace."]
    soon = [name for name in found.asked if not rest or round(_by_itself(found, first).get(name, 0.0), DIGITS) >= 1.0]
    lines += [_feel_for(name) for name in soon] or [_not_alone(found, first)]
    likely = [cost for cost in way.costs if cost[1] >= LIKELY]
    if likely:
        lines.append(f"Watch for: {_costs(way, likely)}.")
    lines += [f"{_led_in(found, turn) if soon else 'Then'} {_in_halves(turn)}." for turn in rest]
    lines += [_feel_for(name) for name in found.asked if name not in soon]
    lines.append(_further(found, way))
    if any(turn.name == "tyre_pressure" and turn.end < turn.start for turn in way.option.turns):
        lines.append(TYRE)
    return lines


def turns_told(found: WaysOut, way: Way) -> str:
    """The turns of a way in the order of the work, as a card says them."""
    return "; then ".join(map(_in_halves, _in_turn(found, way)))


def _in_turn(found: WaysOut, way: Way) -> list[Turn]:
    """The turns of a way in the order of the work: the easier hand first, then what brings more by itself."""
    return sorted(way.option.turns, key=lambda turn: (list(TIERS).index(turn.hand), -round(_alone(found, turn), 6)))


def _alone(found: WaysOut, turn: Turn) -> float:
    """What a turn brings by itself [steps] to the complaint that it helps least."""
    return min(_by_itself(found, turn).values(), default=-np.inf)


def _by_itself(found: WaysOut, turn: Turn) -> dict[str, float]:
    """What a turn brings by itself [steps], by complaint; empty where it was not ridden."""
    return next((brings for option, brings in found.singles if option.turns == (turn,)), {})


def _not_alone(found: WaysOut, turn: Turn) -> str:
    """That the first turn of two helps nobody feel anything by itself."""
    alone = _alone(found, turn)
    if len(found.asked) == 1 and alone >= LITTLE:
        return f"By itself it brings {steps(alone)} steps, which nobody would notice: it takes both turns."
    return "By itself nobody would feel it get better: it takes both turns."


def _in_halves(turn: Turn) -> str:
    row, by = ADJUSTERS[turn.name], abs(turn.end - turn.start)
    halves = row.kind == "clicks" and by >= SMALL_TURN
    return f"{turn.words}{', half of it at a time' if halves else ''}"


def _feel_for(name: str) -> str:
    wrong = COMPLAINTS[name]
    return f"Feel for: {wrong.cured} ({WORDS[wrong.ground]})."


def _further(found: WaysOut, way: Way) -> str:
    """What to do where that is done and not enough: the way on the list that brings more, the best trade of them."""
    more = [each for ways in found.best.values() for each in ways
            if round(each.least, 1) >= round(way.least, 1) + HALF]
    if not more:
        worse = found.goal < max(GOALS.values()) and found.most >= way.least + HALF
        return "Still not enough: " + (f"ask again, as '{max(GOALS, key=GOALS.__getitem__)}'." if worse else
                                       "nothing below brings half a step more. Go back, and look for a fault.")
    best = min(more, key=lambda each: each.rank)
    return f"Still not enough: {TIERS[best.option.hand]}, {best.option.words} brings {steps(best.least)}{_dear(best)}"


def _table(found: WaysOut) -> list[dict]:
    heads = ("", "turn", *(f"brings: {COMPLAINTS[name].words}" for name in found.asked), "costs")
    kept = {hand: [way for way in ways if way.least >= HALF] for hand, ways in found.best.items()}
    rows = [(TIERS[hand] if not place else "", way.option.words, *(steps(way.brings[name]) for name in found.asked),
             _price(way)) for hand, ways in kept.items() for place, way in enumerate(ways)]
    return [] if not rows else [tabled("The best of each hand, in steps one notices", heads, rows)]


def _price(way: Way) -> str:
    """The costs that are noticed; where none is, the worst."""
    if way.felt_costs:
        return _costs(way, way.felt_costs)
    if not way.costs or round(way.costs[0][1], 1) == 0.0:
        return "nothing"
    name, size = way.costs[0]
    return f"{COMPLAINTS[name].words}, {steps(size)} steps{_noted(way, name, 'not noticed')}"


def _led_in(found: WaysOut, turn: Turn) -> str:
    return "Not enough? Then" if _alone(found, turn) >= LITTLE else "With it:"
