"""What a class would get: some draws of an exercise's numbers, tried out, in plain sentences."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from suspedu.coursework.exercise import draws, fairness, options, soundness
from suspedu.coursework.exercise.expected import Expected, letter_of
from suspedu.coursework.exercise.sheet import Cell, Sheet
from suspedu.coursework.exercise.sought import own_finding
from suspedu.units import InputError

SAMPLE = 40  # draws: a class
FEWEST_SOUND = 0.4  # share of them; with fewer each student takes many draws
FEWEST_DIFFERENT = 0.7  # share of the sound draws that must come to different prints
MOST_SHARED = 0.25  # share of the designs that would do with the next draw's numbers too
REASONS = {"rounding edge": "near a rounding edge", "prints the right value": "a slip comes to the right value",
           "not within": "harder or easier than practice", "has the practice result": "the practice result"}


@dataclass(frozen=True)
class Sampled:
    """What was found out about the draws: what must be mended, and what there is to tell, a sentence each."""

    faults: tuple[str, ...] = ()
    told: tuple[str, ...] = ()


def sample(solution: Sheet, first: int = 0) -> dict[str, Sheet]:
    """The solution with some draws of its numbers, by name; none where its numbers are not drawn.

    Parameters: solution; first, the number of the first draw: other draws are another sample.
    """
    count = SAMPLE if draws.is_drawn(solution) else 0
    return {f"draw {k}": draws.with_numbers(solution, draws.drawn(b"a sample", str(k), solution, 0))
            for k in range(first, first + count)}


def of_draws(solution: Sheet, practice: dict[str, Expected], found: dict[str, soundness.Examined],
             drawn: dict[str, Sheet]) -> Sampled:
    """What the examined draws tell: how many are sound and why others are not, and whether results differ.

    Parameters: solution; practice, expected prints by question; found, what was found of each draw; drawn, the
    solution with each.
    """
    why, sound, example = Counter(), [], ""
    for name, each in found.items():
        faults = each.faults or fairness.unfair(drawn[name], practice, each.prints)
        why.update({_reason(fault) for fault in faults})
        example = example or (faults[0] if faults else "")
        sound += [] if faults else [(drawn[name], each.prints)]
    parts = [f"{len(sound)} of {len(found)} draws are sound", *(f"{count} {words}" for words, count in why.items())]
    told = "; ".join(parts)
    if len(sound) < FEWEST_SOUND * len(found):
        return Sampled((f"{told}; narrow the ranges or add a condition ('where'). The first: {example}",))
    results = [(_shared if cell.facts.get("property") else _results)(cell, sound) for cell in fairness.valued(solution)]
    return Sampled(tuple(fault for fault, _ in results if fault), (told, *(words for _, words in results)))


def _reason(fault: str) -> str:
    return next((words for part, words in REASONS.items() if part in fault), fault)


def _shared(cell: Cell, sound: list[tuple[Sheet, dict[str, Expected]]]) -> tuple[str, str]:
    """A fault, where too many designs would do for a neighbour; and how many would."""
    pairs = list(zip(sound, sound[1:] + sound[:1], strict=True))
    count = sum(own_finding(cell, sheet, prints[cell.question].print).met for (_, prints), (sheet, _) in pairs)
    words = f"{cell.question}: {count} of {len(pairs)} designs would do with a neighbour's numbers"
    fault = f"question '{cell.question}': {words.partition(': ')[2]}; widen its numbers, or narrow what is wanted"
    return (fault if count > MOST_SHARED * len(pairs) else ""), words


def _results(cell: Cell, sound: list[tuple[Sheet, dict[str, Expected]]]) -> tuple[str, str]:
    """A fault, where too many come to the same print; and between what results lie."""
    question = cell.question
    prints = [each[question].print for _, each in sound]
    shown = sorted(set(prints), key=lambda text: fairness.first_number(text) or 0.0)
    words = f"{question}: {_line(shown[0])} to {_line(shown[-1])}, {len(shown)} different results"
    if len(shown) >= FEWEST_DIFFERENT * len(prints):
        return "", words
    return (f"question '{question}': {len(prints)} draws come to only {len(shown)} different results; widen its "
            "numbers, or print more digits", words)


def _line(printed: str) -> str:
    return ", ".join(printed.split("\n")).strip(", ")


def of_choices(solution: Sheet, practice: dict[str, Expected]) -> Sampled:
    """Whether the options of each choice are listed, the right one among them, and each other one has its hint."""
    faults, told, listed = [], [], options.choices(solution)
    for cell in solution.with_role("verdict"):
        if not cell.facts.get("choice"):
            continue
        texts = listed.get(cell.question, (None, {}))[1]
        right, slips = (letter_of(text) for text in [practice[cell.question].print]), practice[cell.question].slips
        letter, hinted = next(right), {letter_of(slip) for slip, _ in slips}
        if texts and letter not in texts:
            faults.append(f"question '{cell.question}': the right letter is {letter!r}, its options are "
                          f"{', '.join(texts)}")
        elif texts:  # a choice that lists none is one of the omissions
            bare = sorted(texts.keys() - hinted - {letter})
            told.append(f"{cell.question}: {len(texts)} options, {letter} is right"
                        + (f"; no hint for {', '.join(bare)}" if bare else ""))
    return Sampled(tuple(faults), tuple(told))


def of_bounds(solution: Sheet, practice: dict[str, Expected]) -> Sampled:
    """Whether the bounds that a verdict states hold the practice result."""
    faults = []
    for cell in fairness.valued(solution):
        try:
            fairness.bounds(cell, practice[cell.question].print)
        except InputError as fault:
            faults.append(str(fault))
    return Sampled(tuple(faults))
